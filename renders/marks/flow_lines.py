"""Where air runs through a section: flow lines through the mouth and through the nose, kept inside the air spaces."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from articulators.curves import Array, Bools, Indices
from articulators.section import Section
from renders.marks.dimensions import dimensions
from renders.marks.tissue import Tissue, around, kept_inside, smooth
from vocaltract.airway.channel import LEVELS, Channel
from vocaltract.airway.limits import seam

APART_MM = 1e4  # lines laid one after the other along one axis stand this far apart


@dataclass(frozen=True)
class AirLines:
    """Flow lines (m, n, 2) in mm side by side, each in the direction of the flow.

    shown    (m, n) False where a narrow place has no room for the line
    room_mm  (m, n) width of the channel
    step_mm  (m,) how far apart the points of each line were before it gave way to organs: what travels along it goes by
             these lengths, so that it goes evenly whatever the line had to give way to
    """

    points: Array
    shown: Bools
    room_mm: Array
    step_mm: Array

    @property
    def length_mm(self) -> Array:
        """Length (m,) of each line."""
        return self.step_mm * (self.points.shape[1] - 1)

    def stretches(self) -> list[slice]:
        """What is drawn, as runs of all points (m * n, 2) of the lines one after the other."""
        edges = np.zeros((len(self.shown), self.shown.shape[1] + 2), dtype=np.int8)
        edges[:, 1:-1] = self.shown
        turns = np.diff(edges, axis=1)
        (line, first), (_, last) = np.nonzero(turns == 1), np.nonzero(turns == -1)
        long = (last - 1 - first) * self.step_mm[line] >= dimensions().flow.least_mm
        at = line * self.shown.shape[1]
        return [slice(a, b) for a, b in zip((first + at)[long], (last + at)[long], strict=True)]

    def parts(self) -> list[Array]:
        """The stretches (k, 2) that are drawn."""
        flat = self.points.reshape(-1, 2)
        return [flat[stretch] for stretch in self.stretches()]

    def along(self, number: Indices, run_mm: Array) -> Array:
        """Points (k, 2) at lengths (k,) of the lines with those numbers (k,)."""
        last = self.points.shape[1] - 1
        at = np.minimum(np.maximum(run_mm / self.step_mm[number], 0), last)
        before = np.minimum(at.astype(np.intp), last - 1)
        first, second = self.points[number, before], self.points[number, before + 1]
        return first + (at - before)[:, None] * (second - first)


def arc(lines: Array) -> Array:
    """Length (..., n) in mm from the start of lines (..., n, 2) to each of their points."""
    step = np.diff(lines, axis=-2)
    run = np.zeros(lines.shape[:-1])
    np.cumsum(np.hypot(step[..., 0], step[..., 1]), axis=-1, out=run[..., 1:])
    return run


def mouth_lines(
    section: Section, channel: Channel, through: bool = False, unseen_mm: tuple[float, float] | None = None
) -> AirLines:
    """Flow lines from the windpipe towards the lips; they end at the seam unless they are to go `through`.

    `unseen_mm`: heights between which nothing of them will be drawn; only what is drawn is kept out of tissue.
    """
    table = dimensions().flow
    rows = np.flatnonzero(np.isfinite(channel.width_mm))
    shut = seam(channel)
    if shut is not None and not through:
        rows = rows[rows <= shut]
    outer: Array = channel.outer[rows]
    inner: Array = _behind_steps(channel.inner[rows], outer)
    across = outer - inner
    room = np.hypot(*across.T)
    shares = np.array(table.lines)[:, None]
    # in a narrow place every line takes the middle; which of them is drawn there is told by `shown`
    wide = np.clip((room - table.one_line_mm) / (table.all_lines_mm - table.one_line_mm), 0, 1)
    at = 0.5 + (shares - 0.5) * (_softener(len(rows), 2) @ wide)
    drawn: Array = inner + at[..., None] * across
    margin = np.minimum(np.maximum(table.margin_share, table.margin_mm / np.maximum(room, 1e-6)), 0.5)
    for _ in range(3):
        drawn = _between(_softener(len(rows), 5) @ drawn, inner, across, margin)
    points, room, step = _dense(drawn, room)
    last = 2 * table.margin_mm if shut is not None and not through else 0.0
    shown = _open(room, last)
    seen = shown if unseen_mm is None else shown & outside(points, unseen_mm)
    kept, _ = kept_inside(points, Tissue(section), seen)
    return AirLines(kept, shown, room, step)


def outside(points: Array, heights_mm: tuple[float, float], more_mm: float = 0.0) -> Bools:
    """Which points (..., 2) lie below or above a band of heights, and so much more away from it."""
    y = points[..., 1]
    return np.asarray((y < heights_mm[0] - more_mm) | (y > heights_mm[1] + more_mm))


def _open(room: Array, last: float) -> Bools:
    """Where channels of width (m, n) have room for their lines; at its shut end a line stops where less than `last` is.

    The middle line always has room, its neighbour and the outer ones want more.
    """
    table = dimensions().flow
    order = sorted(table.lines, key=lambda share: (abs(share - 0.5), share))
    wanted = dict(zip(order, [0.0, table.one_line_mm], strict=False))
    least = np.array([[wanted.get(share, table.all_lines_mm)] for share in table.lines])
    ahead = np.logical_or.accumulate((room >= last)[:, ::-1], axis=1)[:, ::-1]
    return np.asarray((room >= least) & ahead)


@lru_cache(maxsize=64)
def _softener(count: int, times: int) -> Array:
    """A matrix that softens a line of so many points like `smooth`, so many times."""
    matrix = np.linalg.matrix_power(smooth(np.eye(count), 1), times)
    matrix.setflags(write=False)
    return matrix


def _behind_steps(inner: Array, outer: Array) -> Array:
    """The front wall of the throat without its sudden steps forward: air does not turn sharply over an edge."""
    table = dimensions().flow
    level = (np.abs(inner[:, 1] - outer[:, 1]) < 1e-6).tolist()
    x, y = inner.T.tolist()
    farthest = (outer[:, 0] - table.all_lines_mm).tolist()
    for i in range(1, len(x)):
        if level[i]:
            least = x[i - 1] - table.forward_per_rise * (y[i] - y[i - 1])
            x[i] = min(max(x[i], least), max(x[i], farthest[i]))
    return np.stack([x, inner[:, 1]], axis=-1)


def _between(lines: Array, inner: Array, across: Array, margin: Array) -> Array:
    """Points (m, n, 2) put back on their gridlines between the walls, a margin (n,), a share, away from both."""
    off = lines - inner
    square = np.maximum(across[:, 0] ** 2 + across[:, 1] ** 2, 1e-9)
    at = (off[..., 0] * across[:, 0] + off[..., 1] * across[:, 1]) / square
    inside = np.minimum(np.maximum(at, margin), 1 - margin)
    return np.where((inside != at)[..., None], inner + inside[..., None] * across, lines)


def _dense(lines: Array, room: Array) -> tuple[Array, Array, Array]:
    """Lines (m, n, 2) in a channel of width (n,) with as many points each as the longest needs.

    Returns them, the width of the channel there (m, k) and how far apart their points are (m,).
    """
    run = arc(lines)
    length = run[:, -1:]
    count = max(2, int(np.ceil(length.max() / dimensions().flow.step_mm)) + 1)
    # all lines at once: laid out in one row, each begins far behind the end of the one before
    begin = APART_MM * np.arange(len(lines))[:, None]
    at, knots = (length * np.linspace(0, 1, count) + begin).ravel(), (run + begin).ravel()
    x, y, width = (
        np.interp(at, knots, known).reshape(len(lines), count)
        for known in (lines[..., 0].ravel(), lines[..., 1].ravel(), np.tile(room, len(lines)))
    )
    return np.stack([x, y], axis=-1), width, length[:, 0] / (count - 1)


def nose_lines(section: Section, channel: Channel, from_throat: bool = True) -> AirLines:
    """Flow lines behind the soft palate and along the floor of the nose to the nostril.

    They start in the windpipe, or just below the tip of the soft palate where the mouth has lines of its own.
    """
    table, nose = dimensions().nose, section.head.nose
    velum, wall = section["velum"], section["rear_wall"]
    tip = velum[np.argmin(velum[:, 1])]
    heights = np.arange(tip[1] - table.below_tip_mm, nose.port_top_mm, 1.0)
    back = _rear_of(velum, heights)
    rear = np.interp(heights, wall[::-1, 1], wall[::-1, 0])
    level = np.flatnonzero(np.isfinite(channel.width_mm[: LEVELS + 1]) & _is_level(channel))
    throat_y = channel.inner[level, 1]
    beneath = np.clip((tip[1] - heights) / table.below_tip_mm, 0, 1)
    below = heights <= tip[1]
    tongue_side = np.interp(heights, throat_y, channel.inner[level, 0])
    # between the tongue and the tip: the side wall swings over from the one to the other
    back = np.where(below, tip[0] + 1.0 + (tongue_side - tip[0] - 1.0) * beneath**1.5, back)
    share = np.array(table.lines)[:, None, None]
    front, behind = np.stack([back, heights], axis=-1), np.stack([rear, heights], axis=-1)
    if from_throat:
        low = level[throat_y < heights[0] - 2.0]
        outer = channel.outer[low]
        front = np.concatenate([_behind_steps(channel.inner[low], outer), front])
        behind = np.concatenate([outer, behind])
    guide, lift = nose.air_way, np.array(table.lift_mm)[:, None]
    floor = np.tile(guide, (len(lift), 1, 1))
    floor[..., 1] += lift * np.clip((np.arange(len(guide)) + 1) / 3, 0, 1)
    floor[:, -1, 0] -= lift[:, 0] * 0.8
    lines = smooth(np.concatenate([front + share * (behind - front), floor], axis=1), 3)
    lines, _, step = _dense(lines, np.zeros(lines.shape[1]))
    solid = Tissue(section)
    lines, moved = kept_inside(smooth(lines, 6), solid)
    if moved.any():  # the steps that this leaves are softened too
        lines, _ = kept_inside(smooth(lines, 6), solid, around(moved, 9))
    return AirLines(lines, np.ones(lines.shape[:2], dtype=bool), np.full(lines.shape[:2], np.inf), step)


def _is_level(channel: Channel) -> Bools:
    """Gridlines of the throat: both walls at one height."""
    return np.abs(channel.inner[: LEVELS + 1, 1] - channel.outer[: LEVELS + 1, 1]) < 1e-6


def _rear_of(outline: Array, heights: Array) -> Array:
    """The rearmost x (n,) of an outline at heights (n,); its own rearmost point's x beyond its ends."""
    a, b = outline, np.roll(outline, -1, axis=0)
    y = heights[:, None]
    hit = (y >= np.minimum(a[:, 1], b[:, 1])) & (y <= np.maximum(a[:, 1], b[:, 1])) & (a[:, 1] != b[:, 1])
    slope = (b[:, 0] - a[:, 0]) / np.where(a[:, 1] == b[:, 1], 1.0, b[:, 1] - a[:, 1])
    found = np.where(hit, a[:, 0] + (y - a[:, 1]) * slope, -np.inf).max(axis=1)
    ends = np.flatnonzero(np.isfinite(found))
    return np.interp(heights, heights[ends], found[ends]) if len(ends) else np.full(len(heights), outline[:, 0].max())
