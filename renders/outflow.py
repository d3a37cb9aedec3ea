"""What leaves the mouth and the nose: burst, hiss, breath, or air flowing out, as strokes of a picture."""

from __future__ import annotations

import numpy as np

from renders.airlines import Points
from renders.markstate import MarkState, numbers
from renders.picture import Fill, Op, Path, Stroke
from renders.style import Style
from renders.view import View


def unit(v: Points) -> Points:
    return v / np.maximum(np.linalg.norm(v, axis=-1, keepdims=True), 1e-9)


def chevrons(point: Points, towards: Points, size_mm: float) -> list[Points]:
    """Open arrowheads (3, 2) at points (n, 2) along directions (n, 2)."""
    angle = np.deg2rad(180 - numbers()["flow"]["arrow_half_angle_deg"])
    c, s = np.cos(angle), np.sin(angle)
    left = np.stack([c * towards[:, 0] - s * towards[:, 1], s * towards[:, 0] + c * towards[:, 1]], axis=-1)
    right = np.stack([c * towards[:, 0] + s * towards[:, 1], -s * towards[:, 0] + c * towards[:, 1]], axis=-1)
    return [np.stack([p + size_mm * a, p, p + size_mm * b]) for p, a, b in zip(point, left, right, strict=True)]


def outflow(lines: list[Points], state: MarkState, view: View, style: Style, nose: bool = False) -> list[Op]:
    """Marks in front of the ends of flow lines, from the flow and from what the moment is."""
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
        unit(np.stack([r[1] - r[0] for r in fan])),
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
    along = unit((end - start)[None])[0]
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
