"""The table of names: what it says of letters and words is what the dictionary says of them."""

from __future__ import annotations

import json

import pytest

from articulators.errors import BadInput
from vocaltract.ipa.alphabet import nfd
from vocaltract.naming.listing import listing
from vocaltract.naming.named import named
from vocaltract.naming.names import Meaning, entry_named, keyboard, known_names, plain, refused, respelling_key, ways
from vocaltract.phonetics.inventory import entries, narrow_variants
from vocaltract.words.text.transcribe import read

CHOICES = sorted({meaning for means in known_names().values() for meaning in means if meaning.word}, key=str)


@pytest.mark.parametrize("meaning", CHOICES, ids=lambda m: f"{m.ipa}-{m.letters}-{m.word}")
def test_a_choice_shows_letters_of_a_word_that_has_the_sound(meaning: Meaning) -> None:
    """The pronunciations are CMUdict's."""
    assert meaning.letters in meaning.word
    said = "".join(s.symbol for s in read(meaning.word).sounds)
    targets = "".join(s.target for s in read(meaning.word).sounds)
    assert meaning.ipa in said or meaning.ipa in targets or meaning.ipa.rstrip("̚ʰ̺") in targets


def test_every_single_name_is_a_sound_and_no_name_is_refused_too() -> None:
    for name, means in known_names().items():
        if len(means) == 1 and not means[0].word:
            assert entry_named(means[0].ipa).symbol == means[0].ipa, name
    assert not set(known_names()) & set(refused())


def test_the_key_and_the_keyboard_stand_for_sounds() -> None:
    for symbol in [*respelling_key().values(), *keyboard().values()]:
        assert entry_named(symbol).symbol == nfd(symbol)
    # every phoneme of English can be typed in our key
    assert {e.symbol for e in entries().values() if e.kind != "allophone"} <= set(respelling_key().values())


def test_ways_make_sounds_that_can_be_drawn() -> None:
    for way in ways().way.values():
        for symbol in way.of:
            assert entry_named(way.becomes or nfd(symbol + way.mark)).symbol


@pytest.mark.parametrize(
    ("typed", "name"), [("Long-E", "long e"), (" “th  sound” ", "th sound"), ("tip_up r", "tip up r"), ("-ed", "-ed")]
)
def test_plain_names_differ_in_nothing_that_nobody_means(typed: str, name: str) -> None:
    assert plain(typed) == name


def test_the_listing_is_plain_data_and_all_of_it_can_be_typed() -> None:
    rows = listing()
    assert len(rows) == len(entries()) + len(narrow_variants())
    assert json.loads(json.dumps(rows)) == rows
    for row in rows:
        for typed in (row["type"], *row["also"]):
            assert named(typed).symbol == row["symbol"]
    bracketed = {row["symbol"] for row in rows if row["type"] != row["symbol"] and row["symbol"] in entries()}
    assert bracketed == {"i", "u", "j"}
    with pytest.raises(BadInput):
        named("u")
