"""A rim of paper under marks and outlines, so that a transparent picture can be read on any footage."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from renders.paper.picture import Dots, Fill, Group, Op, Stroke


def rims(ops: Iterable[Op], px: float) -> list[Op]:
    """The shapes of ops in paper, `px` wider on each side, to be drawn beneath them; texts have a casing instead."""
    found: list[Op] = []
    for op in ops:
        if isinstance(op, Stroke):
            wide = max(op.width, op.casing[1] if op.casing else 0.0) + 2 * px
            found.append(replace(op, colour="paper", width=wide, dash=None, cap="round", join="round", casing=None))
        elif isinstance(op, Fill):
            found.append(Stroke(op.path, "paper", 2 * px, opacity=op.opacity))
        elif isinstance(op, Dots):
            found.append(replace(op, colour="paper", radius=np.asarray(op.radius) + px))
        elif isinstance(op, Group):
            found.append(replace(op, ops=tuple(rims(op.ops, px))))
    return found
