"""The tip of the tongue, as all pictures and measures take it."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.section import section
from tests.test_articulators.tissues import head, inventory, inventory_keys

FOUND = section(head(), inventory())
KEYS = inventory_keys()


def test_the_tip_is_between_the_teeth_in_a_dental_fricative_and_behind_them_elsewhere() -> None:
    """P. Ladefoged & K. Johnson, A Course in Phonetics (from memory): [θ] has the tip between or at the teeth."""
    x = dict(zip(KEYS, FOUND.tip_mm()[:, 0], strict=True))
    assert min(x, key=x.__getitem__) == "θ"
    assert x["θ"] < x["n"] < x["s"] < x["ʃ"] < x["ɹ"]


def test_the_tip_lies_on_the_tongue_before_its_underside() -> None:
    """The samples run from the vallecula over the tip to the underside; anatomy, common practice."""
    at = FOUND.tip_index()
    assert at.shape == (len(KEYS),) and np.all(at > 200) and np.all(at < 300)
    assert np.array_equal(FOUND["tongue"][np.arange(len(KEYS)), at], FOUND.tip_mm())


@pytest.mark.parametrize("number", range(0, len(KEYS), 7))
def test_a_batch_has_the_tips_of_its_moments(number: int) -> None:
    assert np.array_equal(FOUND.at(number).tip_mm(), FOUND.tip_mm()[number])


def test_a_tip_drawn_back_is_not_the_underside() -> None:
    """Where a tongue is drawn back its underside may be as far forward; a plain minimum of x takes that."""
    near_close = FOUND.at(KEYS.index("ʊ")).posture
    back = section(head(), near_close.with_parts(tip_forward_mm=-14.0, tip_up_mm=6.0))
    tongue, at = back["tongue"], int(back.tip_index())
    plain = int(np.argmin(tongue[: 3 * len(tongue) // 4, 0]))
    assert plain > at and tongue[at, 1] > tongue[plain, 1] + 10.0
