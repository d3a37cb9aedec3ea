"""The mark of air on a side view: what is held and what flows, and where it leaves the mouth and the nose."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely

from articulators.curves import Array, fraction
from articulators.head import Head
from renders.anatomy.larynx import fold_ends_mm, folds_height_mm
from renders.anatomy.layers import inner_air
from renders.marks.dimensions import dimensions
from renders.marks.flow_lines import AirLines, mouth_lines, nose_lines, outside
from renders.marks.moment import Moment
from renders.marks.outflow import chevrons, outflow, unit
from renders.marks.tissue import smooth
from renders.paper.canvas import Canvas
from renders.paper.picture import Dots, Fill, Group, Layer, Op, Path, Stroke
from vocaltract.motion.limits import motion_limits

UNSEEN = 1 / 512  # an opacity that changes no colour of 8 bits


def shut_in(now: Moment) -> bool:
    """Whether the air behind the tongue or the lips is shut in under a pressure that is shown."""
    return now.instant.builds_up and not now.instant.nose_flows and not now.instant.glottal_catch


def tint_of(now: Moment) -> float:
    """How strongly the air that is shut in is tinted, 0..1: for `anatomy.moving_layer`."""
    return _tint(now.instant.pressure_share) if shut_in(now) else 0.0


def _tint(pressure: float) -> float:
    least = dimensions().pressure.tint_least
    return (least + (1 - least) * pressure) * pressure


def air_layer(now: Moment, canvas: Canvas, *, tinted: bool = False) -> Layer:
    """Tint, dots, flow lines, arrowheads and what leaves the mouth and the nose.

    `tinted`: the organs are drawn with their own tint of the air, so none is laid over them here.
    """
    state = now.instant
    ops: list[Op] = []
    if state.glottal_catch:
        ops += _held_at_folds(now, canvas)
    else:
        mouth = 0.0 if state.closures else _strength(state.mouth_ml_s)
        if shut_in(now):
            ops += _held(now, canvas, tinted)
        if nose := _strength(state.nose_ml_s):
            ops += _through_nose(now, canvas, nose, from_throat=not mouth)
        if mouth:
            ops += _through_mouth(now, canvas, mouth)
    return Layer("air", (Group(tuple(ops), clip=Path.rectangle(*canvas.view.box)),))


def _strength(flow_ml_s: float) -> float:
    """Opacity 0..1 of the lines of a flow: they fade in from the least flow that is drawn to twice as much."""
    return fraction(flow_ml_s / motion_limits().flow.shown_ml_s - 1)


def _held_at_folds(now: Moment, canvas: Canvas) -> list[Op]:
    height, air = folds_height_mm(now.section), inner_air(now.airway, now.section.head)
    left, low, right, _ = air.bounds
    below = shapely.intersection(air, shapely.box(left, low, right, height))
    middle = np.array([sum(fold_ends_mm(now.section)) / 2, height])
    return _pressure(now, below, middle, canvas, 1.0)


def _held(now: Moment, canvas: Canvas, tinted: bool) -> list[Op]:
    """Air behind a closure, and its lines as far as air still comes through the folds."""
    through_folds = fraction(now.instant.glottis_ml_s / dimensions().crowd.full_ml_s)
    crowd: list[Op] = []
    if now.seam is None or through_folds > UNSEEN:
        lines = mouth_lines(now.section, now.channel, unseen_mm=fold_gap_mm(now))
        crowd = _flow(lines, now, canvas, through_folds, crowd=True)
    where = lines.points[0, -1] if now.seam is None else now.channel.inner[now.seam]
    air, pressure = inner_air(now.airway, now.section.head), now.instant.pressure_share
    return [*_pressure(now, air, where, canvas, pressure, tint=not tinted), *crowd]


def _through_nose(now: Moment, canvas: Canvas, strength: float, from_throat: bool) -> list[Op]:
    lines = nose_lines(now.section, now.channel, from_throat)
    return [*_flow(lines, now, canvas, strength), *outflow(lines.points[:, -1], now, canvas, nose=True)]


def _through_mouth(now: Moment, canvas: Canvas, strength: float) -> list[Op]:
    lines = mouth_lines(now.section, now.channel, through=not now.beside_tongue, unseen_mm=fold_gap_mm(now))
    if now.beside_tongue:
        # the midline is shut, the air goes on past the sides
        return [*_flow(lines, now, canvas, strength), *_beside(lines, now, canvas, strength)]
    return [*_flow(lines, now, canvas, strength), *outflow(lines.points[:, -1], now, canvas)]


def fold_gap_mm(now: Moment) -> tuple[float, float] | None:
    """Heights in mm between which no air line is drawn, or None where the folds are apart."""
    room = dimensions().folds
    waves = now.instant.voice > dimensions().voice.waves_from
    if not waves and not now.instant.folds_together:
        return None
    height = folds_height_mm(now.section)
    return height - room.below_mm, height + (room.above_waves_mm if waves else room.above_mm)


def _flow(lines: AirLines, now: Moment, canvas: Canvas, strength: float, crowd: bool = False) -> list[Op]:
    """Lines of air with their arrowheads."""
    if strength <= UNSEEN:
        return []
    gap = fold_gap_mm(now)
    cut = lines if gap is None else replace(lines, shown=lines.shown & outside(lines.points, gap))
    dash = None
    if now.instant.breath > 0.5 and not crowd:
        dash = (6.5 * canvas.scale * 0.55, 4.5 * canvas.scale * 0.55)
    points = canvas.px(cut.points.reshape(-1, 2))
    path = Path.lines([points[stretch] for stretch in cut.stretches()])
    heads = Path.bundle(canvas.px(_arrowheads(cut, gap, now.travel_mm, crowd)))
    width, head_width = canvas.line("air"), canvas.line("arrowhead") * 0.85
    return [
        Stroke(path, "air", width, dash=dash, opacity=strength, name="flow lines"),
        Stroke(heads, "air", head_width, opacity=strength, name="arrowheads"),
    ]


def _arrowheads(lines: AirLines, gap: tuple[float, float] | None, travel_mm: float, crowd: bool) -> Array:
    """Arrowheads (k, 3, 2) along lines: evenly, as far as the air has come, or in a crowd behind what holds it."""
    flow, count, end = dimensions().flow, len(lines.points), lines.length_mm[:, None]
    each = np.arange(count)[:, None]
    if crowd:
        steps = dimensions().crowd.first_mm * dimensions().crowd.growth ** np.arange(24)
        run = end - 1.0 - np.cumsum(steps) + steps[0] * (0.5 + 0.3 * each)
        there = run > 2
    else:
        spacing = flow.arrow_spacing_mm
        first = 2.0 + (travel_mm + spacing * 0.5 * (each % 2)) % spacing
        run = first + spacing * np.arange(int(end.max() / spacing) + 1)
        there = run < end - 1
    number, s = np.nonzero(there)[0], run[there]
    point = lines.along(number, s)
    ahead = number, np.minimum(np.ceil(s / lines.step_mm[number]).astype(np.intp), lines.shown.shape[1] - 1)
    least = np.where(number == count // 2, flow.arrow_room_mm, flow.arrows_room_mm)
    keep = lines.shown[ahead] & (lines.room_mm[ahead] >= least)
    if gap is not None:
        keep &= outside(point, gap, more_mm=1.0)
    number, s = number[keep], s[keep]
    beside = lines.along(np.concatenate([number, number]), np.concatenate([s - 0.8, s + 0.8]))
    return chevrons(point[keep], unit(beside[len(s) :] - beside[: len(s)]), flow.arrow_mm)


def _beside(lines: AirLines, now: Moment, canvas: Canvas, strength: float) -> list[Op]:
    """Air that passes beside the tongue: dotted through the tongue, out between the lips."""
    tip = now.section.tip_mm()
    upper, lower = now.section["upper_red"], now.section["lower_red"]
    gate = (upper[np.argmin(upper[:, 0])] + lower[np.argmin(lower[:, 0])]) / 2
    lift = np.array([-2.0, 0.0, 2.0])[:, None]
    up = lift * [0.0, 1.0]
    start, out = lines.points[1, -1] + [9.0, -5.5], (tip + gate) / 2 - [0.0, 1.5]
    corners = [start + up, tip + [2.0, -6.0] + up, out + 0.8 * up, gate - [0.0, 0.5] + 0.4 * up]
    around = smooth(np.stack(corners, axis=1), 1)
    width = canvas.line("air")
    dotted = (0.6 * canvas.scale, 1.3 * canvas.scale)
    casing = ("airway", width + canvas.line("casing") * 0.7)
    path = Path.bundle(canvas.px(around))
    beside = Stroke(
        path, "air", width * 1.15, dash=dotted, casing=casing, opacity=strength, name="air beside the tongue"
    )
    return [beside, *outflow(around[:, -1], now, canvas)]


def _pressure(
    now: Moment, air: shapely.Geometry, where: Array, canvas: Canvas, pressure: float, tint: bool = True
) -> list[Op]:
    """Tint over the air that is held, with dots that thicken towards the place that holds it."""
    held = dimensions().pressure
    ops: list[Op] = []
    if tint:
        parts = [g for g in shapely.get_parts(air) if g.geom_type == "Polygon"]
        rings = [shapely.get_coordinates(r) for g in parts for r in (g.exterior, *g.interiors)]
        ops.append(Fill(Path.polygons([canvas.px(r) for r in rings]), "airtint", _tint(pressure), name="pressure"))
    points, chance = _scatter(now.section.head)
    near = np.exp(-np.hypot(*(points - where).T) / held.reach_mm)
    points = points[chance < near * pressure * 1.15]
    edge = air.boundary
    shapely.prepare([air, edge])
    chosen = points[shapely.contains_xy(air, *points.T)][: held.dots]
    chosen = chosen[~shapely.dwithin(edge, shapely.points(chosen), 2.2 * held.dot_mm)]
    if len(chosen):
        ops.append(Dots(canvas.px(chosen), held.dot_mm * canvas.scale, "air", name="air held"))
    return ops


@lru_cache(maxsize=8)
def _scatter(head: Head) -> tuple[Array, Array]:
    """Evenly strewn points (n, 2) in mm over the tract, and how late each is shown (n,) 0..1: always the same."""
    i = np.arange(1, 1400)
    across, up, chance = (i * share % 1 for share in (0.7548776662466927, 0.5698402909980532, 0.6180339887498949))
    low, high = head.air.strewn
    return low + (high - low) * np.stack([across, up], axis=-1), chance
