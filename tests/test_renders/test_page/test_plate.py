"""What never moves on a page is what never moves in a still: the same areas and lines, in the same order."""

from __future__ import annotations

import numpy as np

from articulators.head import adult_male
from renders.anatomy import layers
from renders.page import plate
from renders.page.pack import packed, unpacked
from renders.page.settings import settings
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Group, Op, Stroke
from renders.paper.style import load
from renders.paper.view import View


def flat(ops: tuple[Op, ...]) -> list[Op]:
    return [one for op in ops for one in (flat(op.ops) if isinstance(op, Group) else [op])]


def test_areas_and_lines_are_those_of_a_still() -> None:
    drawn, table = plate.plate_drawing(adult_male())
    # a still at as many px a mm, around (0, 0)
    view = View((-2000.0, -2000.0, 4000.0, 4000.0), settings().plate.px_per_mm, (0.0, 0.0))
    fixed = flat(layers.fixed_layer(adult_male(), Canvas(view, load("light"))).ops)
    still = [op for op in fixed if isinstance(op, Fill | Stroke)]
    roles = [op.colour for op in still for _ in op.path.pieces()]
    assert [row[0] for row in drawn["lines"]] == roles
    values = unpacked(*packed([table]))["plate_lines"][0]
    assert sum(row[-1] for row in drawn["lines"]) == len(values)
    x, y = values[::2], values[1::2]
    assert np.isfinite(values).all() and x.min() < -20 < 90 < x.max() and y.min() < -100 < 60 < y.max()


def test_what_lies_behind_the_air_comes_first() -> None:
    drawn, _ = plate.plate_drawing(adult_male())
    assert 0 < drawn["behind"] < len(drawn["lines"])
