"""What the page's player draws organs from: the plate that never moves, rigid pieces, rows of ink and line widths."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import msgspec

from articulators.head import Head
from renders.anatomy import fixed
from renders.anatomy.ink import Ink, ink, line_stretch
from renders.anatomy.layers import EVERY_ORGAN
from renders.anatomy.pen import PlatePen
from renders.anatomy.pieces import PIECES
from renders.page.display_list import DisplayLine, Scale, display_lines, rows_of, table_of
from renders.page.pack import Table
from renders.page.settings import settings
from renders.paper.canvas import Canvas
from renders.paper.style import load
from renders.paper.view import View

AIR = "air spaces"  # the last of what lies behind the air
NOT_DRAWN = ("hatch",)  # by the styles of a page


def plate_drawing(head: Head) -> tuple[dict[str, Any], Table]:
    """Areas and lines back to front: [role, width or None for an area, opacity, closed, numbers of values].

    Widths are px at 4 px per mm, values mm of the head, one line after the other in the table; `behind` of the lines
    lie behind a tint of the air, the others before it. `pieces` by name: what carries it, and how many of the table's
    further lines are its own. `front_air` and `organs` are rows of ink, `widths` those of the parts that they name.
    """
    look = settings().plate
    view = View((0.0, 0.0, 1.0, 1.0), look.px_per_mm, (0.0, 0.0))
    scale, pen = Scale(look.within_mm, look.px_per_mm), PlatePen(Canvas(view, load("light")))
    lines: list[DisplayLine] = []
    behind = 0
    for op in fixed.ground(pen, head, EVERY_ORGAN):
        lines += display_lines([op], scale)
        if getattr(op, "name", "") == AIR:
            behind = len(lines)
    still, pieces = len(lines), {}
    drawn = {name: (piece.carrier, piece.draw(pen, head)) for name, piece in PIECES.items()}
    for name, (carrier, ops) in (*drawn.items(), ("surfaces", ("head", fixed.air_edges(pen, head, EVERY_ORGAN)))):
        before = len(lines)
        lines += display_lines(ops, scale)
        pieces[name] = [carrier, len(lines) - before]
    table = ink()
    made = {
        "behind": behind,
        "right_mm": float(head.profile.behind_skin[:, 0].max()),
        "still": still,
        "lines": rows_of(lines),
        "pieces": pieces,
        "front_air": list(_rows(table.front_air)),
        "organs": list(_rows(table.organs)),
        "widths": {part: load("light").line(part) for part in _parts()},
    }
    return made, table_of("plate_lines", lines, look.step_mm)


def _rows(rows: Iterable[Ink]) -> Iterator[dict[str, Any]]:
    """Rows that a page draws as plain values; stretches of lines as [line, from, to, backwards, x, y]."""
    for row in rows:
        if row.shown(EVERY_ORGAN) and row.draw not in NOT_DRAWN:
            plain = msgspec.to_builtins(row)
            kept = {f.name: plain[f.name] for f in msgspec.structs.fields(row) if _told(row, f.name, f.default)}
            if row.weights:
                kept["weights"] = [
                    [rise.at, rise.low, rise.high, rise.least_line or rise.least, rise.most, int(rise.around)]
                    for rise in row.weights
                ]
            if row.along:
                kept["along"] = [[*_ends(piece)] for piece in row.along]
            yield kept


NOT_TOLD = ("part", "needs", "without", "rests", "shaded", "soft", "focus", "focus_to", "name", "spared")


def _told(row: Ink, name: str, default: Any) -> bool:
    return name not in NOT_TOLD and getattr(row, name) != default


def _ends(text: str) -> Iterator[Any]:
    piece = line_stretch(text)
    yield piece.line
    for end in (piece.first, piece.last):
        yield int(end) if end is not None and end.isdigit() else end
    yield int(piece.backwards)
    yield from piece.off_mm


def _parts() -> list[str]:
    """Parts whose line widths rows of ink name."""
    table = ink()
    rows = [*table.front_air, *table.organs]
    named = [row.line for row in rows] + [rise.least_line for row in rows for rise in row.weights]
    return sorted(set(filter(None, named)))
