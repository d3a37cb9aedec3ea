"""Gaps are the distances between the outlines: checked against a plain search over their points."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from scipy.spatial import cKDTree

from articulators.curves import Array, resample
from articulators.head import adult_male
from articulators.section import section
from vocaltract.airway.gaps import NEAR_MM, gaps, least_near
from vocaltract.phonetics.postures import posture

KEYS = ["ə", "i", "æ", "ɑ", "u", "s", "f", "p", "t", "k", "rest"]


def _least(a: Array, b: Array) -> float:
    """Least distance between two closed outlines by points 0.05 mm apart (scipy's tree search)."""
    rings = [resample(np.concatenate([line, line[:1]]), 6000) for line in (a, b)]
    return float(cKDTree(rings[0]).query(rings[1])[0].min())


@pytest.mark.parametrize("key", KEYS)
def test_gaps_are_the_least_distances(key: str) -> None:
    one = section(adult_male(), posture(key))
    found = gaps(one)
    assert float(found.lips) == pytest.approx(_least(one["upper_lip"], one["lower_lip"]), abs=0.1)
    to_tooth = _least(one["lower_lip"], one["upper_incisor"])
    if float(one.posture["tucked"]) == 1.0:
        assert float(found.teeth) == pytest.approx(to_tooth, abs=0.1)
    else:
        assert float(found.teeth) > to_tooth, "a lip that is not drawn in narrows nothing at the teeth"
    wall = np.concatenate([one["rear_wall"], one["rear_wall"][::-1] + [5.0, 0.0]])
    assert float(found.throat) == pytest.approx(_least(one["tongue"], wall), abs=0.3)


def test_a_gap_is_never_negative_and_zero_where_shut() -> None:
    for key, name in (
        ("p", "lips"),
        ("t", "coronal"),
        ("k", "dorsal"),
        ("ɾ", "coronal"),
        ("ŋ", "dorsal"),
        ("ə", "port"),
    ):
        found = gaps(section(adult_male(), posture(key)))
        assert float(getattr(found, name)) == 0.0, key
        assert all(float(getattr(found, n)) >= 0 for n in found.__dataclass_fields__)


def test_lips_open_by_what_is_asked() -> None:
    made = section(adult_male(), posture("ə").with_parts(aperture_mm=np.linspace(0.5, 12, 24)))
    lips = gaps(made).lips
    assert np.all(np.diff(lips) > 0)
    assert np.all(lips <= made.posture["aperture_mm"] + 0.05), "a least distance is never above the vertical gap"


@pytest.mark.parametrize("away_mm", [0.0, 1.0, NEAR_MM - 1e-6, NEAR_MM, NEAR_MM + 1e-6, 3 * NEAR_MM, 400.0])
def test_distances_to_what_is_near_are_those_to_everything(away_mm: float) -> None:
    """Against shapely's distance of whole shapes, about the limit beyond which all of a shape is asked."""
    roof = shapely.box(0, 0, 10, 2)
    along = np.linspace(-60, 60, 7)
    below = shapely.box(along - 30, -away_mm - 5, along + 30, -away_mm)
    spikes = shapely.union(below, shapely.box(along, -away_mm, along + 0.1, -0.5 * away_mm))
    for shapes in (below, spikes):
        assert np.abs(least_near(shapes, roof) - shapely.distance(shapes, roof)).max() < 1e-9
