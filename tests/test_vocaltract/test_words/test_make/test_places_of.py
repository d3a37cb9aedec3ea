"""Where a sound stands, against textbook examples: Ladefoged & Johnson, A Course in Phonetics, from memory."""

from __future__ import annotations

import pytest

from vocaltract.words.lexicon.dictionary import lookup
from vocaltract.words.make.examples import example_places
from vocaltract.words.make.listing import Analysed
from vocaltract.words.make.places_of import places_of
from vocaltract.words.practice.places import WORD_PLACES
from vocaltract.words.rules import allophones, segments


def analysed(word: str) -> Analysed:
    said = lookup(word)[0]
    return Analysed(word, 10, said, allophones.apply(segments.from_words([(said, 0)])))


@pytest.mark.parametrize(
    ("word", "position", "has", "has_not"),
    [
        ("top", 0, {"initial", "stressed", "aspirated", "plain"}, {"final", "cluster"}),
        ("stop", 1, {"medial", "cluster", "unaspirated"}, {"aspirated", "initial"}),
        ("city", 2, {"medial", "between-vowels", "flapped"}, {"plain"}),
        ("act", 1, {"held", "cluster"}, {"plain", "final"}),
        ("feel", 2, {"final", "dark"}, {"clear"}),
        ("leaf", 0, {"initial", "clear"}, {"dark"}),
        ("man", 1, {"nasalised", "medial"}, {"plain", "short"}),
        ("beat", 1, {"short", "plain"}, {"nasalised"}),
    ],
)
def test_places_of_textbook_words(word: str, position: int, has: set[str], has_not: set[str]) -> None:
    found = places_of(analysed(word).line, position)
    assert has <= found <= set(WORD_PLACES)
    assert not has_not & found


def test_a_sound_is_an_example_only_where_it_stands_as_itself() -> None:
    assert ("t", "initial", 0) in set(example_places(analysed("top").line))
    assert ("t", "flapped", 2) in set(example_places(analysed("city").line))
    assert not [place for sound, place, _ in example_places(analysed("city").line) if (sound, place) == ("t", "medial")]
