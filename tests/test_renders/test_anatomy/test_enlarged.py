"""Every mouth is drawn as large as the man's. Outside: none, a rule of ours; his own pictures stay as they are."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.head import adult_male, shipped_head
from articulators.posture import posture_of
from articulators.section import section
from renders.anatomy.enlarged import drawn_head, drawn_section


def test_the_man_is_drawn_as_he_is() -> None:
    shown = section(adult_male(), posture_of())
    assert drawn_head(adult_male()) is adult_male()
    assert drawn_section(shown) is shown


@pytest.mark.parametrize("name", ["adult_female", "child"])
def test_others_are_drawn_in_his_size(name: str) -> None:
    head = shipped_head(name)
    shown = drawn_section(section(head, posture_of(jaw_mm=4.0)))
    assert drawn_head(head).size == 1 and shown.head is drawn_head(head)
    # the hard palate ends where his does, to the rounding of the file; the throat stays the shorter one
    assert shown.head.palate.surface[-1, 0] == pytest.approx(adult_male().palate.surface[-1, 0], abs=0.1)
    assert shown.head.larynx.vocal_fold_height > adult_male().larynx.vocal_fold_height + 5
    assert np.allclose(shown.posture["jaw_mm"] * head.size, 4.0)
    assert float(shown.posture["velum"]) == 0.0
