"""What leaves the mouth and the nose: burst, hiss, breath, or air flowing out, as strokes of a picture."""

from __future__ import annotations

import math

import numpy as np

from articulators.curves import Array
from renders.marks.state import MarkState, fraction, numbers
from renders.paper.picture import LINE, MOVE, Fill, Op, Path, Stroke
from renders.paper.style import Style
from renders.paper.view import View


def unit(v: Array) -> Array:
    """Directions (..., 2) of length 1."""
    return np.asarray(v / np.maximum(np.hypot(v[..., 0], v[..., 1]), 1e-9)[..., None])


def alike(lines: Array) -> Path:
    """Open lines (k, n, 2) with as many points each, drawn as one."""
    codes = np.full(lines.shape[:2], LINE, dtype=np.uint8)
    codes[:, 0] = MOVE
    return Path(np.asarray(lines.reshape(-1, 2), dtype=np.float64), codes.ravel())


def chevrons(point: Array, towards: Array, size_mm: float) -> Array:
    """Open arrowheads (n, 3, 2) at points (n, 2) along directions (n, 2)."""
    angle = np.deg2rad(180 - numbers()["flow"]["arrow_half_angle_deg"])
    turned = np.cos(angle) * towards, np.sin(angle) * towards[:, ::-1] * [-1.0, 1.0]
    return np.stack([point + size_mm * (turned[0] + turned[1]), point, point + size_mm * (turned[0] - turned[1])], 1)


def outflow(ends: Array, state: MarkState, view: View, style: Style, nose: bool = False) -> list[Op]:
    """Marks in front of the ends (n, 2) of flow lines, from the flow and from what the moment is."""
    table = numbers()["jet"]
    flow = state.nose_ml_s if nose else state.mouth_ml_s
    level = fraction(flow / numbers()["flow"]["full_ml_s"])
    centre = ends.mean(axis=0)
    down = math.radians(table["nose_direction_deg" if nose else "direction_deg"])
    heading, normal = np.array([-math.cos(down), -math.sin(down)]), np.array([math.sin(down), -math.cos(down)])
    if nose:
        length = table["nose_shortest_mm"] + (table["nose_longest_mm"] - table["nose_shortest_mm"]) * level
    else:
        length = table["shortest_mm"] + (table["longest_mm"] - table["shortest_mm"]) * level**0.7
    width = view.line(style.line("air"))
    spread = min(2.2, float(np.ptp(ends @ normal)) / 2 + 0.3)

    def rays(count: int, half_deg: float, reach: Array | float) -> Array:
        share = np.linspace(-1, 1, count)[:, None]
        angle = np.deg2rad(half_deg) * share
        direction = np.cos(angle) * heading + np.sin(angle) * normal
        start = centre + normal * share * spread
        return np.stack([start + 1.5 * direction, start + np.reshape(reach, (-1, 1)) * direction], axis=1)

    if state.burst > 0.02 and not nose:
        spikes = rays(5, table["burst_deg"], 1.15 * length * np.array([0.72, 0.92, 1.0, 0.9, 0.7]))
        tapered = view.px(_spikes(spikes, 0.35 + 0.5 * state.burst))
        return [Fill(Path.polygons(tapered), "air", min(1.0, 0.35 + state.burst), name="burst")]
    if state.narrow and not nose:
        zigzags = alike(view.px(_zigzags(rays(4, table["hiss_deg"], length))))
        return [Stroke(zigzags, "air", width, join="miter", name="hiss")]
    if state.breath > 0.5 and not nose:
        dash = (5.0 * view.scale * 0.6, 5.0 * view.scale * 0.6)
        breath = alike(view.px(rays(6, table["breath_deg"], length)))
        return [Stroke(breath, "air", width, dash=dash, opacity=state.breath, name="breath")]
    fan = rays(3, table["nose_deg"] if nose else table["voiced_deg"], length)
    heads = chevrons(fan[:, 1], unit(fan[:, 1] - fan[:, 0]), numbers()["flow"]["arrow_mm"])
    opacity = fraction(flow / 60 - 0.3)
    head_width = view.line(style.line("arrowhead")) * 0.85
    return [
        Stroke(alike(view.px(fan)), "air", width, opacity=opacity, name="air out"),
        Stroke(alike(view.px(heads)), "air", head_width, opacity=opacity),
    ]


def _spikes(rays: Array, half_mm: float) -> Array:
    """Tapered strokes (k, 5, 2) along rays (k, 2, 2): narrow at the lips, full at two thirds, pointed at the end."""
    start, end = rays[:, 0], rays[:, 1]
    along = unit(end - start)
    across = np.stack([-along[:, 1], along[:, 0]], axis=-1)
    full = start + 0.62 * (end - start)
    narrow, wide = 0.25 * across, half_mm * across
    return np.stack([start + narrow, full + wide, end, full - wide, start - narrow], axis=1)


def _zigzags(rays: Array, step_mm: float = 1.5) -> Array:
    """Zigzags (k, n, 2) along rays (k, 2, 2) of one length, growing from nothing."""
    start, way = rays[:, :1], rays[:, 1:] - rays[:, :1]
    length = np.hypot(way[..., 0], way[..., 1])[..., None]
    along = way / length
    across = np.stack([-along[..., 1], along[..., 0]], axis=-1)
    s = np.arange(0, length.max(), step_mm)[:, None]
    swing = np.minimum(s / 12, 1) * np.where(np.arange(len(s)) % 2, 1.0, -1.0)[:, None]
    return start + s * along + swing * across
