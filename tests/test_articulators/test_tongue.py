"""The tongue before contact: what the modes do, the tip's curl, the floor of the mouth that gives."""

from __future__ import annotations

import numpy as np
import pytest

from articulators import tongue
from articulators.curves import arc_length
from articulators.posture import Posture, posture_of
from tests.test_articulators.tissues import head, inventory


def area_mm2(ring: np.ndarray) -> np.ndarray:
    x, y = ring[..., 0], ring[..., 1]
    return np.abs((x * np.roll(y, -1, -1) - y * np.roll(x, -1, -1)).sum(axis=-1)) / 2


def test_modes_add_up() -> None:
    """The surface is linear in its modes; the jaw turns what they give by the same angles."""
    rest, one, other, both = (
        tongue.surface(head(), posture_of(**parts))
        for parts in ({}, {"back_mm": 6.0}, {"root_mm": -4.0}, {"back_mm": 6.0, "root_mm": -4.0})
    )
    assert np.allclose(both - rest, (one - rest) + (other - rest))


@pytest.mark.parametrize("curl_deg", [-20.0, 60.0, 140.0])
def test_a_curled_tip_keeps_its_length(curl_deg: float) -> None:
    straight, curled = (tongue.surface(head(), posture_of(curl_deg=c)) for c in (0.0, curl_deg))
    assert arc_length(curled)[-1] == pytest.approx(arc_length(straight)[-1], abs=1e-6)
    assert (curled[-1, 1] > straight[-1, 1]) == (curl_deg > 0)


def test_the_floor_gives_where_the_tongue_would_grow_or_shrink_too_far() -> None:
    """The volume of a muscle is kept (K. K. Smith & W. M. Kier 1989, from memory); a share of it is free."""
    some = Posture(np.concatenate([inventory().values, posture_of(back_mm=np.array([-10.0, 24.0])).values]))
    size, (free, left) = tongue.rest_mass_area_mm2(head()), head().tongue.floor_gives
    before = area_mm2(tongue.unyielding(head(), some)) / size - 1
    after = area_mm2(tongue.mass(head(), some)) / size - 1
    over = np.sign(before) * np.maximum(np.abs(before) - free, 0)
    assert np.allclose(after, before - (1 - left) * over, atol=1e-3)
    assert np.abs(before).max() > free, "some of them would go too far"


def test_only_the_lower_border_gives() -> None:
    far = posture_of(back_mm=24.0)
    stiff, soft = tongue.unyielding(head(), far), tongue.mass(head(), far)
    moved = np.flatnonzero(np.any(stiff != soft, axis=-1))
    assert len(moved) == len(head().tongue.belly_share)
    assert np.array_equal(stiff[: tongue.SURFACE_POINTS], soft[: tongue.SURFACE_POINTS])


def test_the_foot_is_drawn_back_with_the_tip_and_never_forward() -> None:
    rest = tongue.surface(head(), posture_of())[-1]
    feet = [tongue.foot(head(), posture_of(), rest + [dx, 0.0])[0] for dx in (-6.0, 0.0, 6.0)]
    assert feet[0] == feet[1] < feet[2]
