"""The channel from windpipe to lips along fixed gridlines: its two walls, and so its middle and its width.

Gridlines lie across the passage: level in the throat, a fan at the bend, upright in the mouth.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from articulators.curves import Array
from articulators.section import Section

BEND_MM = (36.0, -18.0)  # a point that always lies inside the tongue
INNER = ("tongue", "epiglottis", "larynx_front", "lower_incisor", "lower_gum", "lower_lip")
OUTER = ("palate", "velum", "upper_incisor", "upper_gum", "upper_lip", "rear_wall", "larynx_rear")
TOUCH_MM = 0.3


@dataclass(frozen=True)
class Channel:
    """Walls of the channel at n gridlines from the windpipe to the lips.

    inner, outer   (..., n, 2) mm on the tongue's side and on the palate's and throat wall's side; nan where the
                   gridline lies in front of the lips
    width_mm       (..., n) their distance, 0 where they touch
    """

    inner: Array
    outer: Array
    width_mm: Array


@lru_cache(maxsize=1)
def gridlines() -> tuple[Array, Array]:
    """Start points and unit directions (n, 2) of the gridlines, from the windpipe to the lips."""
    bx, by = BEND_MM
    level = np.arange(-109.0, by - 1, 3.5)
    starts = [np.stack([np.full(len(level), 30.0), level], axis=-1)]
    directions = [np.tile([1.0, 0.0], (len(level), 1))]
    angle = np.deg2rad(np.arange(0, 90, 6.0))
    starts.append(np.tile([bx, by], (len(angle), 1)))
    directions.append(np.stack([np.cos(angle), np.sin(angle)], axis=-1))
    across = np.arange(bx, -30.0, -1.5)
    starts.append(np.stack([across, np.full(len(across), -40.0)], axis=-1))
    directions.append(np.tile([0.0, 1.0], (len(across), 1)))
    return np.concatenate(starts), np.concatenate(directions)


def channel(section: Section) -> Channel:
    """Walls of the channel of a section or a batch of sections."""
    start, along = gridlines()
    limit = np.where(start[:, 1] == -40.0, 75.0, 60.0)
    inner = np.full((*section.posture.shape, len(start)), -np.inf)
    for organ in INNER:
        hits = _hits(section[organ], start, along, closed=not organ.startswith("larynx"))
        inner = np.maximum(inner, np.where(np.isfinite(hits) & (hits < limit[:, None]), hits, -np.inf).max(axis=-1))
    outer = np.full_like(inner, np.inf)
    for organ in OUTER:
        hits = _hits(section[organ], start, along, closed=organ not in ("palate", "rear_wall", "larynx_rear"))
        beyond = np.where(np.isfinite(hits) & (hits >= inner[..., None] - TOUCH_MM), hits, np.inf)
        outer = np.minimum(outer, beyond.min(axis=-1))
    known = np.isfinite(inner) & np.isfinite(outer)
    width = np.where(known, np.maximum(outer - inner, 0), np.nan)
    inner, outer = np.where(known, inner, np.nan), np.where(known, outer, np.nan)
    return Channel(start + inner[..., None] * along, start + outer[..., None] * along, width)


def _hits(line: Array, start: Array, along: Array, closed: bool) -> Array:
    """Where gridlines (n) cross segments (..., m) of an outline: distance along the gridline, else nan."""
    if closed:
        line = np.concatenate([line, line[..., :1, :]], axis=-2)
    a, b = line[..., None, :-1, :], line[..., None, 1:, :]
    d = b - a
    u = along[:, None, :]
    cross = u[..., 0] * d[..., 1] - u[..., 1] * d[..., 0]
    rel = a - start[:, None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (rel[..., 0] * d[..., 1] - rel[..., 1] * d[..., 0]) / cross
        s = (rel[..., 0] * u[..., 1] - rel[..., 1] * u[..., 0]) / cross
    return np.where((s >= 0) & (s <= 1) & (t >= 0), t, np.nan)
