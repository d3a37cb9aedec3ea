"""Where air runs through a section: flow lines through the mouth and through the nose, kept inside the air spaces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from articulators import contact as tissue
from articulators.section import Section
from renders.markstate import numbers
from vocaltract.airway.channel import Channel
from vocaltract.airway.passage import Airway, walls

Points: TypeAlias = NDArray[np.floating[Any]]
LOWEST_SEAM = 12  # gridlines below this lie in the throat, where no mouth is shut


@dataclass(frozen=True)
class AirLine:
    """A flow line (n, 2) in mm in the direction of the flow.

    shown    (n,) False where a narrow place has no room for the line
    room_mm  (n,) width of the channel
    """

    points: Points
    shown: NDArray[np.bool_]
    room_mm: Points

    def parts(self) -> list[Points]:
        """The stretches (m, 2) that are drawn."""
        return [part for part in _stretches(self.points, self.shown) if arc(part)[-1] >= numbers()["flow"]["least_mm"]]


def _stretches(points: Points, on: NDArray[np.bool_]) -> list[Points]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(int)))
    return [points[a:b] for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]


def arc(line: Points) -> Points:
    """Length (n,) in mm from the start of a line to each of its points."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def smooth(line: Points, times: int = 2) -> Points:
    """Rows (n, ...) softened by a 1-2-1 average, ends kept."""
    for _ in range(times):
        if len(line) < 3:
            return line
        line = np.concatenate([line[:1], (line[:-2] + 2 * line[1:-1] + line[2:]) / 4, line[-1:]])
    return line


def seam_of(channel: Channel) -> int | None:
    """The first gridline, from the throat on, at which the midline is shut."""
    width = channel.width_mm
    shut = np.flatnonzero((width < numbers()["flow"]["shut_mm"]) & (np.arange(len(width)) > LOWEST_SEAM))
    return int(shut[0]) if len(shut) else None


def mouth_lines(section: Section, channel: Channel, airway: Airway, through: bool = False) -> list[AirLine]:
    """Flow lines from the windpipe towards the lips; they end at the seam unless they are to go `through`."""
    table = numbers()["flow"]
    width = channel.width_mm
    rows = np.flatnonzero(np.isfinite(width))
    seam = seam_of(channel)
    if seam is not None and not through:
        rows = rows[rows <= seam]
    outer: Points = channel.outer[rows]
    inner: Points = _behind_steps(channel.inner[rows], outer)
    room = np.hypot(*(outer - inner).T)
    shares = np.array(table["lines"])[:, None]
    # in a narrow place every line takes the middle; which of them is drawn there is told by `shown`
    wide = np.clip((room - table["one_line_mm"]) / (table["all_lines_mm"] - table["one_line_mm"]), 0, 1)
    at = _smooth_along(0.5 + (shares - 0.5) * wide, 2)[..., None]
    drawn: Points = inner + at * (outer - inner)
    for _ in range(3):
        drawn = _between(_smooth_along(drawn, 5), inner, outer, room)
    dense = [_dense(line, room) for line in drawn]
    kept = kept_inside([line for line, _ in dense], section, airway)
    least = [_least_room(share) for share in table["lines"]]
    last = 2 * table["margin_mm"] if seam is not None and not through else 0.0
    return [AirLine(line, _open(at, low, last), at) for line, (_, at), low in zip(kept, dense, least, strict=True)]


def _open(room: Points, least: float, last: float) -> NDArray[np.bool_]:
    """Where a channel of width (n,) has room for a line; at its shut end the line stops where less than `last` is."""
    wide = np.flatnonzero(room >= last)
    return (room >= least) & (np.arange(len(room)) <= (wide[-1] if len(wide) else -1))


def _smooth_along(lines: Points, times: int) -> Points:
    """Lines (m, n, ...) softened along n like `smooth` does one."""
    for _ in range(times if lines.shape[1] >= 3 else 0):
        softer = lines.copy()
        softer[:, 1:-1] = (lines[:, :-2] + 2 * lines[:, 1:-1] + lines[:, 2:]) / 4
        lines = softer
    return lines


def _behind_steps(inner: Points, outer: Points) -> Points:
    """The front wall of the throat without its sudden steps forward: air does not turn sharply over an edge."""
    table = numbers()["flow"]
    inner = inner.copy()
    for i in range(1, len(inner)):
        rise = inner[i, 1] - inner[i - 1, 1]
        level = abs(inner[i, 1] - outer[i, 1]) < 1e-6
        if level:
            least = inner[i - 1, 0] - table["forward_per_rise"] * rise
            inner[i, 0] = min(max(inner[i, 0], least), max(inner[i, 0], outer[i, 0] - table["all_lines_mm"]))
    return inner


def _least_room(share: float) -> float:
    """The width in mm that a line needs: the second always has it, its neighbour and the outer ones want more."""
    table = numbers()["flow"]
    order = sorted(table["lines"], key=lambda s: (abs(s - 0.5), s))
    place = order.index(share)
    return 0.0 if place == 0 else float(table["one_line_mm"] if place == 1 else table["all_lines_mm"])


def _between(lines: Points, inner: Points, outer: Points, room: Points) -> Points:
    """Points (m, n, 2) put back on their gridlines between the walls, a margin away from both."""
    table = numbers()["flow"]
    across = outer - inner
    length2 = np.maximum((across**2).sum(axis=-1), 1e-9)
    at = ((lines - inner) * across).sum(axis=-1) / length2
    margin = np.minimum(np.maximum(table["margin_share"], table["margin_mm"] / np.maximum(room, 1e-6)), 0.5)
    off = (at < margin) | (at > 1 - margin)
    put = inner + np.clip(at, margin, 1 - margin)[..., None] * across
    return np.where(off[..., None], put, lines)


def _dense(line: Points, room: Points) -> tuple[Points, Points]:
    run = arc(line)
    count = max(2, int(np.ceil(run[-1] / numbers()["flow"]["step_mm"])) + 1)
    s = np.linspace(0, run[-1], count)
    return np.stack([np.interp(s, run, line[:, 0]), np.interp(s, run, line[:, 1])], axis=-1), np.interp(s, run, room)


def kept_inside(lines: Sequence[Points], section: Section, airway: Airway) -> list[Points]:
    """Lines (n, 2) with the points that lie in tissue moved to the nearest air; what is before the lips stays."""
    front = max(float(section[f"{side}_red"][:, 0].min()) for side in ("upper", "lower"))
    solid = _walls(section)
    kept = list(lines)
    moved = list(range(len(kept)))
    bent: set[int] = set()
    margin = numbers()["flow"]["margin_mm"]
    for turn in range(4):  # what is moved out of one organ may lie in another then, where the way is narrow
        every = np.concatenate([kept[i] for i in moved])
        candidate = (every[:, 0] > front) | (every[:, 1] > 10.0)
        put, out = _out_of_tissue(every, candidate, solid, margin / 4**turn)
        ends = np.cumsum([0, *(len(kept[i]) for i in moved)])
        astray = [(i, a, b) for i, a, b in zip(moved, ends, ends[1:], strict=False) if out[a:b].any()]
        moved = [i for i, _, _ in astray]
        if not moved:
            break
        bent.update(moved)
        for i, a, b in astray:
            kept[i] = smooth(put[a:b], 3) if turn == 0 else put[a:b]
    for i in sorted(bent):  # a step from point to point may still cut the tip of an organ
        middle = (kept[i][:-1] + kept[i][1:]) / 2
        put, out = _out_of_tissue(middle, (middle[:, 0] > front) | (middle[:, 1] > 10.0), solid, margin)
        kept[i] = kept[i].copy()
        for at in np.flatnonzero(out):
            kept[i][at : at + 2] += put[at] - middle[at]
    return kept


def _out_of_tissue(
    points: Points, candidate: NDArray[np.bool_], solid: Sequence[shapely.Polygon], margin: float
) -> tuple[Points, NDArray[np.bool_]]:
    """Points (n, 2) with those inside an organ moved to a margin before its wall, and which those were (n,)."""
    put, out = points.copy(), np.zeros(len(points), dtype=bool)
    for wall in solid:
        x0, y0, x1, y1 = wall.bounds
        near = candidate & (points[:, 0] > x0) & (points[:, 0] < x1) & (points[:, 1] > y0) & (points[:, 1] < y1)
        if not near.any():
            continue
        near[near] = shapely.contains_xy(wall, points[near])
        if near.any():
            put[near] = _beyond(points[near], wall.exterior, margin)
            out |= near
    return put, out


def _walls(section: Section) -> list[shapely.Polygon]:
    fixed = [tissue.maxilla_mass(section.head), tissue.rear_mass(section.head)]
    fixed = [part for mass in fixed for part in shapely.get_parts(mass)]
    return [*fixed, *(shapely.Polygon(wall) for wall in walls(section))]


def _beyond(points: Points, edge: shapely.Geometry, margin: float) -> Points:
    """The points of an edge nearest to points (n, 2), and a margin further."""
    at = shapely.get_coordinates(shapely.shortest_line(shapely.points(points), edge)).reshape(-1, 2, 2)[:, 1]
    way = at - points
    return at + margin * way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]


def nose_lines(section: Section, channel: Channel, airway: Airway, from_throat: bool = True) -> list[AirLine]:
    """Flow lines behind the soft palate and along the floor of the nose to the nostril.

    They start in the windpipe, or just below the tip of the soft palate where the mouth has lines of its own.
    """
    table = numbers()["nose"]
    velum, wall = section["velum"], section["rear_wall"]
    tip = velum[np.argmin(velum[:, 1])]
    heights = np.arange(tip[1] - table["below_tip_mm"], table["port_top_mm"], 1.0)
    back = _rear_of(velum, heights)
    rear = np.interp(heights, wall[::-1, 1], wall[::-1, 0])
    level = np.flatnonzero(np.isfinite(channel.width_mm[: LOWEST_SEAM * 3]) & _is_level(channel))
    throat_y = channel.inner[level, 1]
    beneath = np.clip((tip[1] - heights) / table["below_tip_mm"], 0, 1)
    below = heights <= tip[1]
    tongue_side = np.interp(heights, throat_y, channel.inner[level, 0])
    # between the tongue and the tip: the side wall swings over from the one to the other
    back = np.where(below, tip[0] + 1.0 + (tongue_side - tip[0] - 1.0) * beneath**1.5, back)
    lines = []
    guide = np.array(table["guide_mm"])
    for share, lift in zip(table["lines"], table["lift_mm"], strict=True):
        port = np.stack([back + share * (rear - back), heights], axis=-1)
        start = np.empty((0, 2))
        if from_throat:
            low = level[throat_y < heights[0] - 2.0]
            outer = channel.outer[low]
            inner = _behind_steps(channel.inner[low], outer)
            start = inner + share * (outer - inner)
        shown = guide.copy()
        shown[:, 1] += lift * np.clip((np.arange(len(guide)) + 1) / 3, 0, 1)
        shown[-1, 0] -= lift * 0.8
        line = smooth(np.concatenate([start, port, shown]), 3)
        line, _ = _dense(line, np.ones(len(line)))
        lines.append(line)
    for _ in range(2):
        lines = kept_inside([smooth(line, 6) for line in lines], section, airway)
    return [AirLine(line, np.ones(len(line), dtype=bool), np.full(len(line), np.inf)) for line in lines]


def _is_level(channel: Channel) -> NDArray[np.bool_]:
    """Gridlines of the throat: both walls at one height."""
    return np.abs(channel.inner[: LOWEST_SEAM * 3, 1] - channel.outer[: LOWEST_SEAM * 3, 1]) < 1e-6


def _rear_of(outline: Points, heights: Points) -> Points:
    """The rearmost x (n,) of an outline at heights (n,); its own rearmost point's x beyond its ends."""
    found = np.full(len(heights), -np.inf)
    ring = np.concatenate([outline, outline[:1]])
    for a, b in pairwise(ring):
        low, high = min(a[1], b[1]), max(a[1], b[1])
        hit = (heights >= low) & (heights <= high) & (high > low)
        x = a[0] + (heights - a[1]) / (b[1] - a[1] if b[1] != a[1] else 1.0) * (b[0] - a[0])
        found = np.where(hit, np.maximum(found, x), found)
    ends = np.flatnonzero(np.isfinite(found))
    return np.interp(heights, heights[ends], found[ends]) if len(ends) else np.full(len(heights), outline[:, 0].max())
