"""Where the text of a picture stands, read from recorded pen calls; used to find text that collides or runs out."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from renders.ink.recording import Call


@dataclass(frozen=True)
class TextBox:
    """The ink of one line of text in px: left, top, right, bottom."""

    string: str
    left: float
    top: float
    right: float
    bottom: float


def text_boxes(calls: list[Call]) -> list[TextBox]:
    """The boxes of all filled text; a casing beneath it does not count twice."""
    found = []
    for call in calls:
        if call.string.strip() and call.face is not None and len(call.vertices):
            points = call.vertices[np.isfinite(call.vertices).all(axis=1)]
            (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
            found.append(TextBox(call.string, float(x0), float(y0), float(x1), float(y1)))
    return found


def outside(boxes: list[TextBox], width: float, height: float) -> list[str]:
    """Texts that leave the picture."""
    return [b.string for b in boxes if b.left < 0 or b.top < 0 or b.right > width or b.bottom > height]


def collisions(boxes: list[TextBox], slack: float = 0.5) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes overlap by more than ``slack`` px both ways."""
    found = []
    for a, b in itertools.combinations(boxes, 2):
        across = min(a.right, b.right) - max(a.left, b.left)
        down = min(a.bottom, b.bottom) - max(a.top, b.top)
        if across > slack and down > slack:
            found.append((a.string, b.string))
    return found
