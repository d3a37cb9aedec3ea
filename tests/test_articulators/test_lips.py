"""The lips before contact: the gap that is asked for, states, and which part is red."""

from __future__ import annotations

import numpy as np
import pytest

from articulators import lips
from articulators.posture import posture_of
from tests.test_articulators.tissues import head


@pytest.mark.parametrize("aperture_mm", [-1.0, 0.0, 3.0, 9.0])
def test_the_lower_lip_goes_farther_than_the_upper(aperture_mm: float) -> None:
    """The lower lip does most of the closing (common practice, no source)."""
    wide, near = posture_of(aperture_mm=14.0), posture_of(aperture_mm=aperture_mm)
    (upper, lower), (upper_near, lower_near) = lips.outlines(head(), wide), lips.outlines(head(), near)
    down, up = (upper - upper_near)[:, 1].max(), (lower_near - lower)[:, 1].max()
    assert 0 <= down <= head().lips.upper_limit_mm + 1e-9
    assert up > down
    assert up + down == pytest.approx(14.0 - aperture_mm, abs=0.6)  # both move by shares along their lines


def test_rounded_lips_come_forward_and_spread_ones_draw_back() -> None:
    """Ladefoged & Johnson (from memory): rounding protrudes the lips, spreading draws their corners back."""
    (u0, u1), (l0, l1) = lips.vermilion(head())
    red = {
        state: lips.outlines(head(), posture_of(**({state: 1.0} if state else {})))[0][u0 : u1 + 1, 0].min()
        for state in ("rounded", "", "spread")
    }
    assert red["rounded"] < red[""] - 5.0 < red[""] < red["spread"]
    upper, lower = lips.outlines(head(), posture_of())
    assert 0 < l0 < l1 < len(lower) and 0 < u0 < u1 < len(upper)


def test_a_batch_of_lips_gives_the_numbers_of_single_ones() -> None:
    many = posture_of(aperture_mm=np.array([-0.9, 2.0, 7.0]), rounded=np.array([0.0, 1.0, 0.3]))
    upper, lower = lips.outlines(head(), many)
    for i in range(3):
        one_upper, one_lower = lips.outlines(head(), many.at(i))
        assert np.abs(upper[i] - one_upper).max() < 1e-9 and np.abs(lower[i] - one_lower).max() < 1e-9
