"""Which sounds of two texts answer each other."""

from __future__ import annotations

import pytest

from tests.spoken import said
from vocaltract.pairs.alignment import aligned, unlike


def matches(a: str, b: str) -> list[tuple[int | None, int | None]]:
    return [(m.first, m.second) for m in aligned(said(a).utterance.sounds, said(b).utterance.sounds)]


def differing(a: str, b: str) -> list[tuple[int | None, int | None]]:
    one, other = said(a).utterance.sounds, said(b).utterance.sounds
    return [(m.first, m.second) for m in unlike(aligned(one, other), one, other)]


@pytest.mark.parametrize("text", ["room", "front desk"])
def test_a_text_answers_itself_sound_by_sound(text: str) -> None:
    count = len(said(text).utterance.sounds)
    assert matches(text, text) == [(i, i) for i in range(count)]
    assert differing(text, text) == []


@pytest.mark.parametrize(
    ("a", "b", "found"),
    [
        ("late", "date", [(0, 0)]),  # a minimal pair: one sound
        ("seat", "sit", [(1, 1)]),
        ("stay", "say", [(1, None)]),  # what the other lacks
        ("say", "stay", [(None, 1)]),
    ],
)
def test_minimal_pairs_differ_in_one_sound(a: str, b: str, found: list[tuple[int | None, int | None]]) -> None:
    """What a minimal pair is: any textbook of phonology."""
    assert differing(a, b) == found


def test_every_sound_of_both_is_in_one_match_and_in_order() -> None:
    found = matches("elevator", "reservation")
    assert [a for a, _ in found if a is not None] == list(range(len(said("elevator").utterance.sounds)))
    assert [b for _, b in found if b is not None] == list(range(len(said("reservation").utterance.sounds)))


def test_a_vowel_never_answers_a_consonant() -> None:
    one, other = said("inn").utterance.sounds, said("key").utterance.sounds
    for match in aligned(one, other):
        if match.first is not None and match.second is not None:
            assert one[match.first].is_vowel == other[match.second].is_vowel
