"""The channel from windpipe to lips along gridlines: its two walls, and so its middle and its width.

Gridlines lie across the passage: level in the throat, a fan at the bend, upright in the mouth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from articulators import outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.section import Section

BEND_MM = (36.0, -18.0)  # a point that always lies inside the tongue
LOWEST_MM, REACH_MM, THROAT_REACH_MM = -40.0, 75.0, 60.0  # where upright gridlines start; how far walls are looked for
INNER = ("tongue", "epiglottis", "larynx_front", "lower_incisor", "lower_gum", "lower_lip")
OUTER = ("palate", "velum", "upper_incisor", "upper_gum", "upper_lip", "rear_wall", "larynx_rear")
OPEN_LINES = ("palate", "rear_wall", "larynx_rear", "larynx_front")
TOUCH_MM = 0.3
CHUNK = 400_000  # points times gridlines looked at together: what fits the processor's cache


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


def grid(level_mm: Array, angle_deg: Array, across_mm: Array) -> tuple[Array, Array]:
    """Start points and unit directions (n, 2): level at those heights, a fan at those angles, upright at those x."""
    angle = np.deg2rad(angle_deg)
    starts = [
        np.stack([np.full(len(level_mm), 30.0), level_mm], axis=-1),
        np.tile(BEND_MM, (len(angle), 1)),
        np.stack([across_mm, np.full(len(across_mm), LOWEST_MM)], axis=-1),
    ]
    directions = [
        np.tile([1.0, 0.0], (len(level_mm), 1)),
        np.stack([np.cos(angle), np.sin(angle)], axis=-1),
        np.tile([0.0, 1.0], (len(across_mm), 1)),
    ]
    return np.concatenate(starts), np.concatenate(directions)


@lru_cache(maxsize=1)
def gridlines() -> tuple[Array, Array]:
    """Start points and unit directions (n, 2) of the gridlines, from the windpipe to the lips."""
    bx, by = BEND_MM
    return grid(np.arange(-109.0, by - 1, 3.5), np.arange(0, 90, 6.0), np.arange(bx, -30.0, -1.5))


def channel(section: Section) -> Channel:
    """Walls of the channel of a section or a batch of sections."""
    start, along = gridlines()
    inner = innermost(section, start, along, INNER)
    outer = outermost(section, start, along, OUTER, inner)
    known = np.isfinite(inner) & np.isfinite(outer)
    width = np.where(known, np.maximum(outer - inner, 0), np.nan)
    inner, outer = np.where(known, inner, np.nan), np.where(known, outer, np.nan)
    return Channel(start + inner[..., None] * along, start + outer[..., None] * along, width)


def innermost(section: Section, start: Array, along: Array, organs: Sequence[str]) -> Array:
    """How far along each gridline (..., n) the farthest wall of these organs lies, in mm; -inf where there is none."""
    limit = np.where(start[:, 1] == LOWEST_MM, REACH_MM, THROAT_REACH_MM)
    found = np.full((int(np.prod(section.posture.shape)), len(start)), -np.inf)
    for organ in organs:
        for moment, line, at in _hits(section, organ, start, along):
            near = at < limit[line]
            np.maximum.at(found, (moment[near], line[near]), at[near])
    return found.reshape(*section.posture.shape, len(start))


def outermost(section: Section, start: Array, along: Array, organs: Sequence[str], inner: Array) -> Array:
    """How far along each gridline (..., n) these organs' first wall beyond `inner` lies, in mm; inf for none."""
    flat = inner.reshape(-1, len(start))
    found = np.full_like(flat, np.inf)
    for organ in organs:
        if organ in outlines.FIXED:
            hits = _fixed_hits(section.head, organ, start.tobytes(), along.tobytes())
            beyond = np.where(hits >= flat[..., None] - TOUCH_MM, hits, np.inf)
            np.minimum(found, beyond.min(axis=-1), out=found)
            continue
        for moment, line, at in _hits(section, organ, start, along):
            beyond = at >= flat[moment, line] - TOUCH_MM
            np.minimum.at(found, (moment[beyond], line[beyond]), at[beyond])
    return found.reshape(inner.shape)


@lru_cache(maxsize=256)
def _fixed_hits(head: Head, organ: str, start: bytes, along: bytes) -> Array:
    """Where gridlines meet a part that never moves: (n, most) distances, nan-padded."""
    starts, directions = (np.frombuffer(b).reshape(-1, 2) for b in (start, along))
    _, line, at = _crossings(outlines.fixed(head, organ)[None], starts, directions, organ not in OPEN_LINES)
    rows = [at[line == i] for i in range(len(starts))]
    table = np.full((len(starts), max(1, max(map(len, rows)))), np.nan)
    for i, row in enumerate(rows):
        table[i, : len(row)] = row
    return table


def _hits(section: Section, organ: str, start: Array, along: Array) -> list[tuple[Array, Array, Array]]:
    """Crossings of an organ's outline, a few moments at a time: moment, gridline, distance along the gridline."""
    outline = section[organ]
    outline = np.broadcast_to(outline, (*section.posture.shape, *outline.shape[-2:])).reshape(-1, *outline.shape[-2:])
    step = max(1, CHUNK // (outline.shape[-2] * len(start)))
    found = []
    for first in range(0, len(outline), step):
        moment, line, at = _crossings(outline[first : first + step], start, along, organ not in OPEN_LINES)
        found.append((moment + first, line, at))
    return found


def _crossings(outline: Array, start: Array, along: Array, closed: bool) -> tuple[Array, Array, Array]:
    """Where gridlines (n) cross outlines (moments, points, 2): index of moment and gridline, distance >= 0 in mm."""
    if closed:
        outline = np.concatenate([outline, outline[:, :1]], axis=1)
    # side of each gridline on which each point lies: an outline crosses where it changes sides
    x, y = outline[:, None, :, 0], outline[:, None, :, 1]
    beside = x * along[:, 1:]
    beside -= y * along[:, :1]
    beside -= (start[:, 0] * along[:, 1] - start[:, 1] * along[:, 0])[:, None]
    right = beside >= 0
    moment, line, point = np.nonzero(right[..., 1:] != right[..., :-1])
    a, b = beside[moment, line, point], beside[moment, line, point + 1]
    share = a / (a - b)
    first = outline[moment, point]
    crossing = first + share[:, None] * (outline[moment, point + 1] - first)
    at = ((crossing - start[line]) * along[line]).sum(axis=-1)
    ahead = at >= 0
    return moment[ahead], line[ahead], at[ahead]
