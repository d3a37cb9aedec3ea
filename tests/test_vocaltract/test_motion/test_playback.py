"""Playback: a rising mapping of time that meets its ends; the model is never changed by it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from vocaltract.motion.playback import FASTEST, SLOWEST, Playback, constant, dwelling

SPEED = st.floats(SLOWEST, FASTEST)
LENGTH = st.floats(0.2, 6.0)
FPS = st.sampled_from([5.0, 12.5, 24.0, 25.0, 29.97, 30.0, 50.0, 60.0])
MOMENTS = st.lists(st.floats(-0.5, 7.0), max_size=8)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(LENGTH, SPEED)
def test_duration_is_real_duration_over_speed(length: float, speed: float) -> None:
    """The definition of playback speed: half speed takes twice the time."""
    made = constant(length, speed)
    assert made.duration_s == pytest.approx(length / speed)
    assert float(made.speech_time_s(np.array(0.0))) == 0.0
    assert float(made.speech_time_s(np.array(made.duration_s))) == pytest.approx(length)
    assert float(made.speech_time_s(np.array(made.duration_s / 2))) == pytest.approx(length / 2)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(LENGTH, SPEED, FPS, MOMENTS)
def test_time_never_runs_backwards_and_meets_its_ends(
    length: float, speed: float, fps: float, moments: list[float]
) -> None:
    for made in (constant(length, speed), dwelling(length, speed, moments)):
        assert made.film_s[0] == made.speech_s[0] == 0.0
        assert made.speech_s[-1] == pytest.approx(length)
        assert np.all(np.diff(made.film_s) > 0)
        assert np.all(np.diff(made.speech_s) > 0)
        shown = made.frame_times_s(fps)
        assert np.all(np.diff(shown) >= 0)
        assert shown[0] == 0.0
        assert shown[-1] <= length + 1e-9
        assert abs(len(shown) / fps - made.duration_s) <= 0.5 / fps + 1e-9 or len(shown) == 1
        outside = made.speech_time_s(np.array([-3.0, made.duration_s + 3.0]))
        assert outside.tolist() == [0.0, pytest.approx(length)]


@settings(max_examples=100, deadline=None, derandomize=True)
@given(LENGTH, SPEED, MOMENTS)
def test_dwelling_is_slower_near_its_moments_and_natural_elsewhere(
    length: float, speed: float, moments: list[float]
) -> None:
    made = dwelling(length, speed, moments)
    rate = np.diff(made.speech_s) / np.diff(made.film_s)
    assert np.all((np.isclose(rate, speed)) | (np.isclose(rate, speed * 0.25)))
    assert made.duration_s >= constant(length, speed).duration_s - 1e-9


def test_dwelling_on_one_moment() -> None:
    """50 ms at a quarter of half speed take 0.4 s, the other 950 ms 1.9 s (arithmetic)."""
    made = dwelling(1.0, 0.5, [0.5])
    assert made.duration_s == pytest.approx(0.95 / 0.5 + 0.05 / 0.125)
    assert made.dwells
    assert not constant(1.0, 0.5).dwells
    assert not dwelling(1.0, 0.5, []).dwells


def test_comparer_sees_time_run_backwards() -> None:
    wrong = Playback(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 0.5]), False)
    assert not np.all(np.diff(wrong.frame_times_s(30)) >= 0)


@pytest.mark.parametrize("speed", [0.0, -0.5, 0.049, 2.01, 1e9, math.nan, math.inf, -math.inf])
def test_impossible_speeds_are_refused_in_one_line(speed: float) -> None:
    for make in (lambda: constant(1.0, speed), lambda: dwelling(1.0, speed, [0.5])):
        with pytest.raises(BadInput) as caught:
            make()
        assert "allowed is 0.05 to 2" in str(caught.value)
        assert "\n" not in str(caught.value)


@pytest.mark.parametrize("speed", [SLOWEST, 0.5, 1.0, FASTEST])
def test_the_ends_of_the_range_are_allowed(speed: float) -> None:
    assert constant(1.0, speed).duration_s == pytest.approx(1 / speed)


def test_a_very_short_film_has_a_frame() -> None:
    assert len(constant(0.001, 2.0).frame_times_s(5)) == 1
