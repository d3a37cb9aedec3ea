"""Curves against a reference library (scipy's cubic spline) and geometry."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from articulators.curves import arc_length, centripetal, fraction, resample, rotate, spline_matrix

POINTS = np.array([[0.0, 0.0], [2.0, 3.0], [7.0, 4.0], [9.0, -1.0], [14.0, 0.5]])


def test_open_curve_equals_the_reference_spline() -> None:
    got = spline_matrix(POINTS, per_segment=8) @ POINTS
    t = centripetal(POINTS)
    at = np.concatenate([*[np.linspace(a, b, 8, endpoint=False) for a, b in pairwise(t)], t[-1:]])
    assert np.allclose(got, CubicSpline(t, POINTS, bc_type="natural")(at), atol=1e-9)


def test_closed_curve_equals_the_reference_spline() -> None:
    ring = np.concatenate([POINTS, POINTS[:1]])
    got = spline_matrix(POINTS, per_segment=8, closed=True) @ POINTS
    t = centripetal(ring)
    at = np.concatenate([np.linspace(a, b, 8, endpoint=False) for a, b in pairwise(t)])
    assert np.abs(got - CubicSpline(t, ring, bc_type="periodic")(at)).max() < 0.02  # mm; three laps, not periodic ends


def test_curve_goes_through_its_points() -> None:
    assert np.allclose((spline_matrix(POINTS, per_segment=6) @ POINTS)[::6], POINTS, atol=1e-12)


@pytest.mark.parametrize("points", [np.zeros((3, 2)), np.array([[0.0, 0.0], [1.0, 1.0], [1.0, 1.0]])])
def test_points_that_do_not_differ_are_refused(points: np.ndarray) -> None:
    with pytest.raises(ValueError, match="differ from their neighbours"):
        spline_matrix(points)


def test_length_of_a_quarter_circle() -> None:
    """Radius 10 mm: 15.708 mm (geometry)."""
    angle = np.linspace(0, np.pi / 2, 400)
    arc = 10 * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    assert arc_length(arc)[-1] == pytest.approx(5 * np.pi, rel=1e-4)
    even = np.diff(arc_length(resample(arc, 37)))
    assert np.ptp(even) < 1e-3


@settings(max_examples=50, deadline=None, derandomize=True)
@given(st.floats(-6, 6), st.floats(-50, 50), st.floats(-50, 50))
def test_turning_keeps_distances_and_turns_back(angle: float, x: float, y: float) -> None:
    about = np.array([x, y])
    turned = rotate(POINTS, about, np.array(angle))
    assert np.allclose(np.linalg.norm(turned - about, axis=1), np.linalg.norm(POINTS - about, axis=1))
    assert np.allclose(rotate(turned, about, np.array(-angle)), POINTS, atol=1e-9)


def test_a_quarter_turn_is_counter_clockwise_as_drawn() -> None:
    assert np.allclose(rotate(np.array([[1.0, 0.0]]), np.zeros(2), np.array(np.pi / 2)), [[0.0, 1.0]])


def test_a_fraction_is_held_between_0_and_1() -> None:
    assert [fraction(value) for value in (-3.0, 0.0, 0.25, 1.0, 7.0)] == [0.0, 0.0, 0.25, 1.0, 1.0]
