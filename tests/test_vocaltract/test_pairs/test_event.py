"""What two sounds are aligned at: measured moments of either timeline, named by a key."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from tests.spoken import said
from vocaltract.pairs.event import EVENTS, NAMES, alignment, contacts
from vocaltract.pairs.occurrences import Occurrence, compare
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone


def pair(a: str, b: str) -> tuple[Occurrence, Occurrence]:
    two = compare(a, b)
    return two.first, two.second


def alone(symbol: str) -> Occurrence:
    return Occurrence(sound(symbol), "", say_alone(sound(symbol)), 0)


def test_events_are_measured_ones() -> None:
    both = pair("ticket", "desk")
    shut, let_go = alignment(both, "closure"), alignment(both, "release")
    assert (shut.name, let_go.name) == ("closure", "release")
    for one, closure_s, release_s in zip(both, shut.zeros_s, let_go.zeros_s, strict=True):
        closed = next(c for c in one.timeline.closures if one.index in c.indices)
        assert (closure_s, release_s) == (pytest.approx(closed.start_s), pytest.approx(closed.end_s))


@pytest.mark.parametrize(
    ("a", "b", "event", "name"),
    [
        ("ticket", "desk", "", "release"),
        ("seat", "sit", "", "start"),
        ("seat", "sit", "vowel", "start"),
        ("ticket", "desk", "vowel", "vowel"),
        ("suite", "sheet", "", "hold_end"),
        ("suite", "sheet", "closure", "hold_start"),
    ],
)
def test_what_suits_is_taken_and_named(a: str, b: str, event: str, name: str) -> None:
    """Stops are let go, fricatives are not, vowels begin: common practice."""
    way = alignment(pair(a, b), event)
    assert way.name == name and name in NAMES
    assert all(0 < zero < one.timeline.duration_s for zero, one in zip(way.zeros_s, pair(a, b), strict=True))


def test_an_unknown_event_and_a_text_without_vowel_are_refused() -> None:
    assert EVENTS == ("closure", "release", "vowel")
    with pytest.raises(BadInput, match=r"allowed: closure, release, vowel \(nearest: closure"):
        alignment(pair("ticket", "desk"), "closur")
    with pytest.raises(BadInput, match="no vowel to align at"):
        alignment((alone("t"), alone("d")), "vowel")


def test_a_lateral_touches_though_its_sides_are_open() -> None:
    """Handbook of the IPA 1999: a lateral is shut in the middle."""
    lateral, fricative = contacts(said("light"), 0), contacts(said("suite"), 0)
    assert len(lateral) == 1 and lateral[0][1] - lateral[0][0] > 0.02
    assert fricative == []
