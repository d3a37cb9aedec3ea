"""A display list as numbers: areas and lines of what never moves, back to front, for the page's script to draw."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from articulators.curves import Array
from renders.page.pack import Table, kept_points
from renders.paper.picture import Dots, Fill, Op, Path, Stroke


@dataclass(frozen=True, slots=True)
class Scale:
    """How a display list becomes numbers.

    within_mm  how far a point that is left out may lie away     width   what line widths are multiplied by
    per_mm     units of its points in a mm; upwards: they count from the top, mm from below
    middle     the point in its units that lies at (0, 0) mm
    """

    within_mm: float
    width: float
    per_mm: float = 1.0
    middle: tuple[float, float] = (0.0, 0.0)
    upwards: bool = False

    @property
    def down_per_mm(self) -> float:
        """Units of its points in a mm from top to bottom."""
        return -self.per_mm if self.upwards else self.per_mm


@dataclass(frozen=True, slots=True, eq=False)
class DisplayLine:
    """One area or line: colour role, width (None for an area), opacity, whether closed, its pieces (n, 2) in mm."""

    role: str
    width: float | None
    opacity: float
    closed: bool
    pieces_mm: tuple[Array, ...]


def display_line(op: Op, scale: Scale) -> DisplayLine | None:
    """The area or line of one operation; None where it is neither."""
    if isinstance(op, Dots):
        op = Fill(Path.polygons(op.corners()), op.colour, op.opacity)
    if not isinstance(op, Fill | Stroke):
        return None
    width = round(op.width * scale.width, 2) if isinstance(op, Stroke) else None
    pieces = []
    for points, _ in op.path.pieces():
        mm = (points - np.array(scale.middle)) / np.array([scale.per_mm, scale.down_per_mm])
        pieces.append(mm[kept_points(mm[None], scale.within_mm)] if len(mm) > 3 else mm)
    closed = any(closed for _, closed in op.path.pieces())
    return DisplayLine(op.colour, width, round(op.opacity, 3), closed, tuple(pieces))


def display_lines(ops: Iterable[Op], scale: Scale) -> list[DisplayLine]:
    """The areas and lines of operations, back to front."""
    return [line for op in ops if (line := display_line(op, scale)) is not None]


def rows_of(lines: Iterable[DisplayLine]) -> list[list[Any]]:
    """Lines as [role, width, opacity, closed, numbers of values of its pieces]; the values stand in `table_of`."""
    return [[one.role, one.width, one.opacity, int(one.closed), [p.size for p in one.pieces_mm]] for one in lines]


def table_of(name: str, lines: Sequence[DisplayLine], step_mm: float) -> Table:
    """The points of lines as one table of x, y, x, y ..., one piece after the other."""
    return Table(name, np.concatenate([piece.ravel() for line in lines for piece in line.pieces_mm])[None], step_mm, 2)
