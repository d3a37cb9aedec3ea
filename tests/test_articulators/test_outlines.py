"""Outlines before contact: every organ has its landmarks; what rides on the jaw or the larynx moves with it."""

from __future__ import annotations

import numpy as np
import pytest

from articulators import outlines
from articulators.posture import posture_of
from tests.test_articulators.tissues import head


@pytest.mark.parametrize("organ", outlines.FIXED)
def test_a_fixed_organ_is_a_read_only_line_through_its_landmarks(organ: str) -> None:
    line = outlines.fixed(head(), organ)
    assert line.ndim == 2 and line.shape[1] == 2 and np.isfinite(line).all()
    assert not line.flags.writeable


@pytest.mark.parametrize("organ", [*outlines.ON_JAW, *outlines.ON_LARYNX])
def test_what_moves_as_one_piece_keeps_its_shape(organ: str) -> None:
    """Bone and cartilage do not bend: all distances within a piece stay."""
    rest = outlines.at_rest(head(), organ)
    moved = outlines.linear(head(), posture_of(jaw_mm=12.0, larynx_mm=-4.0))[organ]
    steps = [np.hypot(*np.diff(line, axis=0).T) for line in (rest, moved)]
    assert np.allclose(steps[0], steps[1])
    assert not np.allclose(rest, moved)


def test_the_larynx_goes_up_and_down_by_what_is_asked() -> None:
    low, high = (outlines.linear(head(), posture_of(larynx_mm=mm))["thyroid"] for mm in (-3.0, 5.0))
    assert np.allclose(high - low, [0.0, 8.0])


def test_the_vertebrae_below_the_first_two_stand_one_above_the_other() -> None:
    """Anatomy: seven neck vertebrae; the first two are drawn as atlas and dens."""
    bodies = outlines.vertebrae(head())
    assert len(bodies) >= 5
    assert np.all(np.diff([body[:, 1].mean() for body in bodies]) < 0), "from above down"


def test_an_epiglottis_folded_back_comes_nearer_to_the_throat_wall() -> None:
    """Ladefoged & Maddieson 1996 (from memory): epiglottal sounds draw the leaf towards the wall of the throat."""
    upright, folded = (outlines.linear(head(), posture_of(epiglottis=x))["epiglottis"] for x in (0.0, 1.0))
    assert folded[:, 0].max() > upright[:, 0].max() + 3.0
