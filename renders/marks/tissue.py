"""Keeps flow lines out of tissue: which of their points lie in an organ, and the nearest air to each."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely

from articulators import contact as tissue
from articulators.contact import Shapes
from articulators.curves import Array, Bools, Indices
from articulators.head import Head
from articulators.section import Section
from renders.marks.dimensions import dimensions
from vocaltract.airway.passage import walls

TURNS = 4  # what is moved out of one organ may lie in another then, where the way is narrow
SOFTENED = 3  # how often a line is softened that was moved; so many points to each side take part
CELL_MM = 2.0
CELLS_FROM_MM, CELLS_TO_MM = (-60.0, -130.0), (120.0, 80.0)  # more than air ever reaches


class Tissue:
    """The organs of one section as polygons with their bounds, those that never move first."""

    def __init__(self, section: Section) -> None:
        rings = list(walls(section))
        moving = shapely.polygons(
            shapely.linearrings(np.concatenate(rings), indices=np.repeat(np.arange(len(rings)), [*map(len, rings)]))
        )
        shapely.prepare(moving)
        self._head = section.head
        self._fixed = fixed_parts(section.head)
        self._moving = moving
        self._bounds = shapely.bounds(moving).T[..., None]
        self._front_mm = max(float(section[f"{side}_red"][:, 0].min()) for side in ("upper", "lower"))

    def holding(self, points: Array) -> tuple[Indices, Shapes]:
        """Points (n, 2) that lie in an organ: their numbers (k,) and outlines of the organs (k,); what is before the
        lips is free."""
        x, y = np.ascontiguousarray(points.T)
        bound = (x > self._front_mm) | (y > self._head.air.before_lips_mm)
        x0, y0, x1, y1 = self._bounds
        near = np.flatnonzero((x > x0) & (x < x1) & (y > y0) & (y < y1) & bound)
        still = np.flatnonzero(_near_fixed(self._head, x, y) & bound)
        organ, at = np.divmod(near, len(points))
        at = np.concatenate([*[still] * len(self._fixed), at])
        shapes = np.concatenate([np.repeat(self._fixed, len(still)), self._moving[organ]])
        held = np.flatnonzero(shapely.contains_xy(shapes, x[at], y[at]))
        return at[held], shapely.get_exterior_ring(shapes[held])

    def freed(self, points: Array, margin_mm: float) -> tuple[Indices, Array]:
        """Which of points (n, 2) lie in an organ (k,), and where a margin before its wall would be (k, 2)."""
        at, edges = self.holding(points)
        return at, _beyond(points[at], edges, margin_mm) if len(at) else np.empty((0, 2))


@lru_cache(maxsize=8)
def fixed_parts(head: Head) -> Shapes:
    """The tissue around the airway that never moves, as polygons (n,)."""
    parts: Shapes = shapely.get_parts(np.array([tissue.maxilla_mass(head), tissue.rear_mass(head)]))
    shapely.prepare(parts)
    return parts


@lru_cache(maxsize=8)
def _fixed_cells(head: Head) -> Bools:
    """Which cells (across * up,) hold any of the tissue that never moves."""
    x, y = (np.arange(a, b, CELL_MM) for a, b in zip(CELLS_FROM_MM, CELLS_TO_MM, strict=True))
    boxes = shapely.box(x[:, None], y, x[:, None] + CELL_MM, y + CELL_MM)
    return np.logical_or.reduce([shapely.intersects(part, boxes) for part in fixed_parts(head)]).ravel()


def _near_fixed(head: Head, x: Array, y: Array) -> Bools:
    """Which points (n,) may lie in tissue that never moves: most of a flow line is spared the exact question."""
    rows = int((CELLS_TO_MM[1] - CELLS_FROM_MM[1]) / CELL_MM)
    across, up = ((x - CELLS_FROM_MM[0]) / CELL_MM).astype(np.intp), ((y - CELLS_FROM_MM[1]) / CELL_MM).astype(np.intp)
    return np.asarray(_fixed_cells(head).take(across * rows + up, mode="clip"))


def kept_inside(lines: Array, solid: Tissue, seen: Bools | None = None) -> tuple[Array, Bools]:
    """Lines (m, n, 2) with the points that lie in tissue moved to the nearest air, and which those were (m, n).

    `seen` (m, n): only these points matter, and those just beside them. What is before the lips stays.
    """
    margin_mm = dimensions().flow.margin_mm
    kept = lines.copy()
    flat = kept.reshape(-1, 2)
    moved = np.zeros(lines.shape[:2], dtype=bool)
    asked = np.arange(len(flat)) if seen is None else np.flatnonzero(around(seen, 1))
    for turn in range(TURNS):
        out, put = solid.freed(flat[asked], margin_mm / 4**turn)
        if not len(out):
            break
        asked = asked[out]
        flat[asked] = put
        moved.ravel()[asked] = True
        if turn == 0:
            astray = moved.any(axis=1)
            kept[astray] = smooth(kept[astray], SOFTENED)
            asked = np.flatnonzero(around(moved, SOFTENED))
    if moved.any():  # a step from point to point may still cut the tip of an organ
        touched = around(moved, SOFTENED)
        line, first = np.nonzero(touched[:, :-1] | touched[:, 1:])
        middle = (kept[line, first] + kept[line, first + 1]) / 2
        out, put = solid.freed(middle, margin_mm)
        line, first, way = line[out], first[out], put - middle[out]
        kept[line, first] += way
        kept[line, first + 1] += way
    return kept, moved


def around(on: Bools, reach: int) -> Bools:
    """Points (m, n) that lie at most so many places along their line from one that is on."""
    count = on.shape[1]
    so_far = np.zeros((len(on), count + 2 * reach + 1), dtype=np.intp)
    so_far[:, reach + 1 : reach + 1 + count] = on
    np.cumsum(so_far, axis=1, out=so_far)
    return np.asarray(so_far[:, 2 * reach + 1 :] > so_far[:, :count])


def smooth(lines: Array, times: int = 2) -> Array:
    """Lines (..., n, 2) softened along n by a 1-2-1 average, ends kept."""
    softer = lines.copy()
    for _ in range(times if lines.shape[-2] >= 3 else 0):
        pairs = softer[..., 1:, :] + softer[..., :-1, :]
        softer[..., 1:-1, :] = (pairs[..., 1:, :] + pairs[..., :-1, :]) / 4
    return softer


def _beyond(points: Array, edges: Shapes, margin_mm: float) -> Array:
    """The points of edges (n,) nearest to points (n, 2), and a margin further."""
    at = shapely.get_coordinates(shapely.shortest_line(shapely.points(points), edges)).reshape(-1, 2, 2)[:, 1]
    way = at - points
    return at + margin_mm * way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
