"""Two outlines laid over each other: told apart without colour (WCAG 2.2, 1.4.1), drawn only where they differ."""

from __future__ import annotations

from renders.paper.canvas import Canvas
from renders.paper.picture import Group, Layer, Op, Path, Stroke
from renders.paper.style import load
from renders.paper.view import View
from renders.sideview.overlay import overlay_layers, second_stroke, solid_width
from tests.key_moments import key_moment

CANVAS = Canvas(View((0, 0, 800, 560), 4.0, (17.5, -16.5)), load())


def named(layers: list[Layer]) -> dict[str, Op]:
    (group,) = layers[-1].ops
    assert isinstance(group, Group)
    return {op.name: op for op in group.ops if isinstance(op, Stroke)}


def test_a_shape_laid_over_itself_has_no_second_outline() -> None:
    assert list(named(overlay_layers(key_moment("i"), key_moment("i"), CANVAS, 0.8))) == ["first outline"]


def test_shapes_that_differ_are_hatched_and_dashed() -> None:
    found = named(overlay_layers(key_moment("i"), key_moment("ɑ"), CANVAS, 0.8))
    assert list(found) == ["only one", "second outline", "first outline"]


def test_the_second_line_differs_by_more_than_colour() -> None:
    line = second_stroke(Path.line([[0, 0], [9, 9]]), CANVAS)
    assert line.dash is not None and line.width != solid_width(CANVAS)
