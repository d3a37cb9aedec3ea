"""The mark of the voice agrees with folds and vibration. That folds vibrate only when together: any phonetics text."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from renders.anatomy.larynx import fold_ends_mm, folds_height_mm
from renders.marks.moment import Moment
from renders.marks.voice import voice_layer
from renders.marks.waves import felt_opacity, wave
from renders.paper.canvas import Canvas
from renders.paper.picture import Group, Stroke
from renders.paper.style import load
from renders.paper.view import View
from tests.key_moments import key_moment

CANVAS = Canvas(View((0, 0, 800, 900), 4.0, (17.5, -56.5)), load())


def strokes(now: Moment) -> dict[str, Stroke]:
    (group,) = voice_layer(now, CANVAS).ops
    assert isinstance(group, Group)
    return {op.name: op for op in group.ops if isinstance(op, Stroke) and op.name}


@pytest.mark.parametrize(
    ("symbol", "wanted"),
    [
        ("m", {"folds together", "voice", "felt at the throat"}),
        ("s", {"folds apart"}),
        ("ʔ", {"folds together"}),
    ],
)
def test_folds_and_waves_are_drawn_as_the_sound_has_them(symbol: str, wanted: set[str]) -> None:
    assert set(strokes(key_moment(symbol))) == wanted


def test_waves_grow_with_the_voice_and_lie_above_the_folds() -> None:
    now = key_moment("m")
    weak = replace(now, instant=replace(now.instant, voice=0.3))
    assert strokes(weak)["voice"].opacity < strokes(now)["voice"].opacity
    assert len(strokes(weak)["voice"].path.vertices) < len(strokes(now)["voice"].path.vertices)
    front, rear = fold_ends_mm(now.section)
    corner = CANVAS.px([[front, folds_height_mm(now.section)], [rear, folds_height_mm(now.section)]])
    path = strokes(now)["voice"].path.vertices
    assert path[:, 1].max() < corner[:, 1].min() and corner[0, 0] < path[:, 0].min() <= path[:, 0].max() < corner[1, 0]


def test_a_wave_drifts_and_comes_round() -> None:
    here = np.array([3.0, 4.0])
    assert np.allclose(wave(here, 0.0), wave(here, 1.0)) and not np.allclose(wave(here, 0.0), wave(here, 0.5))
    assert np.allclose(wave(here, 0.2, upright=True)[:, ::-1] - here[::-1], wave(here, 0.2) - here)


def test_what_is_felt_is_drawn_the_stronger_the_more_it_is_felt() -> None:
    levels = [felt_opacity(felt) for felt in np.linspace(0, 1, 21)]
    assert levels[0] == 0 and levels[-1] == 1 and np.all(np.diff(levels) > 0)
