"""The mark of air on a side view: what is held and what flows, and where it leaves the mouth and the nose."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
import shapely

from articulators.curves import Array, Bools, fraction
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
    return tint(now.instant.pressure_share) if shut_in(now) else 0.0


def tint(pressure: float) -> float:
    """Opacity of the tint of air that is held under a share 0..1 of the full pressure."""
    least = dimensions().pressure.tint_least
    return (least + (1 - least) * pressure) * pressure


@dataclass(frozen=True, eq=False)
class Flow:
    """Air that goes along lines: behind what holds it, through the nose, or through the mouth.

    lines      shown only where the folds leave room      gap_mm    heights of the room that these take, None for none
    strength   opacity 0..1                               breathed  broken lines: turbulent all along
    """

    way: Literal["held", "nose", "mouth"]
    lines: AirLines
    gap_mm: tuple[float, float] | None
    strength: float
    breathed: bool = False

    def room_for_heads(self) -> Bools:
        """Where (m, n) along the lines an arrowhead has room between the walls."""
        look = dimensions().flow
        least = np.full((len(self.lines.points), 1), look.arrows_room_mm)
        least[len(least) // 2] = look.arrow_room_mm
        return np.asarray(self.lines.shown & (self.lines.room_mm >= least))

    def clear_of_folds(self, points: Array) -> Bools:
        """Which points (..., 2) are far enough from the room of the folds for an arrowhead."""
        if self.gap_mm is None:
            return np.ones(points.shape[:-1], dtype=bool)
        return outside(points, self.gap_mm, dimensions().flow.arrow_clear_mm)


def air_flows(now: Moment) -> list[Flow]:
    """The air that flows at a moment, back to front; where the folds hold it, none does."""
    state = now.instant
    if state.glottal_catch:
        return []
    found = []
    gap_mm = fold_gap_mm(now)
    mouth = 0.0 if state.closures else _strength(state.mouth_ml_s)
    if shut_in(now):
        # as far as air still comes through the folds
        through_folds = fraction(state.glottis_ml_s / dimensions().crowd.full_ml_s)
        if now.seam is None or through_folds > UNSEEN:
            lines = mouth_lines(now.section, now.channel, unseen_mm=gap_mm)
            found.append(_flow("held", lines, gap_mm, through_folds))
    breathed = state.breath > 0.5
    if nose := _strength(state.nose_ml_s):
        found.append(_flow("nose", nose_lines(now.section, now.channel, not mouth), gap_mm, nose, breathed))
    if mouth:
        lines = mouth_lines(now.section, now.channel, through=not now.beside_tongue, unseen_mm=gap_mm)
        found.append(_flow("mouth", lines, gap_mm, mouth, breathed))
    return found


def _flow(
    way: Literal["held", "nose", "mouth"],
    lines: AirLines,
    gap_mm: tuple[float, float] | None,
    strength: float,
    breathed: bool = False,
) -> Flow:
    cut = lines if gap_mm is None else replace(lines, shown=lines.shown & outside(lines.points, gap_mm))
    return Flow(way, cut, gap_mm, strength, breathed)


def air_layer(now: Moment, canvas: Canvas, *, tinted: bool = False) -> Layer:
    """Tint, dots, flow lines, arrowheads and what leaves the mouth and the nose.

    `tinted`: the organs are drawn with their own tint of the air, so none is laid over them here.
    """
    found = air_flows(now)
    ops: list[Op] = []
    if (air := held_air(now, found)) is not None:
        if now.instant.glottal_catch or not tinted:
            ops.append(_tint_over(air, canvas))
        ops += _dots(dots_mm(air), canvas)
    for flow in found:
        ops += [*_lines(flow, now.travel_mm, canvas), *leaving(flow, now, canvas)]
    return Layer("air", (Group(tuple(ops), clip=Path.rectangle(*canvas.view.box)),))


def _strength(flow_ml_s: float) -> float:
    """Opacity 0..1 of the lines of a flow: they fade in from the least flow that is drawn to twice as much."""
    return fraction(flow_ml_s / motion_limits().flow.shown_ml_s - 1)


@dataclass(frozen=True, eq=False)
class HeldAir:
    """Air that is held in a head: its shape, where it is held (2,) in mm, and its share 0..1 of the full pressure."""

    head: Head
    shape: shapely.Geometry
    held_at_mm: Array
    pressure: float


def held_air(now: Moment, found: list[Flow]) -> HeldAir | None:
    """The air behind the tongue, the lips or the folds; `found` its flows. None where nothing holds any."""
    head = now.section.head
    if now.instant.glottal_catch:
        height, air = folds_height_mm(now.section), inner_air(now.airway, head)
        left, low, right, _ = air.bounds
        below = shapely.intersection(air, shapely.box(left, low, right, height))
        return HeldAir(head, below, np.array([sum(fold_ends_mm(now.section)) / 2, height]), 1.0)
    if not shut_in(now):
        return None
    where = found[0].lines.points[0, -1] if now.seam is None else now.channel.inner[now.seam]
    return HeldAir(head, inner_air(now.airway, head), where, now.instant.pressure_share)


def leaving(flow: Flow, now: Moment, canvas: Canvas) -> list[Op]:
    """What leaves the mouth or the nose at the end of a flow."""
    if flow.way == "held":
        return []
    if flow.way == "mouth" and now.beside_tongue:
        # the midline is shut, the air goes on past the sides
        return _beside(flow, now, canvas)
    return outflow(flow.lines.points[:, -1], now, canvas, nose=flow.way == "nose")


def fold_gap_mm(now: Moment) -> tuple[float, float] | None:
    """Heights in mm between which no air line is drawn, or None where the folds are apart."""
    room = dimensions().folds
    waves = now.instant.voice > dimensions().voice.waves_from
    if not waves and not now.instant.folds_together:
        return None
    height = folds_height_mm(now.section)
    return height - room.below_mm, height + (room.above_waves_mm if waves else room.above_mm)


def _lines(flow: Flow, travel_mm: float, canvas: Canvas) -> list[Op]:
    """Lines of air with their arrowheads."""
    if flow.strength <= UNSEEN:
        return []
    dash_mm = dimensions().flow.breathed_dash_mm
    dash = (dash_mm[0] * canvas.scale, dash_mm[1] * canvas.scale) if flow.breathed else None
    points = canvas.px(flow.lines.points.reshape(-1, 2))
    path = Path.lines([points[stretch] for stretch in flow.lines.stretches()])
    heads = Path.bundle(canvas.px(_arrowheads(flow, travel_mm)))
    width, head_width = canvas.line("air"), canvas.line("arrowhead") * dimensions().flow.arrow_line_share
    return [
        Stroke(path, "air", width, dash=dash, opacity=flow.strength, name="flow lines"),
        Stroke(heads, "air", head_width, opacity=flow.strength, name="arrowheads"),
    ]


def _arrowheads(flow: Flow, travel_mm: float) -> Array:
    """Arrowheads (k, 3, 2) along lines: evenly, as far as the air has come, or in a crowd behind what holds it."""
    look, lines = dimensions().flow, flow.lines
    end = lines.length_mm[:, None]
    each = np.arange(len(lines.points))[:, None]
    if flow.way == "held":
        crowd = dimensions().crowd
        steps = crowd.first_mm * crowd.growth ** np.arange(crowd.most)
        lag = crowd.lag_share + crowd.lag_line_share * each
        run = end - look.end_mm - np.cumsum(steps) + steps[0] * lag
        there = run > look.start_mm
    else:
        spacing = look.arrow_spacing_mm
        first = look.start_mm + (travel_mm + spacing * 0.5 * (each % 2)) % spacing
        run = first + spacing * np.arange(int(end.max() / spacing) + 1)
        there = run < end - look.end_mm
    number, s = np.nonzero(there)[0], run[there]
    point = lines.along(number, s)
    ahead = number, np.minimum(np.ceil(s / lines.step_mm[number]).astype(np.intp), lines.shown.shape[1] - 1)
    keep = flow.room_for_heads()[ahead] & flow.clear_of_folds(point)
    number, s = number[keep], s[keep]
    near = look.arrow_along_mm
    beside = lines.along(np.concatenate([number, number]), np.concatenate([s - near, s + near]))
    return chevrons(point[keep], unit(beside[len(s) :] - beside[: len(s)]), look.arrow_mm)


def _beside(flow: Flow, now: Moment, canvas: Canvas) -> list[Op]:
    """Air that passes beside the tongue: dotted through the tongue, out between the lips."""
    lines = flow.lines
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
        path, "air", width * 1.15, dash=dotted, casing=casing, opacity=flow.strength, name="air beside the tongue"
    )
    return [beside, *outflow(around[:, -1], now, canvas)]


def _tint_over(air: HeldAir, canvas: Canvas) -> Op:
    parts = [g for g in shapely.get_parts(air.shape) if g.geom_type == "Polygon"]
    rings = [shapely.get_coordinates(r) for g in parts for r in (g.exterior, *g.interiors)]
    return Fill(Path.polygons([canvas.px(r) for r in rings]), "airtint", tint(air.pressure), name="pressure")


def _dots(points_mm: Array, canvas: Canvas) -> list[Op]:
    if not len(points_mm):
        return []
    return [Dots(canvas.px(points_mm), dimensions().pressure.dot_mm * canvas.scale, "air", name="air held")]


def dots_mm(air: HeldAir) -> Array:
    """Dots (n, 2) in the air that is held: they thicken towards the place that holds it."""
    held = dimensions().pressure
    points, chance = scatter(air.head)
    near = np.exp(-np.hypot(*(points - air.held_at_mm).T) / held.reach_mm)
    points = points[chance < near * air.pressure * held.density]
    edge = air.shape.boundary
    shapely.prepare([air.shape, edge])
    chosen = points[shapely.contains_xy(air.shape, *points.T)][: held.dots]
    return np.asarray(chosen[~shapely.dwithin(edge, shapely.points(chosen), held.clear_share * held.dot_mm)])


@lru_cache(maxsize=8)
def scatter(head: Head) -> tuple[Array, Array]:
    """Evenly strewn points (n, 2) in mm over the tract, and how late each is shown (n,) 0..1: always the same."""
    i = np.arange(1, 1400)
    across, up, chance = (i * share % 1 for share in (0.7548776662466927, 0.5698402909980532, 0.6180339887498949))
    low, high = head.air.strewn
    return low + (high - low) * np.stack([across, up], axis=-1), chance
