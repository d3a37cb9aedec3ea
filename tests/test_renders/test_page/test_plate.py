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
    assert [row[0] for row in drawn["lines"][: drawn["still"]]] == [op.colour for op in still]
    values = unpacked(*packed([table]))["plate_lines"][0]
    assert sum(sum(row[-1]) for row in drawn["lines"]) == len(values)
    x, y = values[::2], values[1::2]
    assert np.isfinite(values).all() and x.min() < -20 < 90 < x.max() and y.min() < -100 < 60 < y.max()


def test_what_lies_behind_the_air_comes_first() -> None:
    drawn, _ = plate.plate_drawing(adult_male())
    assert 0 < drawn["behind"] < drawn["still"]


def test_pieces_follow_in_their_order_and_every_row_of_ink_finds_its_own() -> None:
    drawn, _ = plate.plate_drawing(adult_male())
    assert drawn["still"] + sum(count for _, count in drawn["pieces"].values()) == len(drawn["lines"])
    assert {carrier for carrier, _ in drawn["pieces"].values()} == {"head", "jaw", "larynx", "hyoid"}
    assert {row["piece"] for row in drawn["organs"] if row["draw"] == "piece"} <= set(drawn["pieces"])


def test_rows_of_ink_tell_nothing_that_is_usual_and_name_the_widths_they_need() -> None:
    drawn, _ = plate.plate_drawing(adult_male())
    rows = [*drawn["front_air"], *drawn["organs"]]
    assert all(row["draw"] != "hatch" and row.get("opacity") != 1.0 and "part" not in row for row in rows)
    assert {row["line"] for row in rows if "line" in row} <= set(drawn["widths"])
