"""Air, pressure, voice and contact drawn on a side view, from numbers and from the section they belong to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from articulators import contact as tissue
from articulators.section import Section
from renders.airlines import AirLine, Points, arc, mouth_lines, nose_lines, seam_of, smooth
from renders.anatomy_larynx import folds_height_mm
from renders.markstate import MarkState, numbers
from renders.outflow import chevrons, outflow, unit
from renders.picture import Dots, Fill, Group, Layer, Op, Path, Stroke
from renders.style import Style
from renders.view import View
from vocaltract.airway.channel import Channel
from vocaltract.airway.passage import Airway


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
    sides = float(section.posture["sides_open"]) > numbers()["contact"]["sides_open_from"]
    return sides and seam_of(channel) is not None


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
    mouth = float(np.clip(state.mouth_ml_s / shown - 1, 0, 1))
    nose = float(np.clip(state.nose_ml_s / shown - 1, 0, 1))
    sides = seam_of(channel) is not None and float(section.posture["sides_open"]) > table["contact"]["sides_open_from"]
    shut = bool(state.closed) and not sides
    ops: list[Op] = []
    if state.folds_shut:
        ops += _pressure(_below_folds(section, airway), _folds_middle(section), 1.0, view, tint=True)
    elif shut and not nose and state.pressure > table["pressure"]["shown_above"]:
        seam = seam_of(channel)
        lines = mouth_lines(section, channel, airway)
        where = channel.inner[seam] if seam is not None else lines[0].points[-1]
        ops += _pressure(_inner_air(airway), where, state.pressure, view, tint=not tinted)
        through_folds = float(np.clip(state.glottis_ml_s / table["flow"]["folds_full_ml_s"], 0, 1))
        ops += _stroked(lines, section, state, view, style, through_folds, crowd=True)
    if nose and not state.folds_shut:
        lines = nose_lines(section, channel, airway, from_throat=not mouth or shut)
        ops += _stroked(lines, section, state, view, style, nose)
        ops += outflow([line.points for line in lines], state, view, style, nose=True)
    if mouth and not shut and not state.folds_shut:
        lines = mouth_lines(section, channel, airway, through=not sides)
        ops += _stroked(lines, section, state, view, style, mouth)
        if sides:
            # past the sides of the tongue: the midline is shut, the air is not
            ops += _beside(section, lines, state, view, style, mouth)
        else:
            ops += outflow([line.points for line in lines], state, view, style)
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


def _off(points: Points, gap: tuple[float, float] | None, more: float = 0.0) -> np.ndarray:
    """Which points (n,) lie outside the room kept free at the folds."""
    if gap is None:
        return np.ones(len(points), dtype=bool)
    return (points[:, 1] < gap[0] - more) | (points[:, 1] > gap[1] + more)


def _stroked(
    lines: Sequence[AirLine],
    section: Section,
    state: MarkState,
    view: View,
    style: Style,
    strength: float,
    crowd: bool = False,
) -> list[Op]:
    if strength <= 0:
        return []
    table = numbers()["flow"]
    gap = fold_gap_mm(section, state)
    cut = [replace(line, shown=line.shown & _off(line.points, gap)) for line in lines]
    width = view.line(style.line("air"))
    dash = None
    if state.breath > 0.5 and not crowd:
        dash = (6.5 * view.scale * 0.55, 4.5 * view.scale * 0.55)
    path = Path.lines([view.px(p) for line in cut for p in line.parts()])
    ops: list[Op] = [Stroke(path, "air", width, dash=dash, opacity=strength, name="flow lines")]
    heads = []
    for number, line in enumerate(cut):
        run = arc(line.points)
        if crowd:
            steps = table["crowd_first_mm"] * table["crowd_growth"] ** np.arange(24)
            s = run[-1] - 1.0 - np.cumsum(steps) + steps[0] * (0.5 + 0.3 * number)
            s = s[s > 2]
        else:
            spacing = table["arrow_spacing_mm"]
            start = (state.travel_mm + spacing * (0.5 * (number % 2))) % spacing
            s = np.arange(start + 2, run[-1] - 1, spacing)
        point, towards = _at(line.points, run, s)
        at = np.searchsorted(run, s).clip(0, len(run) - 1)
        least = table["arrow_room_mm"] if number == len(cut) // 2 else table["arrows_room_mm"]
        keep = line.shown[at] & (line.room_mm[at] >= least) & _off(point, gap, more=1.0)
        heads += chevrons(point[keep], towards[keep], table["arrow_mm"])
    head_width = view.line(style.line("arrowhead")) * 0.85
    ops.append(Stroke(Path.lines([view.px(h) for h in heads]), "air", head_width, opacity=strength, name="arrowheads"))
    return ops


def _at(line: Points, run: Points, s: Points) -> tuple[Points, Points]:
    """Points (n, 2) at lengths s along a line, and unit directions there."""

    def there(t: Points) -> Points:
        return np.stack([np.interp(t, run, line[:, 0]), np.interp(t, run, line[:, 1])], axis=-1)

    return there(s), unit(there(s + 0.8) - there(s - 0.8))


def _beside(
    section: Section, lines: Sequence[AirLine], state: MarkState, view: View, style: Style, strength: float
) -> list[Op]:
    """Air that passes beside the tongue: dotted through the tongue, out between the lips."""
    tongue = section["tongue"]
    tip = tongue[int(np.argmin(tongue[: len(tongue) * 3 // 4, 0]))]
    upper, lower = section["upper_red"], section["lower_red"]
    gate = (upper[np.argmin(upper[:, 0])] + lower[np.argmin(lower[:, 0])]) / 2
    around = []
    for lift in (-2.0, 0.0, 2.0):
        start = lines[1].points[-1] + np.array([9.0, -5.5 + lift])
        by_tip = tip + [2.0, -6.0 + lift]
        out = (tip + gate) / 2 + [0, -1.5 + 0.8 * lift]
        around.append(smooth(np.stack([start, by_tip, out, gate + [0, 0.4 * lift - 0.5]]), 1))
    width = view.line(style.line("air"))
    dotted = (0.6 * view.scale, 1.3 * view.scale)
    casing = ("airway", width + view.line(style.line("casing")) * 0.7)
    path = Path.lines([view.px(a) for a in around])
    beside = Stroke(
        path, "air", width * 1.15, dash=dotted, casing=casing, opacity=strength, name="air beside the tongue"
    )
    return [beside, *outflow(around, state, view, style)]


def _inner_air(airway: Airway) -> shapely.Geometry:
    """The part of the air that the throat belongs to."""
    throat = shapely.Point(72.0, -40.0)
    parts = [g for g in shapely.get_parts(airway.shapes) if g.geom_type == "Polygon"]
    return min(parts, key=lambda g: shapely.distance(g, throat))


def _below_folds(section: Section, airway: Airway) -> shapely.Geometry:
    return shapely.intersection(_inner_air(airway), shapely.box(0, -200, 140, folds_height_mm(section)))


def _folds_middle(section: Section) -> Points:
    height = folds_height_mm(section)
    return np.array([sum(_fold_ends(section)) / 2, height])


def _fold_ends(section: Section) -> tuple[float, float]:
    """The x of the front and of the back end of the folds, in mm."""
    height = folds_height_mm(section)
    front, rear = section["larynx_front"], section["larynx_rear"]
    x0 = front[np.argmin(np.abs(front[:, 1] - height)), 0]
    x1 = rear[np.argmin(np.abs(rear[:, 1] - height)), 0]
    return float(x0), float(x1)


def _pressure(air: shapely.Geometry, where: Points, pressure: float, view: View, tint: bool) -> list[Op]:
    """Tint over the air that is held, with dots that thicken towards the place that holds it."""
    table = numbers()["pressure"]
    parts = [g for g in shapely.get_parts(air) if g.geom_type == "Polygon"]
    rings = [shapely.get_coordinates(r) for g in parts for r in (g.exterior, *g.interiors)]
    opacity = table["tint_least"] + (1 - table["tint_least"]) * pressure
    ops: list[Op] = []
    if tint:
        ops.append(Fill(Path.polygons([view.px(r) for r in rings]), "airtint", opacity * pressure, name="pressure"))
    points = _scatter()
    inside = shapely.contains_xy(air, points[:, 0], points[:, 1])
    near = np.exp(-np.hypot(*(points - where).T) / table["reach_mm"])
    keep = inside & (_chance() < near * pressure * 1.15)
    chosen = points[keep][: table["dots"]]
    chosen = chosen[~shapely.dwithin(air.boundary, shapely.points(chosen), 2.2 * table["dot_mm"])]
    if len(chosen):
        ops.append(Dots(view.px(chosen), table["dot_mm"] * view.scale, "air", name="air held"))
    return ops


def _scatter() -> Points:
    """Evenly strewn fixed points (n, 2) in mm over the tract: the same in every frame."""
    i = np.arange(1, 1400)
    return np.stack([-5 + 90 * ((i * 0.7548776662466927) % 1), -100 + 125 * ((i * 0.5698402909980532) % 1)], axis=-1)


def _chance() -> Points:
    return (np.arange(1, 1400) * 0.6180339887498949) % 1


def contact_line(section: Section, organ: str) -> Points | None:
    """Points (n, 2) in mm along which the organ touches what it shuts against; None where it does not."""
    if organ == "lips":
        against = section.polygons("lower_lip")
        lips = _touching(section["upper_lip"], against)
        # a lower lip that shuts against the teeth leaves the upper lip alone
        return lips if lips is not None else _touching(section["lower_lip"], shapely.Polygon(section["upper_incisor"]))
    line, roof = section["tongue"], shapely.union(tissue.maxilla_mass(section.head), section.polygons("velum"))
    front = line[:, 0] < 20
    if organ == "coronal":
        found = _touching(line, roof, front)
        return found if found is not None else _touching(line, section.polygons("upper_lip"), front)
    found = _touching(line, roof, ~front)
    if found is None:
        rear = tissue.rear_mass(section.head)
        leaf = _touching(section["epiglottis"], rear)
        found = leaf if leaf is not None else _touching(line, rear)
    return found


def _touching(line: Points, against: shapely.Geometry, among: NDArray[np.bool_] | None = None) -> Points | None:
    """The longest run of a line (n, 2) that touches a shape; None where it does not."""
    reach = numbers()["contact"]["seen_within_mm"]
    touching = np.asarray(shapely.dwithin(against, shapely.points(line), reach))
    at = np.flatnonzero(touching if among is None else touching & among)
    if len(at) < 2:
        return None
    runs = np.split(at, np.flatnonzero(np.diff(at) > 3) + 1)
    best = max(runs, key=len)
    return line[best] if len(best) > 1 else None


def contact_layer(section: Section, state: MarkState, view: View, style: Style) -> Layer:
    """A bar on the seam of every closure that holds; beside it, waves where a voiced closure is felt."""
    ops: list[Op] = []
    fill, edge = view.line(style.line("contact")), view.line(style.line("contact_edge"))
    # where the style has no colour for contact, its bar is broken, so that it is not taken for a gap
    broken = (1.1 * view.scale, 0.9 * view.scale) if style.hex("contact") == style.hex("airway") else None
    organs = dict.fromkeys(c.organ for c in state.closed)
    if float(section.posture["sides_open"]) > numbers()["contact"]["sides_open_from"]:
        # a lateral touches in the midline though air passes beside it
        organs |= dict.fromkeys(o for o in ("coronal", "dorsal") if contact_line(section, o) is not None)
    for organ in organs:
        line = contact_line(section, organ)
        if line is None:
            continue
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
    return float(np.clip(felt / 0.2, 0.0, 1.0)) * (0.75 + 0.25 * min(felt, 1.0))


def _buzz(line: Points, organ: str, state: MarkState, view: View, style: Style) -> list[Op]:
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
    at: Points,
    drift: float,
    vertical: bool = False,
    length_mm: float = 6.0,
    swing_mm: float = 1.1,
    turns: float = 2.5,
) -> Points:
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
