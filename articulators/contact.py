"""The contact stage: what the linear stage lets overlap is pressed flat, so that no tissue passes through tissue.

Works on arrays of shapely polygons of one shape, one polygon per posture of a batch. The harder or the
named-later tissue yields: lips to teeth and to each other, soft palate to the throat wall, tongue to all of them.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from articulators.curves import Array
from articulators.head import Head
from articulators.outlines import fixed

Shapes = NDArray[np.object_]
POLYGON = 3  # shapely's number for the type
SAME_MM = 1e-9  # points nearer than this are one: without it the last digit decides on spikes without width
ASIDE_MM = (1e-6, 6e-7)  # of two vertices that mirror each other about a rounded corner, the same is taken always
QUARTER = 6  # segments of a quarter circle where outlines are rounded; 0.05 mm of error at 2 mm


def polygons(lines: Array) -> Shapes:
    """Valid polygons (...) from closed outlines (..., n, 2)."""
    shapes = np.array(shapely.polygons(np.ascontiguousarray(lines)), dtype=object)
    bad = ~shapely.is_valid(shapes)
    if bad.any():
        shapes[bad] = shapely.buffer(shapes[bad], 0)
    return shapes[()]


def rigid(shape: shapely.Geometry, moved: Array) -> Shapes:
    """Copies of a shape (n,) with its coordinates (k, 2) moved to (n, k, 2): for what turns and shifts as one piece."""
    copies = np.full(len(moved), shape, dtype=object)
    return np.asarray(shapely.set_coordinates(copies, moved.reshape(-1, 2)), dtype=object)


def less(shapes: Shapes, harder: Shapes | shapely.Geometry) -> Shapes:
    """What is left of shapes (n,) where harder tissue, (n,) or one for all, takes its place; far ones stay as given."""
    harder = np.asarray(harder, dtype=object)
    if harder.ndim:
        shapely.prepare(shapes)
    met = np.flatnonzero(shapely.intersects(harder, shapes))
    if not len(met):
        return shapes
    left = np.array(shapes, dtype=object)
    left[met] = shapely.difference(left[met], harder[met] if harder.ndim else harder[()])
    return left


def largest(shapes: Shapes) -> Shapes:
    """The largest piece of each shape, holes filled: an organ is one piece."""
    out = np.array(shapes, dtype=object)
    flat = out.reshape(-1)
    whole = (shapely.get_type_id(flat) == POLYGON) & (shapely.get_num_interior_rings(flat) == 0)
    for i in np.flatnonzero(~whole):
        pieces = [g for g in shapely.get_parts(flat[i]) if g.geom_type == "Polygon"]
        best = max(pieces, key=lambda g: g.area)
        flat[i] = shapely.Polygon(best.exterior)
    return out


@lru_cache(maxsize=8)
def upper_block(head: Head) -> Array:
    """The ring (n, 2) between the floor of the nose and the roof of the mouth, closed in the root of the upper lip."""
    front = [head.tissue.gum_front, head.lips.upper_rest[-1], *head.tissue.lip_root]
    return np.concatenate([fixed(head, "nose_floor"), fixed(head, "palate")[::-1], front])


@lru_cache(maxsize=8)
def maxilla_mass(head: Head) -> shapely.Geometry:
    """Everything fixed above the mouth: floor of the nose, palate, gum and upper incisor."""
    parts = [polygons(upper_block(head)), polygons(fixed(head, "upper_gum")), polygons(fixed(head, "upper_incisor"))]
    return prepared(shapely.union_all(parts))


@lru_cache(maxsize=8)
def rear_mass(head: Head) -> shapely.Geometry:
    """Everything fixed behind and above the airway: nose, skull, throat wall."""
    skin, roof, wall, gullet = (fixed(head, k) for k in ("profile", "nose_roof", "rear_wall", "gullet"))
    return prepared(polygons(np.concatenate([skin, roof[1:], wall[1:], gullet[1:], head.tissue.behind_throat])))


def prepared(shape: shapely.Geometry) -> shapely.Geometry:
    """The same shape, with an index that makes asking what it meets fast."""
    shapely.prepare(shape)
    return shape


def rounded(shapes: Shapes, fill_mm: float, round_mm: float) -> Shapes:
    """Hollows narrower than `fill_mm` closed, then spikes narrower than `round_mm` opened."""
    filled = shapely.buffer(shapely.buffer(shapes, fill_mm, quad_segs=QUARTER), -fill_mm - round_mm, quad_segs=QUARTER)
    return shapely.buffer(largest(filled), round_mm, quad_segs=QUARTER)


def split(upper: Shapes, lower: Shapes) -> tuple[Shapes, Shapes]:
    """Two overlapping lips (n,) parted along the line between the ends of their overlap."""
    upper, lower = np.array(upper, dtype=object), np.array(lower, dtype=object)
    shapely.prepare(upper)
    met = np.flatnonzero(shapely.intersects(upper, lower))
    overlaps = shapely.intersection(upper[met], lower[met])
    for i, overlap in zip(met, overlaps, strict=True):
        if not shapely.area(overlap) > 1e-9:
            continue
        seam = _seam(upper[i], lower[i])
        if seam is None:
            lower[i] = shapely.difference(lower[i], upper[i])
            continue
        a, b = seam
        along = (b - a) / np.hypot(*(b - a))
        across = np.array([-along[1], along[0]])  # points up, because the seam runs to the back
        far_a, far_b = a - 60 * along, b + 60 * along
        above = shapely.Polygon([far_a, far_b, far_b + 60 * across, far_a + 60 * across])
        below = shapely.Polygon([far_a, far_b, far_b - 60 * across, far_a - 60 * across])
        upper[i] = shapely.difference(upper[i], shapely.intersection(overlap, below), grid_size=SAME_MM)
        lower[i] = shapely.difference(lower[i], shapely.intersection(overlap, above), grid_size=SAME_MM)
    return largest(upper), largest(lower)


def _seam(upper: shapely.Geometry, lower: shapely.Geometry) -> tuple[Array, Array] | None:
    crossing = shapely.get_coordinates(shapely.intersection(upper.exterior, lower.exterior))
    if len(crossing) < 2:
        return None
    crossing = crossing[np.argsort(crossing[:, 0])]
    a, b = crossing[0], crossing[-1]
    return (a, b) if np.hypot(*(b - a)) > 1e-6 else None


def open_lines(shapes: Shapes, start: Array, end: Array | None, count: int) -> Array:
    """Outlines (n, count, 2) of polygons (n,) from the vertex nearest `start` (n, 2) round to the one nearest `end`.

    The closing edge from end back to start is the organ's root (bone, skin or muscle), not its surface. Without an
    end the line goes counter-clockwise through every vertex.
    """
    points, line, number = _between(*_rings(shapes), start, end)
    step = np.hypot(*np.moveaxis(np.diff(points, axis=1), -1, 0))
    s = np.concatenate([np.zeros((len(step), 1)), np.cumsum(step, axis=1)], axis=1)
    total = s[np.arange(len(s)), number - 1]
    at = np.linspace(0, total, count, axis=-1)
    # how many vertices lie before each sample, from the first sample at or behind each vertex
    with np.errstate(divide="ignore", invalid="ignore"):
        first = np.ceil(s * ((count - 1) / total)[:, None])
    first = np.where(line < number[:, None], first, count).astype(np.intp)
    cells = np.arange(len(s))[:, None] * (count + 1) + np.minimum(first, count)
    before = np.bincount(cells.ravel(), minlength=len(s) * (count + 1)).reshape(-1, count + 1)[:, :-1].cumsum(axis=1)
    low = np.clip(before - 1, 0, np.maximum(number - 2, 0)[:, None])
    share = (at - np.take_along_axis(s, low, axis=1)) / np.maximum(np.take_along_axis(step, low, axis=1), 1e-300)
    begin = _picked(points, low)
    out = begin + np.clip(share, 0, 1)[..., None] * (_picked(points, low + 1) - begin)
    out[:, -1] = points[np.arange(len(s)), number - 1]
    return np.asarray(out)


def _picked(points: Array, at: NDArray[np.intp]) -> Array:
    """Points (n, k, 2) of lines (n, m, 2) at indices (n, k): one index into all points is the quickest."""
    rows = np.arange(len(points))[:, None] * points.shape[1]
    return np.take(points.reshape(-1, 2), rows + at, axis=0)


def _rings(shapes: Shapes) -> tuple[Array, NDArray[np.intp]]:
    """Vertices (n, most, 2) of the outer rings, clockwise and each once, and their number (n,).

    Rows that are shorter go on with their last vertex.
    """
    flat, ring = shapely.get_coordinates(shapely.get_exterior_ring(shapes), return_index=True)
    step = np.diff(flat, axis=0)
    within = ring[:-1] == ring[1:]
    x, y = flat[:, 0], flat[:, 1]
    first = np.flatnonzero(np.append(True, ~within))
    turn = np.add.reduceat(np.append(np.where(within, x[:-1] * step[:, 1] - y[:-1] * step[:, 0], 0), 0.0), first)
    # the last vertex of each ring is its first again
    apart = (np.abs(step[:, 0]) > SAME_MM) | (np.abs(step[:, 1]) > SAME_MM)
    kept = np.append(within & apart, False)
    flat, number = flat[kept], np.add.reduceat(kept.astype(np.intp), first)
    first = np.cumsum(number) - number
    at = np.minimum(np.arange(number.max()), number[:, None] - 1)
    at = np.where((turn > 0)[:, None], (number[:, None] - at) % number[:, None], at)
    return np.take(flat, first[:, None] + at, axis=0), number


def _between(
    rings: Array, number: NDArray[np.intp], start: Array, end: Array | None
) -> tuple[Array, NDArray[np.intp], NDArray[np.intp]]:
    """The vertices of each ring from nearest `start` to nearest `end`, the long way: points, places, their number."""
    row = np.arange(len(rings))

    def nearest(to: Array) -> NDArray[np.intp]:
        x, y = np.moveaxis(rings - (to + ASIDE_MM)[:, None], -1, 0)
        return np.asarray((x * x + y * y).argmin(axis=1))

    i = nearest(start)
    j = i if end is None else nearest(end)
    step = np.hypot(*np.moveaxis(np.diff(rings, axis=1, append=rings[:, :1]), -1, 0))
    closing = np.hypot(*(rings[row, number - 1] - rings[:, 0]).T)
    step = np.where(np.arange(step.shape[1]) == number[:, None] - 1, closing[:, None], step)
    step = np.where(np.arange(step.shape[1]) >= number[:, None], 0, step)
    length = np.concatenate([np.zeros((len(step), 1)), np.cumsum(step, axis=1)], axis=1)
    total = length[:, -1]
    ahead = (length[row, j] - length[row, i]) % total
    to_start = step[row, (i - 1) % number]
    ahead_by = (j - i) % number
    back = (2 * ahead_by < number) & (ahead < total - ahead - to_start)
    many = np.minimum(np.where(back, number - ahead_by, ahead_by) + 1, number)
    line = np.arange(many.max())
    at = np.minimum(line, many[:, None] - 1)
    at = (i[:, None] + np.where(back, -1, 1)[:, None] * at) % number[:, None]
    return _picked(rings, at), line, many
