"""Movement curves: minimum jerk, plateaus over a carrier, phases that meet.

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

from vocaltract.motion.gestures import Knot, Plateau, carrier, laid_over, minimum_jerk

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


def _plateau(start: float, end: float, value: float, move: float = 0.1, claim: float = 1.0) -> Plateau:
    return Plateau(start, end, move, move, np.array([value]), np.array([claim]))


def _flat(value: float = 0.0) -> np.ndarray:
    return np.full((len(TIMES), 1), value)


def test_a_plateau_is_reached_held_and_left_on_time() -> None:
    """Phases meet their end points: approach ends where the hold starts, release starts where it ends."""
    path = laid_over(_flat(1.0), [_plateau(0.4, 0.6, 5.0)], TIMES)[:, 0]
    held = (TIMES >= 0.4 - 1e-9) & (TIMES <= 0.6 + 1e-9)
    away = (TIMES <= 0.3 + 1e-9) | (TIMES >= 0.7 - 1e-9)
    assert np.allclose(path[held], 5.0)
    assert np.allclose(path[away], 1.0)
    rising = path[(TIMES >= 0.3) & (TIMES <= 0.4)]
    assert np.all(np.diff(rising) >= -1e-12)
    assert np.abs(np.diff(path)).max() < 4 * 15 / 8 / 100 + 1e-6


@pytest.mark.parametrize("claim", [0.0, 0.3, 0.8, 1.0])
def test_a_claim_takes_its_share_of_the_carrier(claim: float) -> None:
    """S. E. G. Ohman (1967): what a consonant leaves free shows the vowels."""
    path = laid_over(_flat(1.0), [_plateau(0.4, 0.6, 5.0, claim=claim)], TIMES)[:, 0]
    assert path[np.argmin(np.abs(TIMES - 0.5))] == pytest.approx(1.0 + claim * 4.0)


def test_two_plateaus_of_one_value_stay_at_it_between() -> None:
    path = laid_over(_flat(0.0), [_plateau(0.3, 0.4, 5.0), _plateau(0.45, 0.6, 5.0)], TIMES)[:, 0]
    between = path[(TIMES >= 0.3) & (TIMES <= 0.6)]
    assert between.min() > 4.9, "the closure opens between two of a kind"


@settings(max_examples=80, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.floats(0.05, 0.25), st.floats(0.02, 0.2), st.floats(-8, 8)), min_size=1, max_size=5),
    st.floats(-5, 5),
)
def test_a_path_never_leaves_the_span_of_its_targets(steps: list[tuple[float, float, float]], base: float) -> None:
    at, plateaus = 0.0, []
    for gap, hold, value in steps:
        plateaus.append(_plateau(at + gap, at + gap + hold, value, move=0.08))
        at += gap + hold
    path = laid_over(_flat(base), plateaus, TIMES)[:, 0]
    ends = [base, *(v for _, _, v in steps)]
    assert path.min() >= min(ends) - 1e-9
    assert path.max() <= max(ends) + 1e-9
    for p in plateaus:
        middle = (p.start_s + p.end_s) / 2
        if middle <= TIMES[-1]:
            assert path[np.argmin(np.abs(TIMES - middle))] == pytest.approx(float(p.values[0]), abs=1e-6)


def test_the_order_of_plateaus_given_does_not_matter() -> None:
    some = [_plateau(0.1, 0.2, 3.0), _plateau(0.5, 0.6, -2.0), _plateau(0.35, 0.4, 1.0)]
    assert np.array_equal(laid_over(_flat(), some, TIMES), laid_over(_flat(), some[::-1], TIMES))
    assert np.array_equal(laid_over(_flat(2.0), [], TIMES), _flat(2.0))


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


def test_plateaus_and_knots_are_frozen() -> None:
    for value in (_plateau(0, 1, 1.0), Knot(0.0, 1.0, np.zeros(1))):
        with pytest.raises(dataclasses.FrozenInstanceError):
            value.start_s = 5.0  # type: ignore[misc]
