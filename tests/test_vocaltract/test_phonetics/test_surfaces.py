"""Stations on the still side, and the distance of a tongue from them, against a library of plane geometry."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from articulators import tongue
from articulators.head import adult_male
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.surfaces import clearance_mm, near_clearance_mm, surfaces, thinned

STILL = surfaces(adult_male(), 0.0)


def test_stations_are_about_a_millimetre_apart_and_each_lies_on_one_row_at_least() -> None:
    apart = np.hypot(*np.diff(STILL.points, axis=0).T)
    on_roof = np.isfinite(STILL.x_mm[:-1]) & np.isfinite(STILL.x_mm[1:])
    assert np.all(np.abs(apart[on_roof] - 1.0) < 0.1)
    rows = [STILL.coordinate(row) for row in ("roof", "velum", "wall")]
    assert np.all(np.any(np.isfinite(rows), axis=0))


def test_a_window_holds_its_stations_or_the_nearest() -> None:
    inside = STILL.within("roof", 22.0, 36.0)
    assert np.all((STILL.x_mm[inside] >= 22.0) & (STILL.x_mm[inside] <= 36.0)) and inside.sum() > 10
    assert STILL.within("roof", 20.001, 20.002).sum() == 1
    assert np.nanmax(STILL.soft_share) == pytest.approx(1.0)


@pytest.mark.parametrize("key", ["t", "k", "i", "ɑ"])
def test_distances_are_those_of_a_library_of_geometry(key: str) -> None:
    ring = tongue.mass(adult_male(), posture(key))
    found = near_clearance_mm(ring, STILL.points)
    shape, points = shapely.Polygon(ring).buffer(0), shapely.points(STILL.points)
    inside = shapely.contains(shape, points)
    wanted = np.where(inside, -1, 1) * shapely.distance(shape.boundary, points)
    assert np.abs(found - wanted).max() < 1e-6


def test_a_closure_presses_the_tongue_into_its_place_and_nowhere_else_so_far() -> None:
    """t is shut at the ridge (any phonetics textbook)."""
    clear = clearance_mm(adult_male(), posture("t"), STILL.points)
    ridge = STILL.within("roof", 5.6, 10.4)
    assert clear[ridge].min() < 0 < clear[STILL.within("roof", 22.0, 50.0)].min()


def test_a_thinned_outline_keeps_tip_and_ends() -> None:
    ring = tongue.mass(adult_male(), posture("t"))
    few = thinned(ring)
    assert len(few) < 0.7 * len(ring)
    for at in (0, tongue.SURFACE_POINTS - 1):
        assert np.any(np.all(few == ring[at], axis=-1))
