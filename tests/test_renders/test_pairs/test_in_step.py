"""Two texts on one clock. No outside reference: what the clock promises."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from renders.pairs.compared import compared_pair
from renders.pairs.in_step import InStep, event_frame, in_step
from vocaltract.motion.playback import constant
from vocaltract.pairs.occurrences import compare


@cache
def both(a: str, b: str) -> InStep:
    return in_step(compared_pair(compare(a, b)))


@pytest.mark.parametrize(("a", "b"), [("ticket", "desk"), ("late", "date")])
def test_all_that_is_said_lies_between_start_and_end(a: str, b: str) -> None:
    step = both(a, b)
    for said, zero in zip(step.pair.said, step.way.zeros_s, strict=True):
        begin, end = (time - zero for time in said.timeline.speech_s)
        before, after = step.window_s
        assert step.start_s < begin < end < step.end_s and -before < begin and end < after


def test_outside_its_text_a_mouth_rests() -> None:
    step = both("ticket", "desk")
    times = step.times_s(np.array([-60.0, 0.0, 60.0]), 0)
    assert times.tolist() == [0.0, step.way.zeros_s[0], step.pair.said[0].timeline.duration_s]


def test_the_frame_of_the_event_is_the_nearest_one() -> None:
    step = both("late", "date")
    playback = constant(step.end_s - step.start_s, 0.5)
    clock = playback.frame_times_s(30.0) + step.start_s
    assert abs(clock[event_frame(step, playback, 30.0)]) == np.abs(clock).min() <= 0.5 / 30


def test_either_text_has_one_teller() -> None:
    step = both("ticket", "desk")
    assert step.tellers is step.tellers
    assert [teller.at(0.0).phase for teller in step.tellers] == ["rest", "rest"]
