"""Areas of the tract from glottis to lips, from the midsagittal section by published distance-to-area rules.

Across gridlines the distance between the walls is taken at right angles to the passage's midline; each region
of the tract has its rule from distance to area; the areas are then gathered into sections of equal length.
Works on one section or a batch; reads nothing but the outlines and, for what a midsagittal view does not show
(open sides of the tongue), the posture.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array
from articulators.head import Head
from articulators.section import Section
from vocaltract.airway import channel
from vocaltract.airway.area_rules import area_rules, front_area_cm2, lip_area_cm2, pharynx_area_cm2, power_area_cm2
from vocaltract.airway.breath import beside_tongue_cm2
from vocaltract.airway.gaps import tip_to_lip_mm
from vocaltract.airway.limits import sealed

Flags: TypeAlias = NDArray[np.bool_]

FAR_MM = 60.0
FOOT_MM = 3.0  # the tongue is free where its surface lies this far above the frenulum's foot


@dataclass(frozen=True)
class AreaFunction:
    """The tract of a head as n sections of equal length from glottis to lips.

    length_cm    (..., n)
    area_cm2     (..., n) mean area of each, 0 where the passage is shut in it
    least_cm2    (..., n) narrowest area in each
    place_cm     (..., n) distance of each section's middle from the glottis along the midline
    midline_mm   (..., n + 1, 2) midline at the sections' ends, glottis first
    roof_mm      (..., n, 2) where each section's middle meets the roof of the mouth or the rear wall
    lips_at      (..., n) True for sections that lie between the lips
    lip_cm2      (...) area of the opening between the lips, or between lower lip and upper teeth
    lip_to_teeth (...) True where the lower lip is nearer to the upper teeth than to the upper lip
    touched      (..., n) True where the tongue touches the roof in the midline, whether or not air passes beside it
    """

    head: Head
    length_cm: Array
    area_cm2: Array
    least_cm2: Array
    place_cm: Array
    midline_mm: Array
    roof_mm: Array
    lips_at: Flags
    lip_cm2: Array
    lip_to_teeth: Flags
    touched: Flags

    @property
    def total_cm(self) -> Array:
        """Length (...) of the tract along its midline."""
        return self.length_cm.sum(axis=-1)


@dataclass(frozen=True)
class _Grid:
    """Gridlines of a head, from below the folds to the lips, and what is the same for all postures."""

    lines: channel.Gridlines
    weights: Array  # (n, 4) share of each region's rule: pharynx, soft palate, hard palate, front
    in_mouth: Flags  # (n,) True in front of the soft palate
    at_soft_palate: Flags
    upright: Flags

    @property
    def start(self) -> Array:
        """Start points (n, 2) in mm."""
        return self.lines.start

    @property
    def along(self) -> Array:
        """Unit directions (n, 2)."""
        return self.lines.along


@lru_cache(maxsize=8)
def _grid(head: Head) -> _Grid:
    own, air, size = area_rules().grid, head.air, head.size
    bx, by = air.bend
    level = np.arange(head.larynx.vocal_fold_height - air.windpipe_mm, by - size, own.level_step_mm * size)
    angle = np.arange(0, 90, own.fan_step_deg)
    across = np.arange(bx, air.upright_from[0], -own.across_step_mm * size)
    lines = channel.grid(head, level, angle, across)
    hard_end, tip = head.palate.surface[-1], head.velum.raised
    tip_at = tip[np.argmin(tip[:, 1])]
    radius = np.hypot(*(hard_end - air.bend))

    def unrolled(point: Array) -> float:
        """Running place along the roof: rises from the windpipe to the lips."""
        return float(radius * np.arctan2(point[1] - by, point[0] - bx))

    place = np.concatenate([level - by, np.deg2rad(angle) * radius, np.pi / 2 * radius + bx - across])
    ridge_x = hard_end[0] * area_rules().front.reach
    borders = np.array([unrolled(tip_at), unrolled(hard_end), np.pi / 2 * radius + bx - ridge_x])
    past = np.clip((place[:, None] - borders) / (2 * own.blend_mm * size) + 0.5, 0, 1)
    weights = np.stack([1 - past[:, 0], past[:, 0] - past[:, 1], past[:, 1] - past[:, 2], past[:, 2]], axis=-1)
    in_mouth, behind = place > borders[1], (borders[0] < place) & (place <= borders[1])
    return _Grid(lines, weights, in_mouth, behind, np.arange(len(place)) >= len(level) + len(angle))


def tract_areas(section: Section) -> AreaFunction:
    """Areas from the glottis to the lips for a section or a batch of sections of any shape.

    The rules are those of a mouth as large as the adult man's: until the end lengths are taken as shares of the head's
    size, areas as shares of its square.
    """
    grid, size = _grid(section.head), section.head.size
    hits = {organ: channel.innermost(section, grid.lines, (organ,)) for organ in channel.INNER}
    inner, outer, pockets = _walls(section, grid, hits)
    middle = _middle(grid, inner, outer)
    turn = _tangent(middle)
    slant = np.abs(grid.along[:, 0] * turn[..., 1] - grid.along[:, 1] * turn[..., 0])
    distance = np.maximum(outer - inner, 0)
    d = np.where(sealed(distance), 0, distance * slant + pockets) / (10 * size)
    height = grid.start[:, 1] + (inner + outer) / 2 * grid.along[:, 1]
    area = _area(section, grid, hits, d, height)
    front, lip_area, to_teeth = _lip_tube(section, grid, hits)
    # a tongue that is put out between the lips narrows or shuts them from within
    over_tip = front_area_cm2(np.minimum(tip_to_lip_mm(section), FAR_MM) / (10 * size))
    lip_area = np.minimum(lip_area, over_tip + beside_tongue_cm2(section.posture["sides_open"]))
    edge, tooth_area = _teeth(section)
    # what opens downward between teeth and lips is a pocket, not the passage
    before_teeth = grid.upright & (grid.start[:, 0] < edge[..., None])
    area = np.where(before_teeth, np.minimum(area, np.maximum(tooth_area, lip_area)[..., None]), area)
    in_lips = (
        grid.upright & (grid.start[:, 0] < edge[..., None]) & ((grid.start[:, 0] < 0) | (hits["lower_lip"] >= inner))
    )
    between = np.minimum(np.where(hits["tongue"] >= inner, area, np.inf), lip_area[..., None])
    area = np.where(in_lips, between, area)
    area, lip_area = area * size**2, lip_area * size**2
    touched = sealed(distance) & grid.in_mouth
    return _gathered(section, grid, middle, area, front, outer, in_lips, lip_area, to_teeth, touched)


def _walls(section: Section, grid: _Grid, hits: Mapping[str, Array]) -> tuple[Array, Array, Array]:
    """Inner and outer wall along each gridline (..., n), mm, known everywhere; what pockets add to their distance."""
    own = area_rules().pockets
    near = np.maximum.reduce([line for organ, line in hits.items() if organ != "epiglottis"])
    leaf = hits["epiglottis"]
    inner = np.maximum(near, leaf)
    outer = channel.outermost(section, grid.lines, channel.OUTER, inner)
    known = np.isfinite(inner) & np.isfinite(outer)
    # in front of the lips there are no walls: what the last gridline has is carried on
    last = np.maximum.accumulate(np.where(known, np.arange(known.shape[-1]), 0), axis=-1)
    inner, outer, near, leaf = (np.take_along_axis(w, last, -1) for w in (inner, outer, near, leaf))
    with np.errstate(invalid="ignore"):
        before_leaf = np.where(np.isfinite(leaf) & np.isfinite(near), leaf - near, 0)
    pocket = own.vallecula_share * np.maximum(before_leaf - 10 * own.leaf_cm * section.head.size, 0)
    chord = _under_tip(section, grid, hits["tongue"])
    below = np.maximum(chord - inner, 0)
    pocket = pocket + own.under_tip_share * below
    inner = np.minimum(inner + below, outer)
    return inner, outer, np.where(sealed(outer - inner), 0, pocket)


def _under_tip(section: Section, grid: _Grid, tongue_wall: Array) -> Array:
    """How far up upright gridlines (..., n) the straight way from the tip to the lower incisor lies; else -inf."""
    x = grid.start[:, 0]
    tongue = tongue_wall + grid.lines.lowest_mm
    foot = section["mouth_floor"][..., -1, 1]
    above = grid.upright & (tongue > foot[..., None] + FOOT_MM)
    tip = above.shape[-1] - 1 - np.argmax(above[..., ::-1], axis=-1)[..., None]
    tip_x, tip_y = x[tip], np.take_along_axis(tongue, tip, -1)
    edge = _lower_edge(section)
    edge_x, edge_y = edge[..., :1], edge[..., 1:]
    between = np.any(above, axis=-1, keepdims=True) & grid.upright & (x > edge_x) & (x < tip_x)
    share = (x - edge_x) / np.maximum(tip_x - edge_x, 1e-6)
    return np.where(between, edge_y + share * (tip_y - edge_y) - grid.lines.lowest_mm, -np.inf)


def _lower_edge(section: Section) -> Array:
    """Edge of the lower incisor (..., 2) in mm."""
    lower = section["lower_incisor"]
    top = np.argmax(lower[..., 1], axis=-1)[..., None, None]
    return np.take_along_axis(lower, top, axis=-2)[..., 0, :]


def _middle(grid: _Grid, inner: Array, outer: Array) -> Array:
    """Smoothed midline (..., n, 2) in mm."""
    middle = grid.start + ((inner + outer) / 2)[..., None] * grid.along
    for _ in range(area_rules().grid.smooth_times):
        mean = (middle[..., :-2, :] + 2 * middle[..., 1:-1, :] + middle[..., 2:, :]) / 4
        middle = np.concatenate([middle[..., :1, :], mean, middle[..., -1:, :]], axis=-2)
    return middle


def _tangent(line: Array) -> Array:
    step = np.concatenate(
        [
            line[..., 1:2, :] - line[..., :1, :],
            line[..., 2:, :] - line[..., :-2, :],
            line[..., -1:, :] - line[..., -2:-1, :],
        ],
        axis=-2,
    )
    return step / np.maximum(np.linalg.norm(step, axis=-1, keepdims=True), 1e-9)


def _area(section: Section, grid: _Grid, hits: Mapping[str, Array], d: Array, height_mm: Array) -> Array:
    """Area (..., n) in cm2 by each region's rule, blended where one passes into the next."""
    head, own = section.head, area_rules()
    lift = section.posture["larynx_mm"][..., None]
    low = head.larynx.vocal_fold_height + lift + 10 * own.larynx.tube * head.head_of.throat
    high = head.velum.raised[:, 1].min()
    rise = np.clip((height_mm - low) / (high - low), 0, 1)
    width = own.pharynx.width_low + rise * (own.pharynx.width_high - own.pharynx.width_low)
    parts = np.stack(
        [
            pharynx_area_cm2(d, width),
            power_area_cm2(d, own.soft_palate),
            power_area_cm2(d, own.hard_palate),
            front_area_cm2(d),
        ],
        axis=-1,
    )
    area = (parts * grid.weights).sum(axis=-1)
    beside = beside_tongue_cm2(section.posture["sides_open"])[..., None]
    area = area + np.where(grid.in_mouth & (grid.start[:, 0] > 0), beside, 0)
    # beside a back of the tongue at the soft palate only where it is raised: air passes there for ʟ, not for l
    area = np.where(grid.at_soft_palate, np.maximum(area, beside), area)
    teeth = np.maximum(hits["lower_incisor"], hits["lower_gum"])
    between_teeth = grid.upright & (teeth > np.maximum(hits["tongue"], hits["lower_lip"]))
    slit = np.clip(own.teeth.width * d, own.teeth.leak_cm2, _teeth(section)[1][..., None])
    return np.where(between_teeth, np.maximum(area, slit), area)


def _teeth(section: Section) -> tuple[Array, Array]:
    """Where the edge of the lower incisor lies (..., x in mm) and the area (...) between the teeth."""
    edge = _lower_edge(section)
    gap = np.linalg.norm(section["upper_incisor"] - edge[..., None, :], axis=-1).min(axis=-1) / (10 * section.head.size)
    return edge[..., 0], np.maximum(area_rules().teeth.width * gap, area_rules().teeth.leak_cm2)


def _lip_tube(section: Section, grid: _Grid, hits: Mapping[str, Array]) -> tuple[Array, Array, Flags]:
    """Where the tract ends (..., x in mm), area (...) of the lip opening, whether it is lip to teeth."""
    own, unit_mm = area_rules().ends, 10 * section.head.size
    foremost = (section["upper_red"][..., 0].min(axis=-1) + section["lower_red"][..., 0].min(axis=-1)) / 2
    rounded, spread = section.posture["rounded"], section.posture["spread"]
    behind = own.behind_neutral + spread * (own.behind_spread - own.behind_neutral)
    behind = behind + rounded * (own.behind_rounded - behind)
    lip = hits["lower_lip"]

    def gap_to(organ: str) -> Array:
        above = channel.outermost(section, grid.lines, (organ,), lip)
        met = grid.upright & np.isfinite(lip) & np.isfinite(above)
        return np.where(met, np.maximum(np.where(met, above, 0) - np.where(met, lip, 0), 0), FAR_MM).min(axis=-1)

    to_lip, to_tooth = gap_to("upper_lip"), gap_to("upper_incisor")
    gap = np.minimum(to_lip, to_tooth)
    gap = np.where(sealed(gap), 0, gap) / unit_mm
    protrusion = (_rest_front_mm(section.head) - foremost) / unit_mm
    return foremost + unit_mm * behind, lip_area_cm2(gap, protrusion), to_tooth < to_lip


@lru_cache(maxsize=8)
def _rest_front_mm(head: Head) -> float:
    """How far forward the lips reach at rest: mean of the two foremost x."""
    own = head.lips
    sides = (own.upper_rest, own.vermilion_upper), (own.lower_rest, own.vermilion_lower)
    return float(np.mean([line[first : last + 1, 0].min() for line, (first, last) in sides]))


def _gathered(
    section: Section,
    grid: _Grid,
    middle: Array,
    area: Array,
    front_mm: Array,
    outer: Array,
    in_lips: Flags,
    lip_area: Array,
    to_teeth: Flags,
    touched: Flags,
) -> AreaFunction:
    """Areas at gridlines gathered into sections of equal length between the folds and the end at the lips."""
    count = area_rules().grid.sections
    steps = np.linalg.norm(np.diff(middle, axis=-2), axis=-1)
    s = np.concatenate([np.zeros((*steps.shape[:-1], 1)), np.cumsum(steps, axis=-1)], axis=-1)
    fold = section.head.larynx.vocal_fold_height + section.posture["larynx_mm"]
    first = _where(s, middle[..., 1] - fold[..., None])
    mouth_x = np.where(grid.upright, middle[..., 0], 1e3)
    last = _where(s, front_mm[..., None] - mouth_x)
    edges = first[..., None] + np.linspace(0, 1, count + 1) * (last - first)[..., None]
    centres = (edges[..., 1:] + edges[..., :-1]) / 2
    volume = np.concatenate(
        [np.zeros((*steps.shape[:-1], 1)), np.cumsum((area[..., 1:] + area[..., :-1]) / 2 * steps, axis=-1)], axis=-1
    )
    mean = np.diff(_volume_at(s, area, volume, edges), axis=-1) / np.diff(edges, axis=-1)
    index = np.floor((s - edges[..., :1]) / (edges[..., 1:2] - edges[..., :1])).astype(int)
    least = np.minimum(mean, _interpolated(s, area, centres))
    inside = (index >= 0) & (index < count)
    flat, rows = least.reshape(-1, count), index.reshape(-1, index.shape[-1])
    moment, node = np.nonzero(inside.reshape(rows.shape))
    np.minimum.at(flat, (moment, rows[moment, node]), area.reshape(rows.shape)[moment, node])
    least = flat.reshape(mean.shape)
    mean = np.where(least <= 0, 0, mean)
    ends = np.stack([_interpolated(s, middle[..., i], edges) for i in (0, 1)], axis=-1)
    roof = grid.start + outer[..., None] * grid.along
    roofs = np.stack([_interpolated(s, roof[..., i], centres) for i in (0, 1)], axis=-1)
    between = _interpolated(s, in_lips.astype(float), centres) > 0.5
    return AreaFunction(
        section.head,
        np.diff(edges, axis=-1) / 10,
        mean,
        least,
        (centres - first[..., None]) / 10,
        ends,
        roofs,
        between,
        lip_area,
        to_teeth,
        _interpolated(s, touched.astype(float), centres) > 0,
    )


def _cell(s: Array, at: Array) -> tuple[NDArray[np.intp], Array]:
    """Interval of s (..., n) in which each of at (..., k) lies, and how far into it, 0..1."""
    i = np.clip((s[..., None, :] <= at[..., :, None]).sum(axis=-1) - 1, 0, s.shape[-1] - 2)
    low, high = np.take_along_axis(s, i, -1), np.take_along_axis(s, i + 1, -1)
    return i, (at - low) / np.maximum(high - low, 1e-12)


def _interpolated(s: Array, values: Array, at: Array) -> Array:
    i, share = _cell(s, at)
    low, high = np.take_along_axis(values, i, -1), np.take_along_axis(values, i + 1, -1)
    return low + share * (high - low)


def _volume_at(s: Array, area: Array, volume: Array, at: Array) -> Array:
    i, share = _cell(s, at)
    low, high = np.take_along_axis(area, i, -1), np.take_along_axis(area, i + 1, -1)
    step = np.take_along_axis(s, i + 1, -1) - np.take_along_axis(s, i, -1)
    return np.take_along_axis(volume, i, -1) + step * share * (low + share * (high - low) / 2)


def _where(s: Array, value: Array) -> Array:
    """Place (...) along s at which value (..., n) first rises through 0."""
    i = np.clip(np.argmax(value >= 0, axis=-1), 1, s.shape[-1] - 1)[..., None]
    v0, v1 = np.take_along_axis(value, i - 1, -1), np.take_along_axis(value, i, -1)
    s0, s1 = np.take_along_axis(s, i - 1, -1), np.take_along_axis(s, i, -1)
    share = np.clip(-v0 / np.where(v1 == v0, 1, v1 - v0), 0, 1)
    return (s0 + share * (s1 - s0))[..., 0]
