"""The channel from windpipe to lips along gridlines: its two walls, and so its middle and its width.

Gridlines lie across the passage: level in the throat, a fan at the bend, upright in the mouth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np

from articulators import outlines
from articulators.curves import Array, Indices
from articulators.head import Head
from articulators.section import Section

LEVELS, FAN_STEP_DEG, UPRIGHTS = 26, 6.0, 44  # gridlines of pictures: level, from degree to degree, upright
INNER = ("tongue", "epiglottis", "larynx_front", "lower_incisor", "lower_gum", "lower_lip")
OUTER = ("palate", "velum", "upper_incisor", "upper_gum", "upper_lip", "rear_wall", "larynx_rear")
OPEN_LINES = ("palate", "rear_wall", "larynx_rear", "larynx_front")
TOUCH_MM = 0.3
FAN_BEHIND_DEG = 225.0  # the direction from the bend that lies farthest from the fan
CHUNK = 40_000  # points looked at together: what fits the processor's cache

Hits: TypeAlias = tuple[Indices, Indices, Array]


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


@dataclass(frozen=True, eq=False)
class Gridlines:
    """Lines across the passage, from the windpipe to the lips: level in the throat, a fan at the bend, then upright.

    head       whose they are
    level_mm   (l,) heights, rising             angle_deg  (f,) of the fan, rising from 0 to less than 90
    across_mm  (u,) x of the upright, falling   start, along  (n, 2) start points and unit directions of all of them
    """

    head: Head
    level_mm: Array
    angle_deg: Array
    across_mm: Array
    start: Array
    along: Array

    @property
    def lowest_mm(self) -> float:
        """The y at which upright gridlines start."""
        return float(self.head.air.upright_from[1])


def grid(head: Head, level_mm: Array, angle_deg: Array, across_mm: Array) -> Gridlines:
    """Gridlines of a head: level at those heights, a fan at those angles, upright at those x."""
    angle, air = np.deg2rad(angle_deg), head.air
    starts = [
        np.stack([np.full(len(level_mm), air.level_from[0]), level_mm], axis=-1),
        np.tile(air.bend, (len(angle), 1)),
        np.stack([across_mm, np.full(len(across_mm), air.upright_from[1])], axis=-1),
    ]
    directions = [
        np.tile([1.0, 0.0], (len(level_mm), 1)),
        np.stack([np.cos(angle), np.sin(angle)], axis=-1),
        np.tile([0.0, 1.0], (len(across_mm), 1)),
    ]
    return Gridlines(head, level_mm, angle_deg, across_mm, np.concatenate(starts), np.concatenate(directions))


@lru_cache(maxsize=8)
def gridlines(head: Head) -> Gridlines:
    """The gridlines that pictures of a head use: as many for every head."""
    air = head.air
    level = air.level_from[1] + air.level_step_mm * np.arange(LEVELS)
    across = air.bend[0] - air.upright_step_mm * np.arange(UPRIGHTS)
    return grid(head, level, np.arange(0, 90, FAN_STEP_DEG), across)


def channel(section: Section) -> Channel:
    """Walls of the channel of a section or a batch of sections."""
    lines = gridlines(section.head)
    inner = innermost(section, lines, INNER)
    outer = outermost(section, lines, OUTER, inner)
    known = np.isfinite(inner) & np.isfinite(outer)
    width = np.where(known, np.maximum(outer - inner, 0), np.nan)
    inner, outer = np.where(known, inner, np.nan), np.where(known, outer, np.nan)
    return Channel(lines.start + inner[..., None] * lines.along, lines.start + outer[..., None] * lines.along, width)


def innermost(section: Section, lines: Gridlines, organs: Sequence[str]) -> Array:
    """How far along each gridline (..., n) the farthest wall of these organs lies, in mm; -inf where there is none."""
    count = len(lines.start)
    air = lines.head.air
    limit = np.where(lines.start[:, 1] == lines.lowest_mm, air.mouth_reach_mm, air.throat_reach_mm)
    found = np.full((int(np.prod(section.posture.shape)), count), -np.inf)
    for organ in organs:
        for moment, line, at in _hits(section, organ, lines):
            near = at < limit[line]
            np.maximum.at(found.reshape(-1), moment[near] * count + line[near], at[near])
    return found.reshape(*section.posture.shape, count)


def outermost(section: Section, lines: Gridlines, organs: Sequence[str], inner: Array) -> Array:
    """How far along each gridline (..., n) these organs' first wall beyond `inner` lies, in mm; inf for none."""
    count = len(lines.start)
    flat = inner.reshape(-1, count)
    found = np.full_like(flat, np.inf)
    still = tuple(organ for organ in organs if organ in outlines.FIXED)
    if still:
        least = flat - TOUCH_MM
        for hits in _fixed_hits(section.head, still, lines):
            np.minimum(found, np.where(hits >= least, hits, np.inf), out=found)
    for organ in organs:
        if organ not in still:
            for moment, line, at in _hits(section, organ, lines):
                cell = moment * count + line
                beyond = at >= flat.reshape(-1)[cell] - TOUCH_MM
                np.minimum.at(found.reshape(-1), cell[beyond], at[beyond])
    return found.reshape(inner.shape)


@lru_cache(maxsize=256)
def _fixed_hits(head: Head, organs: tuple[str, ...], lines: Gridlines) -> Array:
    """Where gridlines meet parts that never move: (most, n) distances, nan-padded."""
    met: list[list[float]] = [[] for _ in lines.start]
    for organ in organs:
        _, line, at = _crossings(outlines.fixed(head, organ)[None], lines, organ not in OPEN_LINES)
        for i, distance in zip(line, at, strict=True):
            met[i].append(distance)
    table = np.full((max(1, *map(len, met)), len(met)), np.nan)
    for i, row in enumerate(met):
        table[: len(row), i] = row
    return table


def _hits(section: Section, organ: str, lines: Gridlines) -> list[Hits]:
    """Crossings of an organ's outline, a few moments at a time: moment, gridline, distance along the gridline."""
    outline = section[organ]
    outline = np.broadcast_to(outline, (*section.posture.shape, *outline.shape[-2:])).reshape(-1, *outline.shape[-2:])
    step = max(1, CHUNK // outline.shape[-2])
    found = []
    for first in range(0, len(outline), step):
        moment, line, at = _crossings(outline[first : first + step], lines, organ not in OPEN_LINES)
        found.append((moment + first, line, at))
    return found


def _crossings(outline: Array, lines: Gridlines, closed: bool) -> Hits:
    """Where gridlines cross outlines (moments, points, 2): index of moment and gridline, distance >= 0 in mm.

    A family of gridlines is in order, so that the place of a point in it tells which of its lines a step crosses.
    """
    if closed:
        outline = np.concatenate([outline, outline[:, :1]], axis=1)
    x, y = np.ascontiguousarray(outline[..., 0]), np.ascontiguousarray(outline[..., 1])
    levels, fan = len(lines.level_mm), len(lines.angle_deg)
    left, right, low, high = x.min(), x.max(), y.min(), y.max()
    found, (bend_x, bend_y) = [], lines.head.air.bend
    if right >= lines.start[0, 0] and low <= lines.level_mm[-1] and high >= lines.level_mm[0]:
        found.append(_steps_across(np.searchsorted(lines.level_mm, y), 0))
    if right >= bend_x and high >= bend_y:
        turn = np.degrees(np.arctan2(y - bend_y, x - bend_x))
        turn[turn < FAN_BEHIND_DEG - 360] += 360
        found.append(_steps_across(np.searchsorted(lines.angle_deg, turn), levels))
    if left <= lines.across_mm[0] and right >= lines.across_mm[-1] and high >= lines.lowest_mm:
        place = len(lines.across_mm) - np.searchsorted(lines.across_mm[::-1], x, side="right")
        found.append(_steps_across(place, levels + fan))
    if not found:
        return np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0)
    moment, point, line = (np.concatenate(part) for part in zip(*found, strict=True))
    start, along = lines.start[line], lines.along[line]
    first, second = outline[moment, point], outline[moment, point + 1]

    def beside(at: Array) -> Array:
        return at[:, 0] * along[:, 1] - at[:, 1] * along[:, 0] - (start[:, 0] * along[:, 1] - start[:, 1] * along[:, 0])

    a, b = beside(first), beside(second)
    share = a / np.where(a == b, np.inf, a - b)
    crossing = first + share[:, None] * (second - first)
    at = ((crossing - start) * along).sum(axis=-1)
    # behind the bend the order of the fan breaks off: a step there is met by the lines' other ends, or by none
    ahead = (at >= 0) & (np.abs(share - 0.5) <= 0.5 + 1e-9)
    return moment[ahead], line[ahead], at[ahead]


def _steps_across(place: Indices, first_line: int) -> tuple[Indices, Indices, Indices]:
    """Lines that each step crosses, from the places (moments, points) of its two ends: moment, point, line."""
    low, high = np.minimum(place[:, 1:], place[:, :-1]), np.maximum(place[:, 1:], place[:, :-1])
    step = np.flatnonzero(low != high)
    low, count = low.ravel()[step], (high.ravel() - low.ravel())[step]
    line = np.repeat(low - np.cumsum(count) + count, count) + np.arange(count.sum())
    moment, point = np.divmod(np.repeat(step, count), place.shape[1] - 1)
    return moment, point, line + first_line
