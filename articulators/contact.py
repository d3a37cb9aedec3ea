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
QUARTER = 6  # segments of a quarter circle where outlines are rounded; 0.05 mm of error at 2 mm


def polygons(lines: Array) -> Shapes:
    """Valid polygons (...) from closed outlines (..., n, 2)."""
    shapes = shapely.polygons(np.ascontiguousarray(lines))
    bad = ~shapely.is_valid(shapes)
    return np.asarray(np.where(bad, shapely.buffer(shapes, 0), shapes), dtype=object)[()]


def largest(shapes: Shapes) -> Shapes:
    """The largest piece of each shape, holes filled: an organ is one piece."""
    flat = np.asarray(shapes, dtype=object).ravel()
    out = np.empty(flat.shape, dtype=object)
    for i, shape in enumerate(flat):
        pieces = [g for g in shapely.get_parts(shape) if g.geom_type == "Polygon"]
        best = max(pieces, key=lambda g: g.area)
        out[i] = shapely.Polygon(best.exterior)
    return out.reshape(np.shape(shapes))


@lru_cache(maxsize=8)
def maxilla_mass(head: Head) -> shapely.Geometry:
    """Everything fixed above the mouth: floor of the nose, palate, gum and upper incisor."""
    floor, palate = fixed(head, "nose_floor"), fixed(head, "palate")
    vestibule = head.curve("lips", "upper_rest")[-1]
    ring = np.concatenate(
        [floor, palate[::-1], [palate[0] + [-1.6, 1.0]], [vestibule], [[-10.0, 20.0]], [[-18.5, 22.3]]]
    )
    parts = [polygons(ring), polygons(fixed(head, "upper_gum")), polygons(fixed(head, "upper_incisor"))]
    return _prepared(shapely.union_all(parts))


@lru_cache(maxsize=8)
def rear_mass(head: Head) -> shapely.Geometry:
    """Everything fixed behind and above the airway: nose, skull, throat wall."""
    skin, roof, wall, gullet = (fixed(head, k) for k in ("profile", "nose_roof", "rear_wall", "gullet"))
    back = np.array([[130.0, -112.0], [130.0, 100.0]])
    return _prepared(polygons(np.concatenate([skin, roof[1:], wall[1:], gullet[1:], back])))


def _prepared(shape: shapely.Geometry) -> shapely.Geometry:
    shapely.prepare(shape)
    return shape


def rounded(shapes: Shapes, fill_mm: float, round_mm: float) -> Shapes:
    """Hollows narrower than `fill_mm` closed, then spikes narrower than `round_mm` opened."""
    filled = shapely.buffer(shapely.buffer(shapes, fill_mm, quad_segs=QUARTER), -fill_mm - round_mm, quad_segs=QUARTER)
    return shapely.buffer(largest(filled), round_mm, quad_segs=QUARTER)


def split(upper: Shapes, lower: Shapes) -> tuple[Shapes, Shapes]:
    """Two overlapping lips parted along the line between the ends of their overlap."""
    upper, lower = np.array(upper, dtype=object, ndmin=1), np.array(lower, dtype=object, ndmin=1)
    for i in np.flatnonzero(shapely.area(shapely.intersection(upper, lower)) > 1e-9):
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
        overlap = shapely.intersection(upper[i], lower[i])
        upper[i] = shapely.difference(upper[i], shapely.intersection(overlap, below))
        lower[i] = shapely.difference(lower[i], shapely.intersection(overlap, above))
    return largest(upper), largest(lower)


def _seam(upper: shapely.Geometry, lower: shapely.Geometry) -> tuple[Array, Array] | None:
    crossing = shapely.get_coordinates(shapely.intersection(upper.exterior, lower.exterior))
    if len(crossing) < 2:
        return None
    crossing = crossing[np.argsort(crossing[:, 0])]
    a, b = crossing[0], crossing[-1]
    return (a, b) if np.hypot(*(b - a)) > 1e-6 else None


def open_line(shape: shapely.Geometry, start: Array, end: Array, count: int) -> Array:
    """The outline of a polygon as `count` points from the vertex nearest `start` round to the one nearest `end`.

    The closing edge from end back to start is the organ's root (bone, skin or muscle), not its surface.
    """
    ring = shapely.get_coordinates(shape.exterior)[:-1]
    i = int(np.argmin(np.hypot(*(ring - start).T)))
    ring = np.roll(ring, -i, axis=0)
    j = int(np.argmin(np.hypot(*(ring - end).T)))
    if j < len(ring) / 2 and _length(ring[: j + 1]) < _length(ring[j:]):
        ring = np.concatenate([ring[:1], ring[:0:-1]])
        j = len(ring) - j
    line = ring[: j + 1]
    steps = np.hypot(*np.diff(line, axis=0).T)
    s = np.concatenate([[0.0], np.cumsum(steps)])
    at = np.linspace(0, s[-1], count)
    return np.stack([np.interp(at, s, line[:, 0]), np.interp(at, s, line[:, 1])], axis=-1)


def _length(line: Array) -> float:
    return float(np.hypot(*np.diff(line, axis=0).T).sum())
