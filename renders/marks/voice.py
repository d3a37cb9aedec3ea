"""The mark of the voice on a side view: the folds, the waves above them while they vibrate, and where it is felt."""

from __future__ import annotations

import numpy as np

from renders.anatomy.larynx import fold_ends_mm, folds_height_mm
from renders.marks.dimensions import dimensions
from renders.marks.moment import Moment
from renders.marks.waves import felt_opacity, wave
from renders.paper.canvas import Canvas
from renders.paper.picture import Dots, Group, Layer, Op, Path, Stroke


def voice_layer(now: Moment, canvas: Canvas) -> Layer:
    """The folds as a mark in the side view, waves above them while they vibrate, and where to feel it on the neck."""
    ops = _folds(now, canvas)
    if now.instant.voice > dimensions().voice.waves_from:
        ops += [_waves(now, canvas), _felt(now, canvas)]
    return Layer("voice", (Group(tuple(ops), clip=Path.rectangle(*canvas.view.box)),))


def _folds(now: Moment, canvas: Canvas) -> list[Op]:
    height = folds_height_mm(now.section)
    front, rear = fold_ends_mm(now.section)
    thick, view = canvas.line("contact") * 0.62, canvas.view
    if now.instant.folds_together:
        bar = Path.line(view.px([[front - 0.3, height], [rear + 0.3, height]]))
        colour = "voicetint" if now.instant.vibrates else "mover"
        return [
            Stroke(bar, "ink", thick + view.line(3.0), cap="butt"),
            Stroke(bar, colour, thick, cap="butt", name="folds together"),
        ]
    ends = Path.lines(
        view.px(end)
        for end in ([[front - 0.5, height], [front + 1.6, height]], [[rear - 1.6, height], [rear + 0.5, height]])
    )
    dots = np.stack([np.linspace(front + 2.6, rear - 2.6, 4), np.full(4, height)], axis=-1)
    return [
        Stroke(ends, "ink", thick + view.line(1.0), cap="butt", name="folds apart"),
        Dots(view.px(dots), view.line(1.3), "ink"),
    ]


def _waves(now: Moment, canvas: Canvas) -> Op:
    height = folds_height_mm(now.section)
    front, rear = fold_ends_mm(now.section)
    voice, most = now.instant.voice, dimensions().voice.waves
    width = canvas.line("voice")
    waves = [
        wave(np.array([(front + rear) / 2, height + 3.2 + 3.1 * k]), now.drift,
             length_mm=(rear - front) * (0.86 - 0.05 * k))
        for k in range(1 + round((most - 1) * voice))
    ]  # fmt: skip
    casing = ("airway", width + canvas.line("casing"))
    return Stroke(Path.bundle(canvas.px(np.stack(waves))), "voice", width, casing=casing, opacity=voice, name="voice")


def _felt(now: Moment, canvas: Canvas) -> Op:
    skin = now.section["chin_neck"]
    neck = skin[np.argmin(np.abs(skin[:, 1] - (folds_height_mm(now.section) - 1.0)))]
    waves = [
        wave(neck + np.array([-3.0 - 2.6 * k, 1.0]), now.drift, upright=True, length_mm=8.0 - 1.6 * k)
        for k in range(2)
    ]
    opacity = felt_opacity(now.instant.felt_throat)
    path = Path.bundle(canvas.px(np.stack(waves)))
    return Stroke(path, "voice", canvas.line("voice"), opacity=opacity, name="felt at the throat")
