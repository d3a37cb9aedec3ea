"""What leaves the mouth and the nose, by its instant. That each kind has a mark of its own: WCAG 2.2, 1.4.1."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from articulators.curves import Array
from renders.marks.moment import Moment
from renders.marks.outflow import chevrons, outflow, unit
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Stroke
from renders.paper.style import load
from renders.paper.view import View
from tests.key_moments import key_moment

CANVAS = Canvas(View((0, 0, 800, 560), 4.0, (17.5, -16.5)), load())
ENDS = np.array([[-14.0, -6.0], [-14.0, -4.0], [-14.0, -2.0]])


def changed(**values: float | bool) -> Moment:
    now = key_moment("ɑ")
    return replace(now, instant=replace(now.instant, **values))  # type: ignore[arg-type]


def leaves(now: Moment, nose: bool = False) -> list[Stroke | Fill]:
    found = outflow(ENDS, now, CANVAS, nose)
    assert all(isinstance(op, Stroke | Fill) for op in found)
    return found  # type: ignore[return-value]


def reach(now: Moment, nose: bool = False) -> Array:
    """How far from the middle of the ends the mark reaches, in px to the right and down."""
    points = np.concatenate([op.path.vertices for op in leaves(now, nose)])
    middle = CANVAS.px(ENDS.mean(axis=0))
    return np.asarray(points[np.argmax(np.hypot(*(points - middle).T))] - middle)


@pytest.mark.parametrize(
    ("values", "name"),
    [
        ({"mouth_ml_s": 700.0, "since_release_s": 0.001}, "burst"),
        ({"mouth_ml_s": 200.0, "friction": True}, "hiss"),
        ({"mouth_ml_s": 400.0, "voice": 0.0, "breath": 1.0}, "breath"),
        ({"mouth_ml_s": 150.0, "breath": 0.0}, "air out"),
    ],
)
def test_the_mark_is_that_of_the_instant(values: dict[str, float], name: str) -> None:
    assert leaves(changed(**values))[0].name == name


def test_only_flow_leaves_the_nose() -> None:
    now = changed(nose_ml_s=150.0, friction=True, since_release_s=0.001, mouth_ml_s=700.0)
    assert leaves(now, nose=True)[0].name == "air out"


def test_more_air_reaches_farther_and_leaves_forward() -> None:
    little, much = reach(changed(mouth_ml_s=60.0)), reach(changed(mouth_ml_s=900.0))
    assert np.hypot(*much) > 1.5 * np.hypot(*little) and much[0] < 0
    # out of the nose air goes down and forward: the speaker faces left, pictures count y down
    down = reach(changed(nose_ml_s=150.0), nose=True)
    assert down[0] < 0 < down[1] and down[1] > -down[0]


def test_arrowheads_point_the_way_they_go() -> None:
    points, way = np.array([[0.0, 0.0], [5.0, 5.0]]), unit(np.array([[2.0, 0.0], [0.0, -3.0]]))
    assert np.allclose(np.hypot(*way.T), 1.0)
    heads = chevrons(points, way, 2.0)
    assert np.array_equal(heads[:, 1], points)
    for head, ahead in zip(heads, way, strict=True):
        for end in (head[0], head[2]):
            back = head[1] - end
            assert math.hypot(*back) == pytest.approx(2.0)
            assert back @ ahead / 2.0 == pytest.approx(math.cos(math.radians(30)), abs=0.01)
