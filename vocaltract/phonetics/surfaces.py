"""The still side of the vocal tract as rows of stations, and how far a tongue is from them.

Places of articulation are windows on these rows: the roof (from the incisors over the palate, by x), the soft palate's
oral side (by share of its length, so that it follows the velum) and the rear wall of the throat (by y).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from articulators import contact, tongue
from articulators.curves import Array, Bools, arc_length, resample
from articulators.head import Head
from articulators.posture import Posture, posture_of
from articulators.section import section

STATION_MM = 1.0  # in a mouth as large as the adult man's, as the next
WALL_TOP_MM, WALL_FOOT_MM = 12.0, -54.0
RING_STEP = 2  # every second point of the tongue's outline is enough while solving


@dataclass(frozen=True)
class Surfaces:
    """Stations (n, 2) in mm, about STATION_MM apart, and where each lies.

    x_mm         (n,) on the roof as far as it runs to the back; nan elsewhere
    soft_share   (n,) along the soft palate's oral side, 0 at the hard palate, 1 at the uvula's tip; nan elsewhere
    wall_y_mm    (n,) on the rear wall; nan elsewhere
    """

    points: Array
    x_mm: Array
    soft_share: Array
    wall_y_mm: Array

    def coordinate(self, surface: str) -> Array:
        """The row's own coordinate (n,), nan off that row: "roof", "velum" or "wall"."""
        return {"roof": self.x_mm, "velum": self.soft_share, "wall": self.wall_y_mm}[surface]

    def within(self, surface: str, first: float, last: float) -> Bools:
        """Which stations (n,) lie in a window; at least the nearest one."""
        at = self.coordinate(surface)
        inside = np.isfinite(at) & (at >= first) & (at <= last)
        if not inside.any():
            inside[int(np.nanargmin(np.abs(at - (first + last) / 2)))] = True
        return inside


def surfaces(head: Head, velum: float) -> Surfaces:
    """The stations of a head with the soft palate at `velum` (0 raised to 1 lowered)."""
    at_rest = section(head, posture_of(velum=velum, jaw_mm=8.0 * head.size))
    step_mm, throat = STATION_MM * head.size, head.head_of.throat
    soft, palate, wall = at_rest["velum"], at_rest["palate"], at_rest["rear_wall"]
    tip = int(np.argmin(soft[:, 1]))
    line = np.concatenate([head.palate.incisor_behind, palate[1:], soft[1:tip]])
    roof = resample(line, int(arc_length(line)[-1] / step_mm))
    turn = int(np.argmax(roof[:, 0])) + 1
    x = np.where(np.arange(len(roof)) < turn, roof[:, 0], np.nan)
    length = arc_length(roof)
    hard = length[int(np.argmax(roof[:, 0] >= soft[0, 0]))]
    share = np.where(length >= hard, (length - hard) / (length[-1] - hard), np.nan)
    levels = np.arange(WALL_TOP_MM * throat, WALL_FOOT_MM * throat, -2 * step_mm)
    down = np.stack([np.interp(levels, wall[::-1, 1], wall[::-1, 0]), levels], axis=-1)
    none, none_down = np.full(len(roof), np.nan), np.full(len(down), np.nan)
    return Surfaces(
        np.concatenate([roof, down]),
        np.concatenate([x, none_down]),
        np.concatenate([share, none_down]),
        np.concatenate([none, levels]),
    )


def near_clearance_mm(ring: Array, stations: Array) -> Array:
    """Distance (..., n) from stations (n, 2) to closed outlines (..., m, 2), negative inside; tips not rounded."""
    a = ring
    b = np.roll(ring, -1, axis=-2)
    ex, ey = (b - a)[..., None, :, 0], (b - a)[..., None, :, 1]
    dx = stations[:, None, 0] - a[..., None, :, 0]
    dy = stations[:, None, 1] - a[..., None, :, 1]
    share = np.clip((dx * ex + dy * ey) / np.maximum(ex * ex + ey * ey, 1e-12), 0, 1)
    away = np.sqrt(((dx - share * ex) ** 2 + (dy - share * ey) ** 2).min(axis=-1))
    above = (dy < 0) != (dy - ey < 0)
    crossing = above & ((dx * ey < dy * ex) == (ey > 0))
    inside = (crossing.sum(axis=-1) % 2) == 1
    return np.where(inside, -away, away)


def thinned(ring: Array) -> Array:
    """A tongue outline (..., m, 2) with fewer points on its surface; the tip and the underside are kept."""
    top = ring[..., : tongue.SURFACE_POINTS, :]
    keep = np.unique(np.concatenate([np.arange(0, tongue.SURFACE_POINTS, RING_STEP), [tongue.SURFACE_POINTS - 1]]))
    return np.concatenate([top[..., keep, :], ring[..., tongue.SURFACE_POINTS :: RING_STEP, :]], axis=-2)


def clearance_mm(head: Head, posture: Posture, stations: Array) -> Array:
    """Distance (..., n) from stations to the rounded tongue before contact; negative inside it."""
    raw = contact.polygons(tongue.mass(head, posture))
    shape = contact.rounded(raw, head.tongue.fill_mm, head.tongue.round_mm)
    points = shapely.points(stations)
    shape = np.asarray(shape, dtype=object)[..., None]
    outside = shapely.distance(shape, points)
    inside = shapely.distance(shapely.boundary(shape), points)
    return np.where(shapely.contains(shape, points), -inside, outside)
