"""The least acceleration: against scipy's natural spline and a dense solution, and what gives way to what."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from articulators.curves import Array
from vocaltract.motion.easing import Plateau, demand, least_acceleration

STEP_S = 0.001
TIMES = np.arange(0.0, 0.6, STEP_S)


def _plateau(start: float, end: float, value: float, weight: float = 1500.0) -> Plateau:
    return Plateau(start, end, np.array([value]), np.array([weight]))


def _way(plateaus: list[Plateau], ease_s: float = 0.02, between: float = 1e-9) -> Array:
    target, weight = demand(np.zeros((len(TIMES), 1)), between, plateaus, TIMES)
    return least_acceleration(target, weight, np.array([ease_s]), STEP_S)[:, 0]


def test_a_way_through_points_is_the_natural_cubic_spline() -> None:
    """Of all ways through points it has the least acceleration (J. C. Holladay 1957), here by scipy's interpolation."""
    at, values = [0.0, 0.15, 0.3, 0.45, 0.599], [0.0, 4.0, -2.0, 3.0, 1.0]
    found = _way([_plateau(t, t, v, 1e7) for t, v in zip(at, values, strict=True)])
    spline = CubicSpline(at, values, bc_type="natural")(TIMES)
    assert np.abs(found - spline).max() < 0.02


def test_the_banded_solution_is_the_dense_one() -> None:
    rng = np.random.default_rng(1)
    target, weight = rng.normal(size=(60, 3)), rng.uniform(0.01, 5.0, (60, 3))
    ease = np.array([0.002, 0.01, 0.03])
    found = least_acceleration(target, weight, ease, STEP_S)
    bend = np.diff(np.eye(60), 2, axis=0)
    for j in range(3):
        dense = np.diag(weight[:, j]) + (ease[j] / STEP_S) ** 4 * bend.T @ bend
        assert np.allclose(found[:, j], np.linalg.solve(dense, weight[:, j] * target[:, j]), atol=1e-6)


def test_what_is_asked_for_firmly_is_met_and_what_is_asked_for_weakly_gives_way() -> None:
    weak = [_plateau(0.0, 0.2, 0.0), _plateau(0.25, 0.3, 6.0, 0.5), _plateau(0.35, 0.6, 0.0)]
    firm = [weak[0], _plateau(0.25, 0.3, 6.0), weak[2]]
    middle = np.argmin(np.abs(TIMES - 0.275))
    assert _way(firm)[middle] == pytest.approx(6.0, abs=0.05)
    assert 0.5 < _way(weak)[middle] < 5.0


def test_amplitude_falls_with_the_time_there_is() -> None:
    """B. Lindblom (1963): undershoot grows as a vowel gets shorter, towards nothing for a long one."""
    reached = []
    for length in (0.02, 0.04, 0.06, 0.2):
        start, end = 0.3 - length / 2, 0.3 + length / 2
        way = _way([_plateau(0.0, start - 0.03, 0.0), _plateau(start, end, 6.0, 0.8), _plateau(end + 0.03, 0.6, 0.0)])
        reached.append(float(way[300]))
    assert reached == sorted(reached)
    assert reached[0] < 0.5 * 6.0
    assert reached[-1] == pytest.approx(6.0, rel=0.1)


def test_a_movement_has_one_peak_of_speed_and_no_kink() -> None:
    """Single-peaked, bell-shaped speeds of reaching and speaking (D. J. Ostry & K. G. Munhall 1985, from memory)."""
    way = _way([_plateau(0.0, 0.2, 0.0), _plateau(0.32, 0.6, 8.0)])
    speed = np.diff(way[200:320]) / STEP_S
    assert np.all(np.diff(np.sign(np.diff(speed))) <= 0)
    assert np.abs(np.diff(way, 3)).max() < 0.02


def test_a_plateau_counts_as_long_as_it_lasts() -> None:
    """Weights of a target with edges between two steps add up to its length; one shorter than a step counts for one."""
    base = np.zeros((len(TIMES), 1))
    _, weight = demand(base, 1e-12, [_plateau(0.1003, 0.1508, 1.0, 2.0)], TIMES)
    assert weight.sum() == pytest.approx(2.0 * 50.5, rel=1e-6)
    _, weight = demand(base, 1e-12, [_plateau(0.1003, 0.1003, 1.0, 2.0)], TIMES)
    assert weight.sum() == pytest.approx(2.0, rel=1e-6)
    target, _ = demand(base, 1e-12, [_plateau(0.1, 0.2, 1.0, 3.0), _plateau(0.1, 0.2, 5.0, 1.0)], TIMES)
    assert target[150, 0] == pytest.approx(2.0)


def test_a_part_that_nothing_asks_for_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing asks"):
        least_acceleration(np.zeros((9, 1)), np.zeros((9, 1)), np.array([0.02]), STEP_S)
