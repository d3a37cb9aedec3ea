"""Leader-line labels: which label goes where, so that straight leaders never cross.

A pure function of anchors, texts and columns. The least total leader length over all free places has no two
leaders that cross (an uncrossed pair is always shorter, by the triangle inequality); from there labels move
towards the height of their anchors as far as leaders stay uncrossed and clear of other labels' anchors.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from articulators.errors import BadInput
from renders.assignment import assigned

Floats = NDArray[np.float64]
LONGEST_LINE = 21
_BLENDS = (1.0, 0.85, 0.7, 0.55, 0.4, 0.25, 0.1, 0.0)


@dataclass(frozen=True)
class Columns:
    """Where labels may stand, in picture px (y down).

    ``left_x``: labels of the left column end here; ``right_x``: labels of the right one start here. Label
    centres lie between ``top`` and ``bottom``. ``gap``: from text to the start of its leader.
    """

    left_x: float
    right_x: float
    top: float
    bottom: float
    gap: float = 10.0


@dataclass(frozen=True, eq=False)
class PlacedLabel:
    """One label. ``y``: middle of its block of lines; ``leader`` (2, 2): from the label to its anchor."""

    text: str
    lines: tuple[str, ...]
    side: Literal["left", "right"]
    x: float
    y: float
    box: tuple[float, float, float, float]
    leader: Floats


@dataclass(frozen=True, eq=False)
class Placement:
    """Labels in the order of their anchors; ``clearance``: least px from a leader to another's anchor."""

    labels: tuple[PlacedLabel, ...]
    line_height: float
    clearance: float
    crossings: int


def wrap(text: str, longest: int = LONGEST_LINE) -> tuple[str, ...]:
    """Lines of about equal length where ``text`` has more than ``longest`` letters and a space."""
    words = text.split()
    if len(text) <= longest or len(words) < 2:
        return (text,)
    for count in range(2, len(words) + 1):
        lines = _split(words, count)
        if max(map(len, lines)) <= longest or count == len(words):
            return lines
    return (text,)


def _split(words: Sequence[str], count: int) -> tuple[str, ...]:
    """The split into ``count`` lines whose longest line is least."""
    if count == 1:
        return (" ".join(words),)
    choices = ((" ".join(words[:i]), *_split(words[i:], count - 1)) for i in range(1, len(words) - count + 2))
    return min(choices, key=lambda lines: max(map(len, lines)))


def crossing_pairs(starts: Floats, ends: Floats) -> int:
    """How many pairs of segments (n, 2)-(n, 2) cross properly; a shared end is no crossing."""

    def turn(a: Floats, b: Floats, c: Floats) -> Floats:
        return (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (
            c[..., 0] - a[..., 0]
        )

    i, j = np.triu_indices(len(starts), 1)
    a, b, c, d = starts[i], ends[i], starts[j], ends[j]
    across = (turn(a, b, c) * turn(a, b, d) < 0.0) & (turn(c, d, a) * turn(c, d, b) < 0.0)
    return int(np.count_nonzero(across))


def least_clearance(starts: Floats, ends: Floats) -> float:
    """The least distance of any segment from the end of another one; inf where there is only one."""
    if len(starts) < 2:
        return float("inf")
    run = ends - starts
    length2 = np.maximum((run**2).sum(axis=1), 1e-12)
    along = ((ends[None] - starts[:, None]) * run[:, None]).sum(axis=2) / length2[:, None]
    foot = starts[:, None] + np.clip(along, 0.0, 1.0)[..., None] * run[:, None]
    apart = np.hypot(*np.moveaxis(ends[None] - foot, -1, 0))
    shared = np.hypot(*np.moveaxis(ends[None] - ends[:, None], -1, 0)) == 0.0
    return float(np.where(shared, np.inf, apart).min())


def _spread(wanted: Floats, least: Floats, top: float, bottom: float) -> Floats:
    """Heights in order, at least ``least`` (n-1,) apart and within top to bottom, nearest to ``wanted``."""
    offset = np.concatenate([[0.0], np.cumsum(least)])
    blocks: list[list[float]] = []
    for value in wanted - offset:
        blocks.append([float(value), 1.0])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            second, first = blocks.pop(), blocks.pop()
            count = first[1] + second[1]
            blocks.append([(first[0] * first[1] + second[0] * second[1]) / count, count])
    level = np.concatenate([np.full(int(count), value) for value, count in blocks])
    return np.clip(level, top, bottom - offset[-1]) + offset


def place(
    anchors: ArrayLike,
    texts: Sequence[str],
    columns: Columns,
    size: float,
    *,
    min_pitch: float = 76.0,
    line_spacing: float = 1.3,
    clear: float = 12.0,
    width: Callable[[str, float], float] | None = None,
    penalty: ArrayLike | None = None,
) -> Placement:
    """Places a label for each anchor (n, 2) in two columns.

    ``penalty`` (n, 2): px by which a label's way to the left and to the right column counts as longer; it is
    heeded as far as no leaders cross for it.

    ``size`` is the type size in px, ``min_pitch`` the least distance in px between the middles of two
    labels of a column, ``clear`` how far a leader should keep from another label's anchor (reached where
    possible), ``width`` measures a line of text (default: the bundled typeface, regular). Anchors must lie
    between the columns. The result has no crossing leaders and no overlapping labels; ``clearance`` tells
    what was reached. BadInput where the labels do not fit or an anchor lies outside.
    """
    points = np.array(anchors, dtype=np.float64).reshape(-1, 2)
    count = len(points)
    if len(texts) != count:
        raise BadInput(f"{count} anchors need as many texts, got {len(texts)}")
    start_x = np.array([columns.left_x + columns.gap, columns.right_x - columns.gap])
    if not np.isfinite(points).all():
        raise BadInput("anchors must be finite numbers")
    if count and not ((points[:, 0] > start_x[0]) & (points[:, 0] < start_x[1])).all():
        raise BadInput(f"every anchor must lie between x {start_x[0]:g} and {start_x[1]:g}")
    if width is None:
        from renders.typeface import width as measure

        width = measure
    lines = [wrap(text) for text in texts]
    heights = np.array([len(block) * size * line_spacing for block in lines])
    pitch = float(max(min_pitch, heights.max(initial=0.0)))
    room = columns.bottom - columns.top
    per_column = int(np.floor(room / pitch + 1e-9)) + 1 if room >= 0.0 else 0
    if count > 2 * per_column:
        raise BadInput(f"{count} labels do not fit; at most {2 * per_column} at a pitch of {pitch:g} px")
    if count == 0:
        return Placement((), size * line_spacing, float("inf"), 0)

    slack = (room - (per_column - 1) * pitch) / 2.0
    slot_y = columns.top + slack + pitch * np.arange(per_column)
    slots = np.array([(x, y) for x in start_x for y in slot_y])
    cost = np.hypot(*np.moveaxis(points[:, None] - slots[None], -1, 0))
    tried: list[tuple[int, int, NDArray[Any], NDArray[Any]]] = []
    for share in (1.0, 0.4, 0.0) if penalty is not None else (0.0,):
        more = 0.0 if penalty is None else share * np.repeat(np.asarray(penalty, dtype=float), per_column, axis=1)
        chosen = assigned(cost + more)
        side = chosen // per_column
        starts = _settle(points, slots[chosen], side, heights, columns, min_pitch, clear)
        crossed = crossing_pairs(starts, points)
        tried.append((crossed, len(tried), side, starts))
        if crossed == 0:
            break
    _, _, side, starts = min(tried, key=lambda one: one[:2])

    labels = []
    for k in range(count):
        left = side[k] == 0
        x = columns.left_x if left else columns.right_x
        wide = max(width(line, size) for line in lines[k])
        y0, y1 = starts[k, 1] - heights[k] / 2.0, starts[k, 1] + heights[k] / 2.0
        box = (x - wide, y0, x, y1) if left else (x, y0, x + wide, y1)
        leader = np.array([starts[k], points[k]])
        leader.flags.writeable = False
        labels.append(
            PlacedLabel(
                texts[k], lines[k], "left" if left else "right", float(x), float(starts[k, 1]),
                tuple(float(v) for v in box), leader,  # type: ignore[arg-type]
            )
        )  # fmt: skip
    return Placement(
        tuple(labels), size * line_spacing, least_clearance(starts, points), crossing_pairs(starts, points)
    )


def _settle(
    points: Floats,
    starts: Floats,
    side: NDArray,
    heights: Floats,
    columns: Columns,
    pitch: float,
    clear: float,
) -> Floats:
    """Moves labels towards their anchors' heights, then swaps neighbours, while leaders stay uncrossed."""

    def relaxed(fixed: Floats) -> Floats:
        goal = fixed.copy()
        for which in (0, 1):
            mine = np.flatnonzero(side == which)
            if len(mine) == 0:
                continue
            mine = mine[np.argsort(fixed[mine, 1], kind="stable")]
            least = np.maximum(pitch, (heights[mine[1:]] + heights[mine[:-1]]) / 2.0)
            goal[mine, 1] = _spread(points[mine, 1], least, columns.top, columns.bottom)
        return goal

    def score(trial: Floats) -> tuple[float, float, float]:
        """Smaller is better: crossings, lack of clearance, displacement from the anchors' heights."""
        lack = max(0.0, clear - least_clearance(trial, points))
        return crossing_pairs(trial, points), lack, float(np.abs(trial[:, 1] - points[:, 1]).sum())

    def best_blend(fixed: Floats) -> tuple[tuple[float, float, float], Floats]:
        goal = relaxed(fixed)
        trials = [fixed + blend * (goal - fixed) for blend in _BLENDS]
        scores = [score(trial) for trial in trials]
        k = min(range(len(trials)), key=scores.__getitem__)
        return scores[k], trials[k]

    fixed = starts.copy()
    found, best = best_blend(fixed)
    for _ in range(len(points)):
        improved = False
        for which in (0, 1):
            mine = np.flatnonzero(side == which)
            order = mine[np.argsort(fixed[mine, 1], kind="stable")]
            for upper, lower in itertools.pairwise(order):
                trial = fixed.copy()
                trial[[upper, lower], 1] = trial[[lower, upper], 1]
                reached, moved = best_blend(trial)
                if reached < found:
                    found, best, fixed, improved = reached, moved, trial, True
                    break
        if not improved or found[1] == 0.0:
            break
    return best
