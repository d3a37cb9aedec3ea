"""One composer for all side views: a film's frame is a still with everything drawn alike."""

from __future__ import annotations

import numpy as np
import pytest

from renders.ink.recording import recorded_calls
from renders.paper.canvas import Canvas
from renders.paper.picture import Layer, Picture
from renders.paper.style import load
from renders.paper.view import View
from renders.sideview.composed import WHOLE, Organs, Scope, side_layers, side_view
from tests.key_moments import key_moment

CANVAS = Canvas(View((0, 0, 800, 560), 4.0, (17.5, -16.5)), load())


def calls(layers: list[Layer]) -> list[tuple[object, ...]]:
    found = recorded_calls(Picture(800, 560, None, tuple(layers)), CANVAS.style)
    return [(call.groups, call.vertices.round(6).tobytes(), call.face, call.edge) for call in found]


def test_organs_kept_for_a_film_are_drawn_as_in_one_picture() -> None:
    organs = Organs()
    for symbol in ("t", "m", "t", "ɑ"):
        now = key_moment(symbol)
        assert calls(side_layers(now, CANVAS, organs=organs)) == calls(side_layers(now, CANVAS))


def test_organs_of_one_section_are_the_same_layer_again() -> None:
    organs, now = Organs(), key_moment("t")
    assert organs.layer(now, CANVAS, 0.0) is organs.layer(now, CANVAS, 0.0)
    assert organs.layer(now, CANVAS, 0.5) is not organs.layer(now, CANVAS, 0.0)


@pytest.mark.parametrize(
    ("parts", "names"),
    [
        (WHOLE, ["fixed parts", "organs", "air", "contact", "voice"]),
        (WHOLE - {"air", "voice"}, ["fixed parts", "organs", "contact"]),
        (WHOLE - {"larynx"}, ["fixed parts", "organs", "air", "contact"]),
        (frozenset({"tongue"}), ["fixed parts", "organs"]),
    ],
)
def test_layers_are_those_of_the_parts(parts: frozenset[str], names: list[str]) -> None:
    assert [layer.name for layer in side_view(key_moment("d"), CANVAS, Scope(parts))] == names


def test_what_is_at_rest_is_drawn_otherwise() -> None:
    now = key_moment("p")
    assert calls(side_layers(now, CANVAS, Scope(at_rest=frozenset({"tongue"})))) != calls(side_layers(now, CANVAS))


def test_a_canvas_is_its_view_in_its_style() -> None:
    assert np.array_equal(CANVAS.px([[17.5, -16.5]]), CANVAS.view.px([[17.5, -16.5]]))
    assert CANVAS.line("air") == CANVAS.view.line(CANVAS.style.line("air")) and CANVAS.scale == 4.0
    assert Canvas(CANVAS.view, load()) == CANVAS and Canvas(CANVAS.view, load("dark")) != CANVAS
