"""What leaders cross: the outlines of organs in a picture, and how often straight leaders pass through each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely

from articulators.curves import Array, Bools, Indices
from articulators.section import Section
from renders.labels.table import label_table
from renders.paper.picture import Layer, Stroke
from renders.paper.view import View

STRIDE = 4  # every so manieth point of an outline is enough to count crossings


@dataclass(frozen=True, eq=False)
class Obstacles:
    """Outlines in px.

    a, b     pieces from a to b (m, 2)        organ    number (m,) of the organ of each
    names    of the organs                    px       what a crossing of each costs
    deep_px  how far a leader may reach into the organ that it names
    """

    a: Array
    b: Array
    organ: Indices
    names: tuple[str, ...]
    px: Array
    deep_px: float

    def counts(self, own: Iterable[str], starts: Array, ends: Array) -> Indices:
        """How often leaders from starts (n, 2) to ends (n, 2) cross the outline of each organ (n, organs).

        One crossing of each outline that is the part's `own` is free if it lies within `deep_px` of the leader's end:
        the way into what is named.
        """
        return self._met(own, starts, ends)[0]

    def cost(self, own: Iterable[str], starts: Array, ends: Array) -> Array:
        """Px (n,) by which leaders of a part with these own outlines count as longer."""
        counts, through = self._met(own, starts, ends)
        cost: Array = counts @ self.px + label_table().crossing.through_px_per_px * through
        return cost

    def _met(self, own: Iterable[str], starts: Array, ends: Array) -> tuple[Indices, Array]:
        """Those counts, and how far in px (n,) beyond `deep_px` before its end a leader enters its own organ."""
        run = ends - starts
        length = np.maximum(np.hypot(run[:, 0], run[:, 1]), 1e-9)
        across = np.stack([-run[:, 1], run[:, 0]], axis=-1) / length[:, None]
        base = (across * starts).sum(axis=1)[:, None]
        off_a, off_b = across @ self.a.T - base, across @ self.b.T - base
        row, piece = np.nonzero((off_a < 0.0) != (off_b < 0.0))
        one, two = off_a[row, piece], off_b[row, piece]
        share = one / (one - two)
        met = self.a[piece] + share[:, None] * (self.b[piece] - self.a[piece])
        left = length[row] - ((met - starts[row]) * run[row]).sum(axis=1) / length[row]
        organ = self.organ[piece]
        flat = row * len(self.names) + organ

        def number(kept: Bools) -> Indices:
            found = np.bincount(flat[kept], minlength=len(starts) * len(self.names))
            return found.reshape(len(starts), -1)

        before_end = (left > label_table().crossing.grazed_px) & (left < length[row])
        counts, near = number(before_end), number(before_end & (left < self.deep_px))
        through = np.zeros(len(starts))
        for name in own:
            k = self.names.index(name)
            counts[:, k] -= np.minimum(near[:, k], 1)
            mine = before_end & (organ == k)
            np.maximum.at(through, row[mine], left[mine] - self.deep_px)
        return counts, through


def obstacles(section: Section, view: View, boxes: Iterable[Array] = (), marks: Iterable[Layer] = ()) -> Obstacles:
    """Outlines of the organs of data/labels.toml, of boxes (n, 2) in px beside the head, and of drawn marks."""
    lines: list[tuple[str, Array, bool]] = []
    costs = label_table().crossing
    for organ in costs.organs_px:
        points = view.px(section[organ])
        lines.append((organ, np.concatenate([points[:-1:STRIDE], points[-1:]]), organ not in costs.open))
    lines += [("box", np.asarray(box, dtype=float), True) for box in boxes]
    for layer in marks:
        for op in layer.ops:
            if isinstance(op, Stroke):
                lines += [("mark", ring, True) for ring in _rings(op)]
    names = (*costs.organs_px, "box", "mark")
    a, b, organ_of = [], [], []
    for name, points, closed in lines:
        ring = np.concatenate([points, points[:1]]) if closed else points
        a.append(ring[:-1])
        b.append(ring[1:])
        organ_of.append(np.full(len(ring) - 1, names.index(name)))
    px = np.array([*costs.organs_px.values(), costs.box_px, costs.mark_px], dtype=float)
    deep_px = costs.deep_mm * view.scale
    return Obstacles(np.concatenate(a), np.concatenate(b), np.concatenate(organ_of), names, px, deep_px)


def _rings(stroke: Stroke) -> list[Array]:
    """Rings around the lines of a stroke, as wide as it is drawn."""
    lines, pieces = shapely.linestrings, (piece for piece, _ in stroke.path.pieces())
    rings = [shapely.buffer(lines(piece[::2]), stroke.width / 2, quad_segs=1) for piece in pieces if len(piece) > 3]
    return [shapely.get_coordinates(ring.exterior)[:-1] for ring in rings if ring.geom_type == "Polygon"]
