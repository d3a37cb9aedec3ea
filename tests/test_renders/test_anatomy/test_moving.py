"""Rows of ink as areas and lines. Outside: closed forms of a straight line."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from articulators.head import adult_male
from articulators.posture import posture_of
from articulators.section import section
from renders.anatomy import mouth
from renders.anatomy.emphasis import Emphasis
from renders.anatomy.ink import Ink, Rise
from renders.anatomy.layers import EVEN, EVERY_ORGAN
from renders.anatomy.lines import InkLines
from renders.anatomy.moving import inked
from renders.anatomy.pen import PlatePen
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Op, Stroke
from renders.paper.style import load
from renders.paper.view import View

PEN = PlatePen(Canvas(View((0.0, 0.0, 640.0, 600.0), 4.0, (28.0, -25.0)), load("light")))
SECTIONS = section(adult_male(), posture_of(jaw_mm=np.array([2.0, 8.0])))
STRAIGHT = np.tile(np.stack([np.linspace(0.0, 20.0, 41), np.zeros(41)], axis=-1), (2, 1, 1))
LINES = InkLines(SECTIONS, {"straight": STRAIGHT}, {"straight middle": np.array([20, 10])})


def drawn(row: Ink, emphasis: Emphasis = EVEN) -> list[Op]:
    first, second = inked(PEN, [row], LINES, emphasis)
    return [*first, *second]


def areas(row: Ink) -> list[float]:
    ops = drawn(row)
    assert all(isinstance(op, Fill) for op in ops)
    return [float(shapely.Polygon(op.path.vertices).area) for op in ops if isinstance(op, Fill)]


def test_a_band_is_as_large_as_its_line_is_long_and_its_weights_say() -> None:
    assert areas(Ink(draw="band", along=("straight",), depth_mm=1.5)) == pytest.approx([30.0, 30.0])
    # a smooth rise from 0 to 1 is half on the average: 5 mm of it, then 15 mm whole
    rising = Ink(draw="band", along=("straight",), depth_mm=1.0, weights=(Rise(at="start", high=5.0),))
    assert areas(rising) == pytest.approx([17.5, 17.5], rel=1e-3)


def test_weights_change_at_a_sample_wherever_it_lies_at_each_moment() -> None:
    fading = Ink(draw="band", along=("straight",), depth_mm=1.0,
                 weights=(Rise(at="straight middle", low=-1.0, high=1.0, least=1.0, most=0.0),))  # fmt: skip
    assert areas(fading) == pytest.approx([10.0, 5.0], rel=1e-3)


def test_stretches_end_where_their_samples_lie() -> None:
    first, second = drawn(Ink(draw="line", along=("straight 0 middle",), line="airway"))
    assert isinstance(first, Stroke) and isinstance(second, Stroke)
    assert (first.path.vertices[-1, 0], second.path.vertices[-1, 0]) == (10.0, 5.0)
    assert first.width == PEN.width_mm("airway")


def test_a_row_is_drawn_only_with_its_organs() -> None:
    row = Ink(draw="area", part=("tongue",), needs="face", along=("straight",))
    assert len(drawn(row)) == 2
    for missing in ("tongue", "face"):
        assert drawn(row, Emphasis(EVERY_ORGAN - {missing})) == []
    assert drawn(Ink(draw="area", without="face", along=("straight",))) == []


def test_what_a_moment_has_none_of_is_not_drawn() -> None:
    lines, samples = mouth.tongue_lines(SECTIONS)
    hidden = np.isnan(lines["floor_edge"][:, 0, 0])
    floor = InkLines(SECTIONS, lines, samples)
    made = inked(PEN, [Ink(draw="area", along=("floor_edge",))], floor, EVEN)
    assert [len(ops) for ops in made] == [0 if gone else 1 for gone in hidden]
