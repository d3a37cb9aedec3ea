"""Leader-line labels: which label goes where, so that straight leaders never cross.

A pure function of anchors, texts and columns. The least total leader length over all free places has no two
leaders that cross (an uncrossed pair is always shorter, by the triangle inequality); from there `leader_search` moves
labels to where leaders are level, cross as little as can be and keep clear of other labels' anchors.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from articulators.curves import Array
from articulators.errors import BadInput
from renders.labels import leader_search
from renders.labels.table import label_table
from renders.paper.fitting import even_lines
from renders.paper.picture import Bounds
from renders.paper.typeface import width


@dataclass(frozen=True)
class Columns:
    """Where labels may stand, in picture px (y down).

    left_x, right_x  labels of the left column end at the first, those of the right one start at the second
    top, bottom      the middles of labels lie between
    size             of the type              line_spacing  from line to line, in sizes
    gap              from a text to the start of its leader
    pitch            the least distance between the middles of two labels of a column
    clear            how far a leader should keep from another label's anchor; reached where possible
    """

    left_x: float
    right_x: float
    top: float
    bottom: float
    size: float
    gap: float = 10.0
    pitch: float = 76.0
    line_spacing: float = 1.3
    clear: float = 12.0


@dataclass(frozen=True, eq=False)
class PlacedLabel:
    """One label. ``y``: middle of its block of lines; ``leader`` (2, 2): from the label to its anchor."""

    text: str
    lines: tuple[str, ...]
    side: Literal["left", "right"]
    x: float
    y: float
    bounds: Bounds
    leader: Array


@dataclass(frozen=True, eq=False)
class Placement:
    """Labels in the order of their anchors."""

    labels: tuple[PlacedLabel, ...]
    line_height: float


def place(
    anchors: ArrayLike,
    texts: Sequence[str],
    columns: Columns,
    crossed: leader_search.Crossed = leader_search.free,
) -> Placement:
    """Places a label for each anchor in two columns.

    ``anchors``: (n, 2), or (n, k, 2) where a label has several places to point at, the first of them the best (nan for
    a label that has fewer). ``crossed`` (label, starts (m, 2), ends (m, 2)): px by which leaders of that label count
    as longer for what they cross.

    Anchors must lie between the columns. The result has no crossing leaders and no overlapping labels. BadInput where
    the labels do not fit or an anchor lies outside.
    """
    points = np.array(anchors, dtype=np.float64)
    points = points.reshape(-1, 1, 2) if points.ndim < 3 else points
    count = len(points)
    if len(texts) != count:
        raise BadInput(f"{count} anchors need as many texts, got {len(texts)}")
    start_x = np.array([columns.left_x + columns.gap, columns.right_x - columns.gap])
    if np.isinf(points).any() or not np.isfinite(points[:, 0]).all():
        raise BadInput("anchors must be finite numbers")
    known = points[np.isfinite(points[..., 0])]
    if not ((known[:, 0] > start_x[0]) & (known[:, 0] < start_x[1])).all():
        raise BadInput(f"every anchor must lie between x {start_x[0]:g} and {start_x[1]:g}")
    size = columns.size
    lines = [even_lines(text, label_table().wording.most_letters) for text in texts]
    heights = np.array([len(block) * size * columns.line_spacing for block in lines])
    pitch = float(max(columns.pitch, heights.max(initial=0.0)))
    room = columns.bottom - columns.top
    per_column = int(np.floor(room / pitch + 1e-9)) + 1 if room >= 0.0 else 0
    if count > 2 * per_column:
        raise BadInput(f"{count} labels do not fit; at most {2 * per_column} at a pitch of {pitch:g} px")
    if count == 0:
        return Placement((), size * columns.line_spacing)

    slack = (room - (per_column - 1) * pitch) / 2.0
    step = pitch / leader_search.FINE
    first = columns.top + slack % step
    rows = int((columns.bottom - first) / step + 1e-9) + 1
    grid: Array = np.asarray(first + step * np.arange(rows), dtype=np.float64)
    apart = np.maximum(columns.pitch, (heights[:, None] + heights) / 2.0)
    spots = leader_search.Spots(points, grid, start_x, apart, columns.clear, crossed)
    found = leader_search.searched(spots, per_column, pitch, columns.top + slack)
    starts = np.stack([start_x[found.side], found.y], axis=-1)

    labels = []
    for k in range(count):
        left = found.side[k] == 0
        x = columns.left_x if left else columns.right_x
        wide = max(width(line, size) for line in lines[k])
        y0, y1 = starts[k, 1] - heights[k] / 2.0, starts[k, 1] + heights[k] / 2.0
        bounds = (x - wide, y0, x, y1) if left else (x, y0, x + wide, y1)
        leader = np.array([starts[k], found.end[k]])
        leader.flags.writeable = False
        labels.append(
            PlacedLabel(
                texts[k], lines[k], "left" if left else "right", float(x), float(starts[k, 1]),
                tuple(float(v) for v in bounds), leader,  # type: ignore[arg-type]
            )
        )  # fmt: skip
    return Placement(tuple(labels), size * columns.line_spacing)
