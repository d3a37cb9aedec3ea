"""Stops and gestures read off a timeline: what they are, in order, and where the voice starts."""

from __future__ import annotations

import pytest

from tests.spoken import said
from vocaltract.motion import score, stops
from vocaltract.motion.score import ARTICULATORS


def test_the_stops_of_a_phrase_stand_in_order_with_what_shuts() -> None:
    """Front desk: tongue tip, tongue tip, tongue body; the f and s are none (any phonetics textbook)."""
    found = stops.stop_events(said("backpack"))
    assert [(s.symbol[0], s.organ) for s in found] == [
        ("b", "lips"),
        ("k", "tongue body"),
        ("p", "lips"),
        ("k", "tongue body"),
    ]
    assert all(s.release_s is None or s.release_s > s.closure_s for s in found)


def test_a_tap_is_no_stop_but_a_gesture() -> None:
    """Handbook of the IPA 1999."""
    assert stops.stop_events(said("city")) == ()
    assert "taps" in {g.what for g in score.gestural_score(said("city"))}


@pytest.mark.parametrize(("word", "low_ms", "high_ms"), [("two", 50, 90), ("do", -5, 25), ("key", 55, 100)])
def test_the_voice_starts_when_tables_say(word: str, low_ms: float, high_ms: float) -> None:
    """L. Lisker & A. S. Abramson (1964), citation forms: t 70, d 5, k 80 ms; spread estimated."""
    onset_s = stops.stop_events(said(word))[0].voice_onset_time_s
    assert onset_s is not None and low_ms <= 1000 * onset_s <= high_ms


def test_gestures_begin_before_they_are_full_and_end_after_they_are_left() -> None:
    found = score.gestural_score(said("room key"))
    assert found == tuple(sorted(found, key=lambda g: (g.start_s, ARTICULATORS.index(g.articulator))))
    for g in found:
        assert g.start_s <= g.full_s and g.leave_s <= g.end_s, g


def test_each_sound_asks_for_its_own_articulator() -> None:
    """m lowers the soft palate and closes the lips, w rounds them (any phonetics textbook)."""
    by_what = {(g.articulator, g.what, g.symbol) for g in score.gestural_score(said("room"))}
    assert ("velum", "lowers", "m") in by_what and ("lips", "closes", "m") in by_what
    assert any(what == "rounds" for _, what, _ in by_what)
