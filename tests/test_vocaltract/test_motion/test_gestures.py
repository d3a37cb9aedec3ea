"""Movement curves: minimum jerk, and a carrier that stands at its knots.

Minimum jerk: T. Flash & N. Hogan (1985) J. Neurosci. 5, 1688-1703: x(t) = 10 t^3 - 15 t^4 + 6 t^5, with velocity and
acceleration 0 at both ends and the greatest velocity, 15/8 of the mean, in the middle.
"""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vocaltract.motion.gestures import Knot, carrier, minimum_jerk

T = np.linspace(0, 1, 2001)
TIMES = np.arange(-0.1, 1.2, 0.001)


def test_minimum_jerk_is_the_published_polynomial() -> None:
    assert np.allclose(minimum_jerk(T), 10 * T**3 - 15 * T**4 + 6 * T**5, atol=1e-12)
    assert minimum_jerk(np.array([-5.0, 0.0, 0.5, 1.0, 7.0])).tolist() == [0.0, 0.0, 0.5, 1.0, 1.0]


def test_minimum_jerk_starts_and_ends_at_rest() -> None:
    speed = np.gradient(minimum_jerk(T), T)
    assert abs(speed[0]) < 1e-4
    assert abs(speed[-1]) < 1e-4
    assert speed.max() == pytest.approx(15 / 8, rel=1e-3)
    assert T[np.argmax(speed)] == pytest.approx(0.5, abs=0.002)
    bend = np.gradient(speed, T)
    assert abs(bend[1]) < 0.1
    assert abs(bend[-2]) < 0.1
    assert np.all(np.diff(minimum_jerk(T)) >= 0)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.floats(0.03, 0.2), st.floats(0, 0.1), st.floats(-8, 8)), min_size=1, max_size=6))
def test_a_carrier_stands_at_its_knots_and_moves_evenly_between(steps: list[tuple[float, float, float]]) -> None:
    at, knots = 0.0, []
    for gap, stand, value in steps:
        knots.append(Knot(at + gap, at + gap + stand, np.array([value])))
        at += gap + stand
    path = carrier(knots, TIMES)[:, 0]
    for knot in knots:
        stood = path[(knot.start_s <= TIMES) & (knot.end_s >= TIMES)]
        assert np.allclose(stood, knot.values[0], atol=1e-9)
    for a, b in pairwise(knots):
        moving = path[(a.end_s <= TIMES) & (b.start_s >= TIMES)]
        turns = np.diff(moving) * np.sign(b.values[0] - a.values[0])
        assert np.all(turns >= -1e-9)


def test_knots_are_frozen() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        Knot(0.0, 1.0, np.zeros(1)).start_s = 5.0  # type: ignore[misc]
