"""What leaves the mouth and the nose: burst, hiss, breath, or air flowing out, as strokes of a picture."""

from __future__ import annotations

import math

import numpy as np

from articulators.curves import Array, fraction
from renders.marks.dimensions import dimensions
from renders.marks.moment import Moment
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Op, Path, Stroke
from vocaltract.motion.limits import motion_limits


def unit(v: Array) -> Array:
    """Directions (..., 2) of length 1."""
    return np.asarray(v / np.maximum(np.hypot(v[..., 0], v[..., 1]), 1e-9)[..., None])


def chevrons(point: Array, towards: Array, size_mm: float) -> Array:
    """Open arrowheads (n, 3, 2) at points (n, 2) along directions (n, 2)."""
    angle = np.deg2rad(180 - dimensions().flow.arrow_half_angle_deg)
    turned = np.cos(angle) * towards, np.sin(angle) * towards[:, ::-1] * [-1.0, 1.0]
    return np.stack([point + size_mm * (turned[0] + turned[1]), point, point + size_mm * (turned[0] - turned[1])], 1)


def outflow(ends: Array, now: Moment, canvas: Canvas, nose: bool = False) -> list[Op]:
    """Marks in front of the ends (n, 2) of flow lines, from the flow and from what the moment is."""
    jet = dimensions().jet
    flow = now.instant.nose_ml_s if nose else now.instant.mouth_ml_s
    level = fraction(flow / motion_limits().flow.full_ml_s)
    centre = ends.mean(axis=0)
    down = math.radians(jet.nose_direction_deg if nose else jet.direction_deg)
    heading, normal = np.array([-math.cos(down), -math.sin(down)]), np.array([math.sin(down), -math.cos(down)])
    if nose:
        length = jet.nose_shortest_mm + (jet.nose_longest_mm - jet.nose_shortest_mm) * level
    else:
        length = jet.shortest_mm + (jet.longest_mm - jet.shortest_mm) * level**0.7
    width = canvas.line("air")
    spread = min(2.2, float(np.ptp(ends @ normal)) / 2 + 0.3)

    def rays(count: int, half_deg: float, reach: Array | float) -> Array:
        share = np.linspace(-1, 1, count)[:, None]
        angle = np.deg2rad(half_deg) * share
        direction = np.cos(angle) * heading + np.sin(angle) * normal
        start = centre + normal * share * spread
        return np.stack([start + 1.5 * direction, start + np.reshape(reach, (-1, 1)) * direction], axis=1)

    if now.instant.burst > 0.02 and not nose:
        spikes = rays(5, jet.burst_deg, 1.15 * length * np.array([0.72, 0.92, 1.0, 0.9, 0.7]))
        tapered = canvas.px(_spikes(spikes, 0.35 + 0.5 * now.instant.burst))
        return [Fill(Path.polygons(tapered), "air", min(1.0, 0.35 + now.instant.burst), name="burst")]
    if now.instant.friction and not nose:
        zigzags = Path.bundle(canvas.px(_zigzags(rays(4, jet.hiss_deg, length))))
        return [Stroke(zigzags, "air", width, join="miter", name="hiss")]
    if now.instant.breath > 0.5 and not nose:
        dash = (5.0 * canvas.scale * 0.6, 5.0 * canvas.scale * 0.6)
        breath = Path.bundle(canvas.px(rays(6, jet.breath_deg, length)))
        return [Stroke(breath, "air", width, dash=dash, opacity=now.instant.breath, name="breath")]
    fan = rays(3, jet.nose_deg if nose else jet.voiced_deg, length)
    heads = chevrons(fan[:, 1], unit(fan[:, 1] - fan[:, 0]), dimensions().flow.arrow_mm)
    opacity = fraction(flow / 60 - 0.3)
    head_width = canvas.line("arrowhead") * dimensions().flow.arrow_line_share
    return [
        Stroke(Path.bundle(canvas.px(fan)), "air", width, opacity=opacity, name="air out"),
        Stroke(Path.bundle(canvas.px(heads)), "air", head_width, opacity=opacity),
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
