"""Rows of ink: faults of their file are refused, and every row finds its lines. Outside: none, a rule of ours."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.head import adult_male
from articulators.posture import posture_of
from articulators.records import parsed, text_of
from articulators.section import section
from renders.anatomy import pieces
from renders.anatomy.ink import Ink, InkTable, ink, line_stretch
from renders.anatomy.layers import DRAWN_ORGANS
from renders.anatomy.lines import ink_lines, joined_stretches, names_of
from tests.planted import refuses_planted_faults

ROWS = (*ink().front_air, *ink().organs)


def test_a_fault_in_the_table_is_told() -> None:
    refuses_planted_faults("renders.anatomy", "ink.toml", InkTable)


def test_a_kind_of_drawing_that_is_none_is_told_with_what_is_allowed() -> None:
    text = text_of("renders.anatomy", "ink.toml").replace('draw = "core"', 'draw = "kern"')
    with pytest.raises(BadInput, match="kern"):
        parsed(text, InkTable, "ink.toml")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.draw} {' '.join(row.along) or row.piece}")
def test_every_row_has_organs_lines_and_pieces_that_there_are(row: Ink) -> None:
    assert set(row.part) | {row.needs, row.without, row.rests} <= {*DRAWN_ORGANS, ""}
    if row.draw == "piece":
        assert row.piece in pieces.PIECES
        return
    lines = ink_lines(section(adult_male(), posture_of()))
    laid = joined_stretches(lines, row.along, np.array([0]))
    assert laid.points.shape[-1] == 2 and laid.points.shape[-2] >= 2
    for rise in row.weights:
        assert rise.low < rise.high
        if rise.at not in ("start", "end", "ends"):
            assert 0 <= laid.at(lines, rise.at, 0) < laid.points.shape[-2]


def test_a_stretch_is_read_as_it_is_written() -> None:
    assert line_stretch("-tongue 0 foot @ 2.4 -1") == ("tongue", "0", "foot", True, (2.4, -1.0))
    assert line_stretch("velum") == ("velum", None, None, False, (0.0, 0.0))
    assert names_of(("-tongue 0 foot", "velum 3", "leaf")) == ["tongue foot"]


def test_stretches_join_backwards_and_moved_and_a_sample_is_found_in_them() -> None:
    lines = ink_lines(section(adult_male(), posture_of()))
    tongue, tip = lines["tongue"][0], lines.number("tongue", "tip", 0)
    laid = joined_stretches(lines, ("velum 0 2 @ 1 0", "-tongue 5 399"), np.array([0]))
    np.testing.assert_allclose(laid.points[0, :3], lines["velum"][0, :3] + [1.0, 0.0])
    np.testing.assert_array_equal(laid.points[0, laid.at(lines, "tongue tip", 0)], tongue[tip])
    assert laid.at(lines, "tongue tip", 0) == 3 + (399 - tip)


def test_moments_are_put_together_where_their_samples_agree() -> None:
    batch = section(adult_male(), posture_of(jaw_mm=np.array([2.0, 2.0, 14.0, 2.0])))
    lines = ink_lines(batch)
    groups = [group.tolist() for group in lines.alike(["tongue tip", "tongue foot"])]
    assert sorted(moment for group in groups for moment in group) == [0, 1, 2, 3]
    together = next(group for group in groups if 0 in group)
    assert {0, 1, 3} <= set(together)
