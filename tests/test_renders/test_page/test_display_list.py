"""A display list as numbers: every area and line comes back where it was. No outside reference: a property."""

from __future__ import annotations

import numpy as np
import pytest

from renders.page.display_list import Scale, display_line, display_lines, rows_of, table_of
from renders.page.pack import packed, unpacked
from renders.paper.picture import Dots, Fill, Path, Stroke, Text

SCALE = Scale(within_mm=0.05, width=0.1, per_mm=10.0, middle=(50.0, 20.0))


def test_px_become_mm_around_the_middle_and_widths_too() -> None:
    line = display_line(Stroke(Path.line([[50.0, 20.0], [150.0, 40.0]]), "ink", 20.0, opacity=0.5), SCALE)
    assert line is not None
    np.testing.assert_allclose(line.pieces_mm[0], [[0.0, 0.0], [10.0, 2.0]])
    assert (line.role, line.width, line.opacity, line.closed) == ("ink", 2.0, 0.5, False)


def test_an_area_has_no_width_and_what_is_neither_is_left_out() -> None:
    (area,) = display_lines([Fill(Path.rectangle(0.0, 0.0, 40.0, 40.0), "panel")], SCALE)
    assert area.width is None and area.closed
    assert display_lines([Text("word", 0.0, 0.0, 20.0, "ink")], SCALE) == []


def test_lines_stand_in_one_table_one_after_the_other() -> None:
    paths = [Path.line([[0.0, 0.0], [100.0, 10.0]]), Path.polygon([[0.0, 0.0], [30.0, 0.0], [30.0, 30.0]])]
    lines = display_lines([Stroke(path, "ink", 1.0) for path in paths], SCALE)
    table = unpacked(*packed([table_of("lines", lines, 0.01)]))["lines"][0]
    at = 0
    for row, line in zip(rows_of(lines), lines, strict=True):
        (count,), (points,) = row[-1], line.pieces_mm
        np.testing.assert_allclose(table[at : at + count].reshape(-1, 2), points, atol=0.005 + 1e-9)
        at += count
    assert at == len(table)


def test_points_that_a_line_does_not_need_are_left_out() -> None:
    straight = Path.line(np.stack([np.linspace(0, 200, 30), np.zeros(30)], axis=-1))
    bent = Path.line(np.stack([np.linspace(0, 200, 30), 30 * np.sin(np.linspace(0, 3, 30))], axis=-1))
    kept = [len(display_lines([Stroke(path, "ink", 1.0)], SCALE)[0].pieces_mm[0]) for path in (straight, bent)]
    assert kept[0] == 2 and kept[1] > 4


@pytest.mark.parametrize("count", [2, 3])
def test_short_lines_keep_every_point(count: int) -> None:
    points = [[10.0 * i, 0.0] for i in range(count)]
    assert len(display_lines([Stroke(Path.line(points), "ink", 1.0)], SCALE)[0].pieces_mm[0]) == count


def test_mm_may_count_upwards_and_dots_are_areas() -> None:
    (dots,) = display_lines([Dots([[20.0, 40.0], [60.0, 40.0]], 5.0, "air")], Scale(0.01, 1.0, 10.0, upwards=True))
    assert dots.width is None and dots.closed
    np.testing.assert_allclose([piece.mean(axis=0) for piece in dots.pieces_mm], [[2.0, -4.0], [6.0, -4.0]], atol=0.05)
