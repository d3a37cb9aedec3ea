"""What never moves in a side view, as the page draws it: the same areas and lines as in a still, told as numbers."""

from __future__ import annotations

from typing import Any

import numpy as np

from articulators.head import Head
from renders.anatomy import fixed
from renders.anatomy.layers import ALL
from renders.anatomy.plate_pen import PlatePen
from renders.marks.state import numbers
from renders.page.pack import Table, kept_points
from renders.paper.picture import Fill, Op, Stroke
from renders.paper.style import load
from renders.paper.view import View

VIEW = View((0.0, 0.0, 1.0, 1.0), 4.0, (0.0, 0.0))  # line widths are told at 4 px per mm
WITHIN_MM = 0.06
STEP_MM = 0.04
WIDTHS = ("profile", "tongue", "lips", "soft_palate", "tooth", "cartilage", "bone", "airway", "fibre")
AIR = "air spaces"  # the last of what lies behind the air


def drawing(head: Head) -> tuple[dict[str, Any], Table]:
    """Areas and lines back to front: [role, width or None for an area, opacity, closed, number of values].

    Widths are px at 4 px per mm, values mm of the head, one line after the other in the table; `behind` of the lines
    lie behind a tint of the air, the others before it. `widths` and `hints`: line widths and what data/plate.toml says
    of the parts that move.
    """
    rows: list[tuple[Any, ...]] = []
    behind = 0
    for op in fixed.ground(PlatePen(VIEW, load("light")), head, ALL):
        rows += _rows(op)
        if getattr(op, "name", "") == AIR:
            behind = len(rows)
    values = np.concatenate([points.ravel() for *_, points in rows])[None]
    told = [[role, width, opacity, closed, points.size] for role, width, opacity, closed, points in rows]
    widths = {part: load("light").line(part) for part in WIDTHS}
    hints = {part: dict(fixed.hints()[part]) for part in ("tongue", "floor", "lips", "larynx")}
    hints["folds_view"] = dict(numbers()["folds_view"])
    return {"behind": behind, "lines": told, "widths": widths, "hints": hints}, Table("plate_lines", values, STEP_MM, 2)


def _rows(op: Op) -> list[tuple[Any, ...]]:
    if not isinstance(op, Fill | Stroke):
        return []
    width = round(op.width * VIEW.scale, 2) if isinstance(op, Stroke) else None
    rows = []
    for mm, closed in op.path.pieces():
        mm = mm[kept_points(mm[None], WITHIN_MM)] if len(mm) > 3 else mm
        rows.append((op.colour, width, round(op.opacity, 3), closed, mm))
    return rows
