"""Air, pressure, voice and contact drawn on a side view, from numbers and from the section they belong to."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from articulators import contact as tissue
from articulators.section import Section
from renders.markstate import MarkState, numbers
from renders.picture import Dots, Fill, Group, Layer, Op, Path, Stroke
from renders.style import Style
from renders.view import View
from vocaltract.airway.channel import Channel
from vocaltract.airway.passage import Airway

Points: TypeAlias = NDArray[np.floating[Any]]
SHUT_MM = 0.06
NOSE_GUIDE = np.array(
    [
        [73.5, 27.0],
        [66.0, 31.0],
        [56, 29.3],
        [44, 28.8],
        [30, 29.4],
        [14, 29.8],
        [0, 30.6],
        [-10, 31.2],
        [-19, 30.4],
        [-23.5, 27.5],
        [-24.8, 23.0],
    ]
)


def _unit(v: Points) -> Points:
    return v / np.maximum(np.linalg.norm(v, axis=-1, keepdims=True), 1e-9)


def smooth(line: Points, times: int = 2) -> Points:
    """A line softened by a 1-2-1 average, ends kept."""
    for _ in range(times):
        if len(line) < 3:
            return line
        line = np.concatenate([line[:1], (line[:-2] + 2 * line[1:-1] + line[2:]) / 4, line[-1:]])
    return line


def mouth_lines(channel: Channel) -> tuple[list[Points], int | None]:
    """Flow lines (n, 2) in mm from the windpipe towards the lips, and the gridline of the seam where they stop."""
    width = channel.width_mm
    known = np.flatnonzero(np.isfinite(width))
    last = known[-1] if len(known) else 0
    shut = np.flatnonzero((width < SHUT_MM) & (np.arange(len(width)) > 12))
    seam = int(shut[0]) if len(shut) else None
    stop = last + 1 if seam is None else seam + 1
    rows = [i for i in known if i < stop]
    inner, outer = channel.inner[rows], channel.outer[rows]
    return [smooth(inner + f * (outer - inner), 4) for f in numbers()["flow"]["lines"]], seam


def nose_lines(section: Section) -> list[Points]:
    """Flow lines from behind the soft palate along the floor of the nose to the nostril, in mm."""
    velum = section["velum"]
    wall = section["rear_wall"]
    half = velum[len(velum) // 2 :]
    rear = half[np.argsort(half[:, 1])][:: max(1, len(half) // 14)]
    rear = rear[(rear[:, 1] > -8) & (rear[:, 1] < 15)]
    walls = np.interp(rear[:, 1], wall[::-1, 1], wall[::-1, 0])
    lines = []
    for share, lift in ((0.3, 2.2), (0.5, 0.0), (0.7, -2.2)):
        port = np.stack([rear[:, 0] + share * (walls - rear[:, 0]), rear[:, 1]], axis=-1)
        guide = NOSE_GUIDE.copy()
        guide[:, 1] += -lift * np.clip((np.arange(len(guide)) + 1) / 3, 0, 1) * 0.6
        guide[-1, 0] += lift * 0.5
        lines.append(smooth(np.concatenate([port, guide]), 3))
    return lines


def _arc(line: Points) -> Points:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])


def _at(line: Points, s: Points) -> tuple[Points, Points]:
    run = _arc(line)
    point = np.stack([np.interp(s, run, line[:, 0]), np.interp(s, run, line[:, 1])], axis=-1)
    ahead = np.stack([np.interp(s + 0.8, run, line[:, 0]), np.interp(s + 0.8, run, line[:, 1])], axis=-1)
    behind = np.stack([np.interp(s - 0.8, run, line[:, 0]), np.interp(s - 0.8, run, line[:, 1])], axis=-1)
    return point, _unit(ahead - behind)


def chevrons(point: Points, towards: Points, size_mm: float) -> list[Points]:
    """Open arrowheads (3, 2) at points (n, 2) along directions (n, 2)."""
    angle = np.deg2rad(180 - numbers()["flow"]["arrow_half_angle_deg"])
    c, s = np.cos(angle), np.sin(angle)
    left = np.stack([c * towards[:, 0] - s * towards[:, 1], s * towards[:, 0] + c * towards[:, 1]], axis=-1)
    right = np.stack([c * towards[:, 0] + s * towards[:, 1], -s * towards[:, 0] + c * towards[:, 1]], axis=-1)
    return [np.stack([p + size_mm * a, p, p + size_mm * b]) for p, a, b in zip(point, left, right, strict=True)]


def _cut_for_folds(line: Points, section: Section, voiced: bool) -> list[Points]:
    if not voiced:
        return [line]
    table = numbers()["flow"]
    height = folds_height_mm(section)
    below = line[line[:, 1] < height - table["voice_gap_below_mm"]]
    after = np.flatnonzero(line[:, 1] > height + table["voice_gap_above_mm"])
    above = line[after[0] :] if len(after) else line[:0]
    return [part for part in (below, above) if len(part) > 1]


def folds_height_mm(section: Section) -> float:
    """Height of the folds: on the landmark line, raised or lowered with the larynx."""
    return section.head.number("larynx", "vocal_fold_height") + float(section.posture["larynx_mm"])


def air_layer(section: Section, channel: Channel, airway: Airway, state: MarkState, view: View, style: Style) -> Layer:
    """Tint, dots, flow lines, arrowheads and what leaves the mouth and the nose."""
    table = numbers()
    lines, seam = mouth_lines(channel)
    ops: list[Op] = []
    shown = table["flow"]["shown_above_ml_s"]
    mouth = float(np.clip(state.mouth_ml_s / shown - 1, 0, 1))
    nose = float(np.clip(state.nose_ml_s / shown - 1, 0, 1))
    shut = seam is not None and bool(state.closed)
    if shut and not nose and state.pressure > table["pressure"]["shown_above"]:
        ops += _pressure(section, channel, airway, seam, state, view)
        ops += _stroked(lines, section, state, view, style, 1.0, crowd=True)
    if nose:
        upwards = [_first_part(line, -9.0) for line in (lines[0], lines[1], lines[3])]
        joined = [smooth(np.concatenate([t, n]), 2) for t, n in zip(upwards, nose_lines(section), strict=True)]
        ops += _stroked(joined, section, state, view, style, nose)
        ops += _jet(joined, state, view, style, nose=True)
    if mouth and not shut:
        if seam is not None:
            # past the sides of the tongue: the midline is shut, the air is not
            ops += _beside(section, lines, state, view, style, mouth)
        else:
            ops += _stroked(lines, section, state, view, style, mouth)
            ops += _jet(lines, state, view, style)
    return Layer("air", (Group(tuple(ops), clip=Path.rectangle(*view.box)),))


def _first_part(line: Points, height_mm: float) -> Points:
    """The line from its start up to where it first rises above a height."""
    above = np.flatnonzero(line[:, 1] > height_mm)
    return line[: above[0]] if len(above) else line


def _stroked(
    lines: list[Points],
    section: Section,
    state: MarkState,
    view: View,
    style: Style,
    strength: float,
    crowd: bool = False,
) -> list[Op]:
    table = numbers()["flow"]
    voiced = state.voice > numbers()["voice"]["shown_above"]
    parts = [p for line in lines for p in _cut_for_folds(line, section, voiced)]
    width = view.line(style.line("air"))
    dash = None
    if state.breath > 0.5 and not crowd:
        dash = (6.5 * view.scale * 0.55, 4.5 * view.scale * 0.55)
    path = Path.lines([view.px(p) for p in parts])
    casing = ("airway", width + view.line(style.line("casing")) * 0.7)
    ops: list[Op] = [Stroke(path, "air", width, dash=dash, casing=casing, opacity=strength, name="flow lines")]
    heads = []
    for number, line in enumerate(lines):
        length = _arc(line)[-1]
        if crowd:
            steps = table["crowd_first_mm"] * table["crowd_growth"] ** np.arange(24)
            s = length - 1.0 - np.cumsum(steps) + steps[0] * (0.5 + 0.3 * number)
            s = s[s > 2]
        else:
            spacing = table["arrow_spacing_mm"]
            start = (state.travel_mm + spacing * (0.5 * (number % 2))) % spacing
            s = np.arange(start + 2, length - 1, spacing)
        point, towards = _at(line, s)
        if voiced:
            height = folds_height_mm(section)
            keep = (point[:, 1] < height - table["voice_gap_below_mm"] - 1) | (
                point[:, 1] > height + table["voice_gap_above_mm"] + 1
            )
            point, towards = point[keep], towards[keep]
        heads += chevrons(point, towards, table["arrow_mm"])
    head_width = view.line(style.line("arrowhead")) * 0.85
    ops.append(Stroke(Path.lines([view.px(h) for h in heads]), "air", head_width, opacity=strength, name="arrowheads"))
    return ops


def _jet(lines: list[Points], state: MarkState, view: View, style: Style, nose: bool = False) -> list[Op]:
    table = numbers()["jet"]
    flow = state.nose_ml_s if nose else state.mouth_ml_s
    level = float(np.clip(flow / numbers()["flow"]["full_ml_s"], 0, 1))
    ends = np.stack([line[-1] for line in lines])
    centre = ends.mean(axis=0)
    base = np.deg2rad(table["direction_deg"])
    if nose:
        heading = np.array([-np.cos(np.deg2rad(62)), -np.sin(np.deg2rad(62))])
    else:
        heading = np.array([-np.cos(base), -np.sin(base)])
    length = table["shortest_mm"] + (table["longest_mm"] - table["shortest_mm"]) * level**0.7
    if nose:
        length = 12.0 + 8 * level
    normal = np.array([-heading[1], heading[0]])
    width = view.line(style.line("air"))

    def rays(count: int, half_deg: float, reach: Points | float) -> list[Points]:
        reaches = np.broadcast_to(np.asarray(reach, dtype=float), (count,))
        out = []
        for i, share in enumerate(np.linspace(-1, 1, count)):
            a = np.deg2rad(half_deg) * share
            direction = np.cos(a) * heading + np.sin(a) * normal
            start = centre + normal * share * min(2.2, float(np.ptp(ends @ normal)) / 2 + 0.3)
            out.append(np.stack([start + 1.5 * direction, start + reaches[i] * direction]))
        return out

    if state.burst > 0.02 and not nose:
        spikes = rays(5, table["burst_deg"], 1.15 * length * np.array([0.72, 0.92, 1.0, 0.9, 0.7]))
        tapered = [_spike(r, 0.35 + 0.5 * state.burst) for r in spikes]
        return [
            Fill(
                Path.polygons([view.px(s) for s in tapered]),
                "air",
                min(1.0, 0.35 + state.burst),
                name="burst",
            )
        ]
    if state.narrow and not nose:
        zigzags = [_zigzag(r) for r in rays(4, table["hiss_deg"], length)]
        return [Stroke(Path.lines([view.px(z) for z in zigzags]), "air", width, join="miter", name="hiss")]
    if state.breath > 0.5 and not nose:
        dash = (5.0 * view.scale * 0.6, 5.0 * view.scale * 0.6)
        breath = Path.lines([view.px(r) for r in rays(6, table["breath_deg"], length)])
        return [Stroke(breath, "air", width, dash=dash, opacity=state.breath, name="breath")]
    fan = rays(3, table["nose_deg"] if nose else table["voiced_deg"], length)
    heads = chevrons(
        np.stack([r[1] for r in fan]),
        _unit(np.stack([r[1] - r[0] for r in fan])),
        numbers()["flow"]["arrow_mm"],
    )
    opacity = float(np.clip(flow / 60 - 0.3, 0, 1))
    return [
        Stroke(Path.lines([view.px(r) for r in fan]), "air", width, opacity=opacity, name="air out"),
        Stroke(
            Path.lines([view.px(c) for c in heads]),
            "air",
            view.line(style.line("arrowhead")) * 0.85,
            opacity=opacity,
        ),
    ]


def _spike(ray: Points, half_mm: float) -> Points:
    """A tapered stroke: narrow at the lips, full at two thirds, pointed at the end."""
    start, end = ray
    along = _unit((end - start)[None])[0]
    across = np.array([-along[1], along[0]])
    full = start + 0.62 * (end - start)
    return np.stack(
        [start + 0.25 * across, full + half_mm * across, end, full - half_mm * across, start - 0.25 * across]
    )


def _zigzag(ray: Points, step_mm: float = 1.5) -> Points:
    start, end = ray
    length = float(np.hypot(*(end - start)))
    along = (end - start) / length
    across = np.array([-along[1], along[0]])
    s = np.arange(0, length, step_mm)
    swing = np.minimum(s / 12, 1) * 1.0 * np.where(np.arange(len(s)) % 2, 1, -1)
    return start + s[:, None] * along + swing[:, None] * across


def _beside(
    section: Section, lines: list[Points], state: MarkState, view: View, style: Style, strength: float
) -> list[Op]:
    """Air that passes beside the tongue: dashed through the tongue, out between the lips."""
    tongue = section["tongue"]
    tip = tongue[int(np.argmin(tongue[: len(tongue) * 3 // 4, 0]))]
    ops = _stroked(lines, section, state, view, style, strength)
    upper, lower = section["upper_red"], section["lower_red"]
    gate = (upper[np.argmin(upper[:, 0])] + lower[np.argmin(lower[:, 0])]) / 2
    around = []
    for lift in (-2.0, 0.0, 2.0):
        start = lines[1][-1] + np.array([9.0, -5.5 + lift])
        around.append(
            smooth(
                np.stack(
                    [
                        start,
                        tip + [2.0, -6.0 + lift],
                        (tip + gate) / 2 + [0, -1.5 + 0.8 * lift],
                        gate + [0, 0.7 * lift],
                    ]
                ),
                1,
            )
        )
    width = view.line(style.line("air"))
    dotted = (0.6 * view.scale, 1.3 * view.scale)
    casing = ("airway", width + view.line(style.line("casing")) * 0.7)
    ops.append(
        Stroke(
            Path.lines([view.px(a) for a in around]),
            "air",
            width * 1.15,
            dash=dotted,
            casing=casing,
            opacity=strength,
            name="air beside the tongue",
        )
    )
    return ops + _jet(around, state, view, style)


def _pressure(
    section: Section, channel: Channel, airway: Airway, seam: int | None, state: MarkState, view: View
) -> list[Op]:
    table = numbers()["pressure"]
    parts = [g for g in shapely.get_parts(airway.shapes) if g.geom_type == "Polygon"]
    throat = shapely.Point(72.0, -40.0)
    inner = min(parts, key=lambda g: shapely.distance(g, throat))
    rings = [shapely.get_coordinates(r) for r in (inner.exterior, *inner.interiors)]
    opacity = table["tint_least"] + (1 - table["tint_least"]) * state.pressure
    ops: list[Op] = [
        Fill(Path.polygons([view.px(r) for r in rings]), "airtint", opacity * state.pressure, name="pressure")
    ]
    points = _scatter()
    inside = shapely.contains_xy(inner, points[:, 0], points[:, 1])
    where = channel.inner[seam] if seam is not None else np.array([20.0, 10.0])
    near = np.exp(-np.hypot(*(points - where).T) / table["reach_mm"])
    keep = inside & (_chance() < near * state.pressure * 1.15)
    chosen = points[keep][: table["dots"]]
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
    reach = numbers()["contact"]["seen_within_mm"]
    if organ == "lips":
        line, against = section["upper_lip"], section.polygons("lower_lip")
    else:
        line = section["tongue"]
        against = shapely.union(tissue.maxilla_mass(section.head), section.polygons("velum"))
    touching = np.asarray(shapely.dwithin(against, shapely.points(line), reach))
    if organ == "coronal":
        touching &= line[:, 0] < 20
    if organ == "dorsal":
        touching &= line[:, 0] >= 20
    at = np.flatnonzero(touching)
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
    if float(section.posture["sides_open"]) > 0.5:
        organs["coronal"] = None  # a lateral touches in the midline though air passes beside it
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


def _buzz(line: Points, organ: str, state: MarkState, view: View, style: Style) -> list[Op]:
    """Paired zigzags at the ends of a voiced contact: vibration that can be felt there."""
    middle = line[len(line) // 2]
    places = {
        "lips": ([-13.0, 5.5], [-13.0, -6.0]),
        "coronal": ([-1.0, -9.0], [3.0, -10.0]),
        "dorsal": ([-9.0, -7.5], [7.5, -8.5]),
    }
    marks = [_wave(middle + np.array(offset), state.drift, vertical=True) for offset in places[organ]]
    width = view.line(style.line("voice")) * 0.8
    casing = ("airway", width + view.line(style.line("casing")))
    return [
        Stroke(
            Path.lines([view.px(m) for m in marks]),
            "voice",
            width,
            casing=casing,
            opacity=state.voice,
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
    front, rear = section["larynx_front"], section["larynx_rear"]
    x0 = float(front[np.argmin(np.abs(front[:, 1] - height)), 0])
    x1 = float(rear[np.argmin(np.abs(rear[:, 1] - height)), 0])
    ops: list[Op] = []
    stub = (
        np.array([[x0 - 0.5, height], [x0 + 1.6, height]]),
        np.array([[x1 - 1.6, height], [x1 + 0.5, height]]),
    )
    thick = view.line(style.line("contact")) * 0.62
    together = state.folds_mm < 1.0
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
    if state.voice > 0.05:
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
                opacity=state.voice,
                name="felt at the throat",
            )
        )
    return Layer("voice", (Group(tuple(ops), clip=Path.rectangle(*view.box)),))
