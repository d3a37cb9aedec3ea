"""The practice database made of a few words has the tables of the shipped one, and says of them what that one says."""

from __future__ import annotations

from pathlib import Path

import pytest

from vocaltract.words.lexicon.databases import PRACTICE, opened
from vocaltract.words.make import examples, listing
from vocaltract.words.make.practice import build_practice
from vocaltract.words.practice.listing import against, listed

WORDS = "bill car city coat code key light little pay bay right sink zinc two do vest west water".split()
SCHEMA = "SELECT name, sql FROM sqlite_master ORDER BY name"


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database of some words of the front-desk course and their contrasts, all of the commonest class."""
    path = tmp_path_factory.mktemp("practice") / "practice.sqlite"
    sizes = dict.fromkeys(WORDS, 10)
    with pytest.MonkeyPatch.context() as patched:
        for module in (examples, listing):
            patched.setattr(module, "common_words", lambda: sizes)
            patched.setattr(module, "front_desk", lambda: ("two", "do", "hot bath"))
        patched.setattr(listing, "rarer_words", dict)
        assert build_practice(path) > len(WORDS)
    return path


def test_its_tables_are_those_of_the_shipped_one(few: Path) -> None:
    with opened(few) as made, opened(PRACTICE) as shipped:
        assert made.execute(SCHEMA).fetchall() == shipped.execute(SCHEMA).fetchall() != []


def test_it_is_read_as_the_shipped_one(few: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shipped = {word.text: word.transcription for word in listed("t").words}
    monkeypatch.setattr("vocaltract.words.practice.listing.PRACTICE", few)
    found = {word.text: word.transcription for word in listed("t").words}
    assert set(found) == {"city", "coat", "light", "little", "right", "two", "vest", "west", "water"}
    assert {text: shipped[text] for text in found} == found
    assert {word.text for word in listed("t", ["flapped"]).words} == {"city", "little", "water"}
    pairs = {(pair.first.text, pair.second.text) for pair in against("v", "w").pairs}
    assert pairs == {("vest", "west")}


def test_a_phrase_is_an_example_of_a_held_stop_only(few: Path) -> None:
    """hot bath: t before b is not released (Ladefoged & Johnson, from memory)."""
    with opened(few) as connection:
        rows = connection.execute("SELECT sound, place FROM word WHERE text = 'hot bath'").fetchall()
    assert rows == [("t", "held")]
