"""The names of the parts of a still, each on a leader line to what it names."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from articulators.curves import Bools
from renders.anatomy.places import anchors
from renders.labels import placement
from renders.labels.crossings import obstacles
from renders.labels.table import labels_by_part
from renders.marks.moment import Moment
from renders.paper.picture import Dots, Layer, Op, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.view import View
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.wording.line import Line


def labels_layer(now: Moment, view: View, look: StillLook, around: Sequence[Layer] = ()) -> Layer:
    """Names of the parts that are shown, with leaders that keep off the marks and small views among layers `around`."""
    style, technical, room = look.style, look.labels == "technical", still_layout().names
    x0, y0, w, h = view.box
    edge = room.inside_px
    points = {part: view.px(found) for part, found in anchors(now.section).items()}

    def seen(part: str) -> Bools:
        x, y = points[part].T
        inside: Bools = (x0 + edge < x) & (x < x0 + w - edge) & (y0 + edge < y) & (y < y0 + h - edge)
        return inside

    chosen = {
        part: row
        for part, row in labels_by_part().items()
        if (technical or row.in_plain) and row.shown_with in look.parts and seen(part).any()
    }
    if not chosen:
        return Layer("labels", ())
    spots = np.full((len(chosen), max(len(points[part]) for part in chosen), 2), np.nan)
    for row, part in zip(spots, chosen, strict=True):
        kept = points[part][seen(part)]
        row[: len(kept)] = kept
    frames = [op for layer in around if layer.name == "insets" for op in layer.ops]
    boxes = [op.path.vertices for op in frames if isinstance(op, Stroke)]
    met = obstacles(now.section, view, boxes, [layer for layer in around if layer.name in ("contact", "voice")])
    own = [row.own for row in chosen.values()]
    size = style.size("label", "still")
    between = (room.left_px, room.right_px, room.top_px, room.bottom_px)
    columns = placement.Columns(*between, size, gap=room.before_px, pitch=room.pitch_px)
    placed = placement.place(
        spots,
        [look.language.say(Line(f"part.{part}"), technical) for part in chosen],
        columns,
        crossed=lambda label, starts, ends: met.cost(own[label], starts, ends),
    )
    casing = ("panel", style.line("leader") + 2 * style.line("casing"))
    lines: list[Op] = []
    texts: list[Op] = []
    for label in placed.labels:
        lines.append(Stroke(Shape.line(label.leader), "ink", style.line("leader") * room.leader_share, casing=casing))
        lines.append(Dots(label.leader[1:], room.dot_rim_px, "panel"))
        lines.append(Dots(label.leader[1:], room.dot_px, "ink"))
        first = label.y - (len(label.lines) - 1) * placed.line_height / 2
        for i, words in enumerate(label.lines):
            texts.append(
                Text(
                    words, label.x, first + i * placed.line_height, size, "ink",
                    anchor="end" if label.side == "left" else "start", baseline="middle",
                    casing=look.casing,
                )
            )  # fmt: skip
    return Layer("labels", (*lines, *texts))
