"""A vowel that moves: a still shows its start, and in dashes where it ends."""

from __future__ import annotations

import numpy as np

from articulators.section import Section, section
from renders.anatomy.enlarged import drawn_section
from renders.marks.moment import Moment
from renders.paper.picture import Layer, Op, Stroke
from renders.paper.picture import Path as Shape
from renders.paper.style import Style
from renders.paper.view import View
from renders.stills.layout import still_layout
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry


def glides(entry: SoundEntry) -> bool:
    """Whether a vowel has a start and an end."""
    return entry.kind == "vowel" and len(entry.posture) == 2


def end_section(timeline: Timeline) -> Section:
    """The section, as it is drawn, that the first sound of a timeline ends in."""
    return drawn_section(section(timeline.head, timeline.spans[0].postures[1]))


def end_layer(timeline: Timeline, now: Moment, view: View, style: Style) -> Layer:
    """Where a vowel that moves ends: tongue and lips in dashes, and an arrow from the start to the end."""
    end = end_section(timeline)
    start_line, end_line = now.section["tongue"], end["tongue"]
    look = still_layout().glide
    wide = view.line(style.line("tongue")) * look.line_share
    dash = (look.dash[0] * wide, look.dash[1] * wide)
    lips = [view.px(end[f"{side}_lip"]) for side in ("upper", "lower")]
    ops: list[Op] = [
        Stroke(Shape.lines(lips), "ink", look.lips_share * wide, dash=dash, cap="butt", name="lips at the end"),
        Stroke(Shape.polygon(view.px(end_line)), "ink", wide, dash=dash, cap="butt", name="tongue at the end"),
    ]
    # the arrow stands where the surface moves most
    surface = slice(len(start_line) // 8, len(start_line) // 2)
    moved = np.hypot(*(end_line - start_line)[surface].T)
    at = int(np.argmax(moved)) + len(start_line) // 8
    tail, tip = view.px(start_line[at]), view.px(end_line[at])
    along = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-6)
    across = np.array([-along[1], along[0]])
    size, off = look.arrow_px, look.arrow_off_px * along
    tail, tip = tail + off, tip - off
    if float(np.dot(tip - tail, along)) > 0.5 * size:
        head = np.stack([tip - size * along + 0.5 * size * across, tip, tip - size * along - 0.5 * size * across])
        casing = ("panel", look.arrow_line_px + 2 * style.line("casing"))
        arrow = Shape.lines([np.stack([tail, tip]), head])
        ops.append(Stroke(arrow, "ink", look.arrow_line_px, casing=casing, name="from start to end"))
    return Layer("end of the glide", tuple(ops))
