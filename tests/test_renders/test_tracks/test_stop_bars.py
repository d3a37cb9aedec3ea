"""Bars of stops: in rows of their own where they overlap, and the voice where it begins."""

from __future__ import annotations

import itertools
from functools import cache

import pytest

from renders.paper.picture import Fill, Stroke, Text
from renders.paper.style import load
from renders.tracks.stop_bars import stop_bars
from renders.tracks.time_axis import TimeAxis
from vocaltract.motion.events import stops
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import say


@cache
def spoken(text: str) -> Timeline:
    return say(text)


def axis(timeline: Timeline) -> TimeAxis:
    return TimeAxis(0.0, timeline.duration_s, 100.0, 1700.0)


@pytest.mark.parametrize("text", ["backpack", "ticket", "do"])
def test_held_and_next_stop_lie_beside_each_other(text: str) -> None:
    ops = stop_bars(spoken(text), axis(spoken(text)), 0.0, load("light"))
    bars = [op.path.bounds() for op in ops if isinstance(op, Fill) and op.name.startswith("hold")]
    assert len(bars) == len(stops(spoken(text)))
    for a, b in itertools.combinations(bars, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_the_voice_is_marked_where_it_begins() -> None:
    two = spoken("two")
    (stop,) = stops(two)
    ops = stop_bars(two, axis(two), 0.0, load("light"))
    mark = next(op for op in ops if isinstance(op, Stroke) and op.name == "voice begins")
    assert stop.release_s is not None and stop.voice_onset_time_s is not None
    begins_s = two.speech_s[0] + stop.release_s + stop.voice_onset_time_s
    assert mark.path.vertices[0][0] == pytest.approx(axis(two).at(begins_s))
    said = [op.string for op in ops if isinstance(op, Text)]
    assert f"{1000 * stop.voice_onset_time_s:+.0f}" in said
