"""A display list as numbers: areas and lines of what never moves, back to front, for the page's script to draw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from articulators.curves import Array
from renders.page.pack import Table, kept_points
from renders.paper.picture import Fill, Op, Stroke


@dataclass(frozen=True, slots=True)
class Scale:
    """How a display list becomes numbers.

    within_mm  how far a point that is left out may lie away     width   what line widths are multiplied by
    per_mm     units of its points in a mm                       middle  the point in its units that lies at (0, 0) mm
    """

    within_mm: float
    width: float
    per_mm: float = 1.0
    middle: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class DisplayLine:
    """One area or line: colour role, width (None for an area), opacity, whether closed, points (n, 2) in mm."""

    role: str
    width: float | None
    opacity: float
    closed: bool
    points_mm: Array


def lines_of(op: Op, scale: Scale) -> list[DisplayLine]:
    """The areas and lines of one operation; none where it is neither."""
    if not isinstance(op, Fill | Stroke):
        return []
    width = round(op.width * scale.width, 2) if isinstance(op, Stroke) else None
    found = []
    for points, closed in op.path.pieces():
        mm = (points - np.array(scale.middle)) / scale.per_mm
        mm = mm[kept_points(mm[None], scale.within_mm)] if len(mm) > 3 else mm
        found.append(DisplayLine(op.colour, width, round(op.opacity, 3), closed, mm))
    return found


def rows_of(lines: Iterable[DisplayLine]) -> list[list[Any]]:
    """Lines as [role, width, opacity, closed, number of values]; the values stand in `table_of`."""
    return [[line.role, line.width, line.opacity, line.closed, line.points_mm.size] for line in lines]


def table_of(name: str, lines: Sequence[DisplayLine], step_mm: float) -> Table:
    """The points of lines as one table of x, y, x, y ..., one line after the other."""
    return Table(name, np.concatenate([line.points_mm.ravel() for line in lines])[None], step_mm, 2)
