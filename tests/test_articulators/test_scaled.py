"""A head and a section in another size. Outside: geometry, that similar shapes have all lengths in one proportion."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.head import Head, adult_male, shipped_head
from articulators.posture import posture_of
from articulators.scaled import scaled_head, scaled_section
from articulators.section import section

POSTURE = posture_of(jaw_mm=9.0, aperture_mm=8.0, back_mm=6.0, curl_deg=20.0, larynx_mm=3.0, velum=0.4)
# vertices of rounded outlines may fall otherwise by the last digit
NEAR_MM = 0.001


def test_a_scaled_section_is_the_section_of_the_scaled_head() -> None:
    larger = scaled_section(section(adult_male(), POSTURE), 1.25)
    own = section(larger.head, larger.posture)
    assert max(float(np.abs(larger[organ] - own[organ]).max()) for organ in own.moving) < NEAR_MM
    assert float(np.abs(larger["tongue"] - section(adult_male(), POSTURE)["tongue"]).max()) > 1.0


def test_points_and_lengths_grow_and_shares_stay() -> None:
    head, larger = adult_male(), scaled_head(adult_male(), 1.25)
    assert np.array_equal(larger.palate.surface, 1.25 * head.palate.surface)
    assert larger.larynx.vocal_fold_height == 1.25 * head.larynx.vocal_fold_height
    assert larger.places.roof_mm["velar"] == pytest.approx([1.25 * mm for mm in head.places.roof_mm["velar"]])
    assert larger.places.velum_share == head.places.velum_share
    assert np.array_equal(larger.lips.upper_moves, head.lips.upper_moves)
    assert (larger.tongue.root_share, larger.tongue.foot_arrival) == (head.tongue.root_share, head.tongue.foot_arrival)
    assert larger.size == 1.25


@pytest.mark.parametrize("name", ["adult_male", "adult_female", "child"])
def test_there_and_back_is_the_same_head(name: str) -> None:
    head = shipped_head(name)
    back = scaled_head(scaled_head(head, 1 / head.size), head.size)
    for table in Head.__struct_fields__:
        for key, value in getattr(head, table).values().items():
            if isinstance(value, np.ndarray):
                assert np.allclose(getattr(getattr(back, table), key), value), key
    assert scaled_head(head, 1 / head.size).size == 1
