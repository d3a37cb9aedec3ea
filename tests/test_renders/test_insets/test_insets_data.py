"""The tables of the small views are refused where they are wrong. Outside: none, a rule of ours."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from renders.insets.lines import Place, line_of, read_only
from renders.insets.lips import LipsView
from renders.insets.palate import PalateView
from tests.planted import refuses_planted_faults


@pytest.mark.parametrize(("file", "kind"), [("lips.toml", LipsView), ("palate.toml", PalateView)])
def test_a_fault_in_a_table_is_told(file: str, kind: type[Any]) -> None:
    refuses_planted_faults("renders.insets", file, kind)


def test_a_place_scales_about_its_middle() -> None:
    place = Place(np.array([100.0, 50.0]), np.array([2.0, 3.0]))
    assert np.array_equal(place.px([[0.0, 0.0], [1.0, -1.0]]), [[100.0, 50.0], [102.0, 47.0]])


def test_what_is_kept_cannot_be_written_to() -> None:
    kept = read_only(line_of(np.array([0.0, 1.0]), np.array([2.0, 3.0])))
    assert np.array_equal(kept, [[0.0, 2.0], [1.0, 3.0]])
    with pytest.raises(ValueError, match="read-only"):
        kept[0, 0] = 5.0
