"""Closures as measured: a stop before a stop is held until the next is shut; lengths of closures and flaps.

Common practice; T. H. Crystal & A. S. House (1988) for how rarely such stops are released.
"""

from __future__ import annotations

import numpy as np
import pytest

from articulators.curves import Array
from articulators.section import section
from tests.reference.published import timing
from tests.test_vocaltract.spoken import said, times
from vocaltract.airway.gaps import gaps
from vocaltract.airway.passage import airway
from vocaltract.motion.closures import Closure, runs
from vocaltract.motion.timeline import Timeline

HELD = [
    "backpack", "doctor", "good guest", "picture", "napkin", "big deal", "stop talking", "front desk", "top deck",
    "subject", "good boy",
]  # fmt: skip
ORGANS = ("lips", "coronal", "dorsal")


def measured(made: Timeline, at: Array) -> dict[str, Array]:
    """Which organs are shut at times, measured anew on sections (not read from the timeline's closures)."""
    found = gaps(section(made.head, made.posture(at)))
    return {organ: getattr(found, organ) <= 0 for organ in ORGANS}


def opened_early(made: Timeline, closed: tuple[Closure, ...] | None = None) -> list[tuple[str, str]]:
    """Pairs of neighbouring stops of which the first is let go before the second is shut."""
    closed = made.closures if closed is None else closed
    found = []
    for a, b in zip(made.spans, made.spans[1:], strict=False):
        if not (a.entry.is_stop and b.entry.is_stop) or a.index in made.utterance.pauses_after:
            continue
        first = [c for c in closed if a.index in c.indices]
        second = [c for c in closed if b.index in c.indices]
        if not first or not second or second[0].start_s > first[0].end_s:
            found.append((a.sound.symbol, b.sound.symbol))
    return found


@pytest.mark.parametrize("text", HELD)
def test_a_held_stop_is_not_opened_before_the_next_is_shut(text: str) -> None:
    made = said(text)
    pairs = [(a, b) for a, b in zip(made.spans, made.spans[1:], strict=False) if a.entry.is_stop and b.entry.is_stop]
    assert pairs, f"{text} has no two stops together"
    assert opened_early(made) == []
    # and again on sections: from the first stop's hold to the second's release the mouth is never open
    for a, b in pairs:
        ends = [c.end_s for c in made.closures if b.index in c.indices]
        at = np.arange(a.hold_s[0] + 0.002, ends[0] - 0.002, 0.002)
        shut = measured(made, at)
        assert np.all(np.any(list(shut.values()), axis=0)), (text, a.sound.symbol, b.sound.symbol)


def test_comparer_sees_a_planted_early_opening() -> None:
    made = said("backpack")
    early = tuple(
        Closure(c.organ, c.start_s, c.end_s - 0.06 if c.organ == "dorsal" else c.end_s, c.indices)
        for c in made.closures
    )
    assert opened_early(made) == []
    assert opened_early(made, early) == [("k̚", "pʰ")]
    assert opened_early(made, ()) == [("k̚", "pʰ")]
    # the second check, too: between the vowels of one word the mouth is open
    open_at = made.spans[1].start_s + 0.5 * (made.spans[1].end_s - made.spans[1].start_s)
    assert not np.any(list(measured(made, np.array([open_at])).values()))


@pytest.mark.parametrize("text", ["backpack", "doctor", "stop talking", "city", "napkin"])
def test_closures_are_those_of_the_sections(text: str) -> None:
    """Edges lie within a millisecond of where contact is made and broken; nothing opens inside."""
    made = said(text)
    for c in made.closures:
        inside = measured(made, np.linspace(c.start_s + 0.001, c.end_s - 0.001, 9))[c.organ]
        assert np.all(inside), c
        # lips that rest together are a closure from where speech begins: contact is older there
        rests = c.organ == "lips" and c.start_s <= made.speech_s[0]
        edges = [c.end_s + 0.001] if rests else [c.start_s - 0.001, c.end_s + 0.001]
        outside = measured(made, np.array(edges))[c.organ]
        assert not np.any(outside), c


@pytest.mark.parametrize("text", ["backpack", "doctor", "picture", "city", "napkin", "stop talking"])
def test_every_closing_sound_is_shut_and_airtight(text: str) -> None:
    made = said(text)
    for span in made.spans:
        if not span.entry.closes:
            continue
        mine = [c for c in made.closures if span.index in c.indices]
        assert mine, (text, span.sound.symbol)
        middle = made.posture(np.array([sum(span.hold_s) / 2]))
        assert not np.any(airway(section(made.head, middle)).mouth), (text, span.sound.symbol)


def test_open_sounds_are_open() -> None:
    for text in ("see", "hotel", "front desk"):
        made = said(text)
        for span in made.spans:
            if span.entry.closes or "lateral" in span.entry.manner:
                continue
            middle = made.posture(np.array([sum(span.hold_s) / 2]))
            assert np.all(airway(section(made.head, middle)).mouth), (text, span.sound.symbol)


@pytest.mark.parametrize("text", ["city", "ladder"])
def test_flaps_are_short(text: str) -> None:
    """Row flap_byrd (Byrd 1993; Zue & Laferriere 1979): about 29 ms, 20 to 40 here (tolerance 15 to 40)."""
    made = said(text)
    flaps = [s.index for s in made.spans if s.entry.manner == "tap"]
    assert flaps
    for c in made.closures:
        if set(c.indices) & set(flaps):
            assert 0.015 <= c.end_s - c.start_s <= timing("flap_byrd").range[1] / 1000, c


@pytest.mark.parametrize("text", ["pay", "two", "key", "bay", "do", "guest", "bat", "bad", "doctor", "picture"])
def test_single_closures_last_as_long_as_measured_ones(text: str) -> None:
    """40 to 150 ms: rows clo_byrd (52 to 69 ms, read sentences) to am99 (83 to 149 ms, final, slow); from memory."""
    for c in said(text).closures:
        if len(c.indices) == 1:
            assert 0.040 <= c.end_s - c.start_s <= 0.150, c


def test_a_double_closure_is_longer_than_one() -> None:
    """One hold for two stops of a place: 1.3 to 3 times a single one (Pickett & Decker 1960, from memory)."""
    single = next(c for c in said("bad").closures if c.organ == "coronal")
    double = next(c for c in said("front desk").closures if len(c.indices) > 1)
    assert 1.3 <= (double.end_s - double.start_s) / (single.end_s - single.start_s) <= 3.0


def test_runs() -> None:
    assert runs(np.array([True, True, False, True])) == [(0, 1), (3, 3)]
    assert runs(np.array([False, False])) == []
    assert runs(np.array([], dtype=bool)) == []
    assert runs(np.array([True])) == [(0, 0)]


def test_lips_at_rest_are_no_closure() -> None:
    made = said("see")
    assert made.closures == ()
    assert measured(made, np.array([0.0]))["lips"][0]
    assert not np.any(measured(made, times(made)[40:60])["lips"])
