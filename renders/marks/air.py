"""Air, pressure, voice and contact drawn on a side view, from numbers and from the section they belong to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import numpy as np
import shapely

from articulators.curves import Array
from articulators.section import Section
from renders.anatomy.larynx import folds_height_mm
from renders.anatomy.layers import inner_air
from renders.marks.contact_lines import contacts, sides_open
from renders.marks.flow_lines import AirLines, mouth_lines, nose_lines, outside, seam_of
from renders.marks.outflow import alike, chevrons, outflow, unit
from renders.marks.state import MarkState, fraction, numbers
from renders.marks.tissue import smooth
from renders.paper.picture import Dots, Fill, Group, Layer, Op, Path, Stroke
from renders.paper.style import Style
from renders.paper.view import View
from vocaltract.airway.channel import Channel
from vocaltract.airway.passage import Airway

UNSEEN = 1 / 512  # an opacity that changes no colour of 8 bits


def held(section: Section, channel: Channel, state: MarkState) -> bool:
    """Whether the air behind the tongue or the lips is shut in under a pressure that is shown."""
    table = numbers()
    flows = state.nose_ml_s > table["flow"]["shown_above_ml_s"]
    shut = bool(state.closed) and not _past_sides(section, channel)
    return shut and not flows and not state.folds_shut and state.pressure > table["pressure"]["shown_above"]


def tint_of(section: Section, channel: Channel, state: MarkState) -> float:
    """How strongly the air that is shut in is tinted, 0..1: for `anatomy.moving_layer`."""
    least = numbers()["pressure"]["tint_least"]
    return (least + (1 - least) * state.pressure) * state.pressure if held(section, channel, state) else 0.0


def _past_sides(section: Section, channel: Channel) -> bool:
    return sides_open(section) and seam_of(channel) is not None


def air_layer(
    section: Section,
    channel: Channel,
    airway: Airway,
    state: MarkState,
    view: View,
    style: Style,
    *,
    tinted: bool = False,
) -> Layer:
    """Tint, dots, flow lines, arrowheads and what leaves the mouth and the nose.

    `tinted`: the organs are drawn with their own tint of the air, so none is laid over them here.
    """
    table = numbers()
    shown = table["flow"]["shown_above_ml_s"]
    mouth = fraction(state.mouth_ml_s / shown - 1)
    nose = fraction(state.nose_ml_s / shown - 1)
    seam = seam_of(channel)
    sides = seam is not None and sides_open(section)
    shut = bool(state.closed) and not sides
    gap = fold_gap_mm(section, state)
    ops: list[Op] = []
    if state.folds_shut:
        ops += _pressure(_below_folds(section, airway), _folds_middle(section), 1.0, view, tint=True)
    elif shut and not nose and state.pressure > table["pressure"]["shown_above"]:
        through_folds = fraction(state.glottis_ml_s / table["flow"]["folds_full_ml_s"])
        if seam is None or through_folds > UNSEEN:
            lines = mouth_lines(section, channel, unseen_mm=gap)
            crowd = _stroked(lines, gap, state, view, style, through_folds, crowd=True)
        else:
            crowd = []
        where = lines.points[0, -1] if seam is None else channel.inner[seam]
        ops += _pressure(inner_air(airway), where, state.pressure, view, tint=not tinted)
        ops += crowd
    if nose and not state.folds_shut:
        lines = nose_lines(section, channel, from_throat=not mouth or shut)
        ops += _stroked(lines, gap, state, view, style, nose)
        ops += outflow(lines.points[:, -1], state, view, style, nose=True)
    if mouth and not shut and not state.folds_shut:
        lines = mouth_lines(section, channel, through=not sides, unseen_mm=gap)
        ops += _stroked(lines, gap, state, view, style, mouth)
        if sides:
            # past the sides of the tongue: the midline is shut, the air is not
            ops += _beside(section, lines, state, view, style, mouth)
        else:
            ops += outflow(lines.points[:, -1], state, view, style)
    return Layer("air", (Group(tuple(ops), clip=Path.rectangle(*view.box)),))


def fold_gap_mm(section: Section, state: MarkState) -> tuple[float, float] | None:
    """Heights in mm between which no air line is drawn, or None where the folds are apart."""
    table = numbers()["flow"]
    voiced = state.voice > numbers()["voice"]["waves_from"]
    if not voiced and state.folds_mm >= table["folds_shut_mm"]:
        return None
    height = folds_height_mm(section)
    above = table["voice_gap_above_mm"] if voiced else table["shut_gap_above_mm"]
    return height - table["voice_gap_below_mm"], height + above


def _stroked(
    lines: AirLines,
    gap: tuple[float, float] | None,
    state: MarkState,
    view: View,
    style: Style,
    strength: float,
    crowd: bool = False,
) -> list[Op]:
    if strength <= UNSEEN:
        return []
    cut = lines if gap is None else replace(lines, shown=lines.shown & outside(lines.points, gap))
    dash = None
    if state.breath > 0.5 and not crowd:
        dash = (6.5 * view.scale * 0.55, 4.5 * view.scale * 0.55)
    points = view.px(cut.points.reshape(-1, 2))
    path = Path.lines([points[stretch] for stretch in cut.stretches()])
    heads = alike(view.px(_arrowheads(cut, gap, state.travel_mm, crowd)))
    width, head_width = view.line(style.line("air")), view.line(style.line("arrowhead")) * 0.85
    return [
        Stroke(path, "air", width, dash=dash, opacity=strength, name="flow lines"),
        Stroke(heads, "air", head_width, opacity=strength, name="arrowheads"),
    ]


def _arrowheads(lines: AirLines, gap: tuple[float, float] | None, travel_mm: float, crowd: bool) -> Array:
    """Arrowheads (k, 3, 2) along lines: evenly, as far as the air has come, or in a crowd behind what holds it."""
    table = numbers()["flow"]
    count, end = len(lines.points), lines.length_mm[:, None]
    each = np.arange(count)[:, None]
    if crowd:
        steps = table["crowd_first_mm"] * table["crowd_growth"] ** np.arange(24)
        run = end - 1.0 - np.cumsum(steps) + steps[0] * (0.5 + 0.3 * each)
        there = run > 2
    else:
        spacing = table["arrow_spacing_mm"]
        first = 2.0 + (travel_mm + spacing * 0.5 * (each % 2)) % spacing
        run = first + spacing * np.arange(int(end.max() / spacing) + 1)
        there = run < end - 1
    number, s = np.nonzero(there)[0], run[there]
    point = lines.along(number, s)
    ahead = number, np.minimum(np.ceil(s / lines.step_mm[number]).astype(np.intp), lines.shown.shape[1] - 1)
    least = np.where(number == count // 2, table["arrow_room_mm"], table["arrows_room_mm"])
    keep = lines.shown[ahead] & (lines.room_mm[ahead] >= least)
    if gap is not None:
        keep &= outside(point, gap, more_mm=1.0)
    number, s = number[keep], s[keep]
    beside = lines.along(np.concatenate([number, number]), np.concatenate([s - 0.8, s + 0.8]))
    return chevrons(point[keep], unit(beside[len(s) :] - beside[: len(s)]), table["arrow_mm"])


def _beside(section: Section, lines: AirLines, state: MarkState, view: View, style: Style, strength: float) -> list[Op]:
    """Air that passes beside the tongue: dotted through the tongue, out between the lips."""
    tongue = section["tongue"]
    tip = tongue[int(np.argmin(tongue[: len(tongue) * 3 // 4, 0]))]
    upper, lower = section["upper_red"], section["lower_red"]
    gate = (upper[np.argmin(upper[:, 0])] + lower[np.argmin(lower[:, 0])]) / 2
    lift = np.array([-2.0, 0.0, 2.0])[:, None]
    up = lift * [0.0, 1.0]
    start, out = lines.points[1, -1] + [9.0, -5.5], (tip + gate) / 2 - [0.0, 1.5]
    corners = [start + up, tip + [2.0, -6.0] + up, out + 0.8 * up, gate - [0.0, 0.5] + 0.4 * up]
    around = smooth(np.stack(corners, axis=1), 1)
    width = view.line(style.line("air"))
    dotted = (0.6 * view.scale, 1.3 * view.scale)
    casing = ("airway", width + view.line(style.line("casing")) * 0.7)
    beside = Stroke(
        alike(view.px(around)),
        "air",
        width * 1.15,
        dash=dotted,
        casing=casing,
        opacity=strength,
        name="air beside the tongue",
    )
    return [beside, *outflow(around[:, -1], state, view, style)]


def _below_folds(section: Section, airway: Airway) -> shapely.Geometry:
    return shapely.intersection(inner_air(airway), shapely.box(0, -200, 140, folds_height_mm(section)))


def _folds_middle(section: Section) -> Array:
    height = folds_height_mm(section)
    return np.array([sum(_fold_ends(section)) / 2, height])


def _fold_ends(section: Section) -> tuple[float, float]:
    """The x of the front and of the back end of the folds, in mm."""
    height = folds_height_mm(section)
    front, rear = section["larynx_front"], section["larynx_rear"]
    x0 = front[np.argmin(np.abs(front[:, 1] - height)), 0]
    x1 = rear[np.argmin(np.abs(rear[:, 1] - height)), 0]
    return float(x0), float(x1)


def _pressure(air: shapely.Geometry, where: Array, pressure: float, view: View, tint: bool) -> list[Op]:
    """Tint over the air that is held, with dots that thicken towards the place that holds it."""
    table = numbers()["pressure"]
    ops: list[Op] = []
    if tint:
        parts = [g for g in shapely.get_parts(air) if g.geom_type == "Polygon"]
        rings = [shapely.get_coordinates(r) for g in parts for r in (g.exterior, *g.interiors)]
        opacity = table["tint_least"] + (1 - table["tint_least"]) * pressure
        ops.append(Fill(Path.polygons([view.px(r) for r in rings]), "airtint", opacity * pressure, name="pressure"))
    points, chance = _scatter()
    near = np.exp(-np.hypot(*(points - where).T) / table["reach_mm"])
    points = points[chance < near * pressure * 1.15]
    edge = air.boundary
    shapely.prepare([air, edge])
    chosen = points[shapely.contains_xy(air, *points.T)][: table["dots"]]
    chosen = chosen[~shapely.dwithin(edge, shapely.points(chosen), 2.2 * table["dot_mm"])]
    if len(chosen):
        ops.append(Dots(view.px(chosen), table["dot_mm"] * view.scale, "air", name="air held"))
    return ops


@cache
def _scatter() -> tuple[Array, Array]:
    """Evenly strewn points (n, 2) in mm over the tract, and how late each is shown (n,) 0..1: always the same."""
    i = np.arange(1, 1400)
    across, up, chance = (i * share % 1 for share in (0.7548776662466927, 0.5698402909980532, 0.6180339887498949))
    return np.stack([-5 + 90 * across, -100 + 125 * up], axis=-1), chance


def contact_layer(
    section: Section, state: MarkState, view: View, style: Style, lines: Mapping[str, Array] | None = None
) -> Layer:
    """A bar on the seam of every closure that holds; beside it, waves where a voiced closure is felt.

    `lines`: what `contacts` tells of this moment, where it is known already.
    """
    ops: list[Op] = []
    fill, edge = view.line(style.line("contact")), view.line(style.line("contact_edge"))
    # where the style has no colour for contact, its bar is broken, so that it is not taken for a gap
    broken = (1.1 * view.scale, 0.9 * view.scale) if style.hex("contact") == style.hex("airway") else None
    for organ, line in (contacts(section, state) if lines is None else lines).items():
        path = Path.line(view.px(line))
        ops += [
            Stroke(path, "contact_edge", edge),
            Stroke(path, "contact", fill, dash=broken, cap="butt" if broken else "round", name=f"contact {organ}"),
        ]
        if state.voiced_contact:
            ops += _buzz(line, organ, state, view, style)
    return Layer("contact", tuple(ops))


def _seen(felt: float) -> float:
    """Opacity of a mark for a vibration felt 0..1: what is felt at all is not drawn so faint that it is missed."""
    return fraction(felt / 0.2) * (0.75 + 0.25 * min(felt, 1.0))


def _buzz(line: Array, organ: str, state: MarkState, view: View, style: Style) -> list[Op]:
    """Paired zigzags at the ends of a voiced contact: vibration that can be felt there."""
    middle, front, rear = line[len(line) // 2], line[np.argmin(line[:, 0])], line[np.argmax(line[:, 0])]
    from_ends = {"lips": (middle, middle), "coronal": (middle, middle), "dorsal": (front, rear)}[organ]
    offsets = numbers()["contact"]["felt_mm"][organ]
    marks = [
        _wave(start + np.array(offset), state.drift, vertical=True)
        for start, offset in zip(from_ends, offsets, strict=True)
    ]
    width = view.line(style.line("voice")) * 0.8
    casing = ("airway", width + view.line(style.line("casing")))
    return [
        Stroke(
            Path.lines([view.px(m) for m in marks]),
            "voice",
            width,
            casing=casing,
            opacity=_seen(state.felt_contact),
            name="felt here",
        )
    ]


def _wave(
    at: Array,
    drift: float,
    vertical: bool = False,
    length_mm: float = 6.0,
    swing_mm: float = 1.1,
    turns: float = 2.5,
) -> Array:
    s = np.linspace(0, 1, 31)
    y = swing_mm * np.sin(2 * np.pi * (turns * s - drift))
    x = (s - 0.5) * length_mm
    return np.asarray(at) + (np.stack([y, x], axis=-1) if vertical else np.stack([x, y], axis=-1))


def voice_layer(section: Section, state: MarkState, view: View, style: Style) -> Layer:
    """The folds as a mark in the side view, waves above them while they vibrate, and where to feel it on the neck."""
    height = folds_height_mm(section)
    x0, x1 = _fold_ends(section)
    ops: list[Op] = []
    stub = (
        np.array([[x0 - 0.5, height], [x0 + 1.6, height]]),
        np.array([[x1 - 1.6, height], [x1 + 0.5, height]]),
    )
    thick = view.line(style.line("contact")) * 0.62
    together = state.folds_mm < numbers()["flow"]["folds_shut_mm"]
    if together:
        bar = Path.line(view.px([[x0 - 0.3, height], [x1 + 0.3, height]]))
        ops += [
            Stroke(bar, "ink", thick + view.line(3.0), cap="butt"),
            Stroke(bar, "voicetint" if state.voice > 0.3 else "mover", thick, cap="butt", name="folds together"),
        ]
    else:
        ops.append(
            Stroke(
                Path.lines([view.px(s) for s in stub]),
                "ink",
                thick + view.line(1.0),
                cap="butt",
                name="folds apart",
            )
        )
        dots = np.stack([np.linspace(x0 + 2.6, x1 - 2.6, 4), np.full(4, height)], axis=-1)
        ops.append(Dots(view.px(dots), view.line(1.3), "ink"))
    if state.voice > numbers()["voice"]["waves_from"]:
        width = view.line(style.line("voice"))
        casing = ("airway", width + view.line(style.line("casing")))
        middle = (x0 + x1) / 2
        waves = [
            _wave(
                np.array([middle, height + 3.2 + 3.1 * k]),
                state.drift,
                length_mm=(x1 - x0) * (0.86 - 0.05 * k),
            )
            for k in range(1 + round((numbers()["voice"]["waves"] - 1) * state.voice))
        ]
        ops.append(
            Stroke(
                Path.lines([view.px(w) for w in waves]),
                "voice",
                width,
                casing=casing,
                opacity=state.voice,
                name="voice",
            )
        )
        skin = section["chin_neck"]
        neck = skin[np.argmin(np.abs(skin[:, 1] - (height - 1.0)))]
        felt = [
            _wave(neck + np.array([-3.0 - 2.6 * k, 1.0]), state.drift, vertical=True, length_mm=8.0 - 1.6 * k)
            for k in range(2)
        ]
        ops.append(
            Stroke(
                Path.lines([view.px(w) for w in felt]),
                "voice",
                width,
                opacity=_seen(state.felt_throat),
                name="felt at the throat",
            )
        )
    return Layer("voice", (Group(tuple(ops), clip=Path.rectangle(*view.box)),))
