"""What never moves in a side view, as the page draws it: the same areas and lines as in a still, as numbers."""

from __future__ import annotations

from typing import Any

from articulators.head import Head
from renders.anatomy import fixed
from renders.anatomy.layers import EVERY_ORGAN
from renders.anatomy.pen import PlatePen
from renders.anatomy.plate import plate
from renders.page.display_list import DisplayLine, Scale, lines_of, rows_of, table_of
from renders.page.pack import Table
from renders.page.settings import settings
from renders.paper.canvas import Canvas
from renders.paper.style import load
from renders.paper.view import View

WIDTHS = ("profile", "tongue", "lips", "soft_palate", "tooth", "cartilage", "bone", "airway", "fibre")
LARYNX_SIZES = (
    "ring_first_mm", "ring_pitch_mm", "ring_high_mm", "ring_wide_mm", "fold_mm", "ventricle_mm", "vestibular_mm",
)  # fmt: skip
AIR = "air spaces"  # the last of what lies behind the air


def plate_drawing(head: Head) -> tuple[dict[str, Any], Table]:
    """Areas and lines back to front: [role, width or None for an area, opacity, closed, number of values].

    Widths are px at 4 px per mm, values mm of the head, one line after the other in the table; `behind` of the lines
    lie behind a tint of the air, the others before it. `widths` and `hints`: line widths and what data/plate.toml says
    of the parts that move.
    """
    look = settings().plate
    view = View((0.0, 0.0, 1.0, 1.0), look.px_per_mm, (0.0, 0.0))
    scale = Scale(look.within_mm, look.px_per_mm)
    lines: list[DisplayLine] = []
    behind = 0
    for op in fixed.ground(PlatePen(Canvas(view, load("light"))), head, EVERY_ORGAN):
        lines += lines_of(op, scale)
        if getattr(op, "name", "") == AIR:
            behind = len(lines)
    widths = {part: load("light").line(part) for part in WIDTHS}
    hints = {part: getattr(plate(), part).values() for part in ("tongue", "floor", "lips")}
    hints["larynx"] = {name: getattr(head.larynx, name) for name in LARYNX_SIZES}
    hints["folds_view"] = head.folds_above.values()
    made = {"behind": behind, "lines": rows_of(lines), "widths": widths, "hints": hints}
    return made, table_of("plate_lines", lines, look.step_mm)
