"""The little drawings of the page's key: pictograms as SVG inside the page, so that they take its colours."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from renders.paper.icons import ICON_HIGH, ICON_WIDE, icon
from renders.paper.picture import CLOSE, CURVE, MOVE, Dots, Fill, Op, Path, Stroke
from renders.paper.style import load


def pictogram(kind: str) -> str:
    """A state's pictogram as an SVG element; BadInput for an unknown one."""
    drawn = icon(kind, (0.0, 0.0, ICON_WIDE, ICON_HIGH), load())
    size = f'viewBox="0 0 {ICON_WIDE:g} {ICON_HIGH:g}" width="{ICON_WIDE:g}" height="{ICON_HIGH:g}"'
    return f'<svg class="small" {size} aria-hidden="true" focusable="false">{"".join(_elements(drawn))}</svg>'


def _elements(ops: Iterable[Op]) -> list[str]:
    made = []
    for op in ops:
        if isinstance(op, Fill):
            made.append(f'<path d="{_data(op.path)}" style="fill: var(--{op.colour}); stroke: none"/>')
        elif isinstance(op, Stroke):
            dash = f"; stroke-dasharray: {' '.join(f'{d:.3g}' for d in op.dash)}" if op.dash else ""
            cap = {"projecting": "square"}.get(op.cap, op.cap)
            line = f"stroke: var(--{op.colour}); stroke-width: {op.width:.3g}; stroke-linecap: {cap}{dash}"
            made.append(f'<path d="{_data(op.path)}" style="fill: none; {line}"/>')
        elif isinstance(op, Dots):
            made.append(f'<path d="{_data(op.path())}" style="fill: var(--{op.colour}); stroke: none"/>')
        else:
            raise TypeError(f"a pictogram holds a {type(op).__name__}, which the key cannot draw")
    return made


def _data(path: Path) -> str:
    points = [f"{x:.4g} {y:.4g}" for x, y in np.round(path.vertices, 2)]
    if path.codes is None:
        return "M" + "L".join(points) + ("Z" if path.closed else "")
    text = ""
    curve = 0
    for code, point in zip(path.codes, points, strict=True):
        if code == CLOSE:
            text += "Z"
        elif code == CURVE:
            text += ("C" if curve % 3 == 0 else " ") + point
            curve += 1
        else:
            text += ("M" if code == MOVE else "L") + point
    return text
