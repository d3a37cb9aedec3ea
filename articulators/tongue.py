"""The tongue before contact: surface by shape modes and jaw, curl, underside, muscle mass.

The surface is linear in the modes; the jaw turns it by a share that grows from root to blade.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from articulators import jaw
from articulators.curves import Array, arc_length, resample, rotate, spline_matrix
from articulators.head import Head
from articulators.posture import Posture, posture_of

SURFACE_POINTS = 121
STRIP_POINTS = 9
ARC_POINTS = 17


@dataclass(frozen=True)
class Rest:
    """What is the same for every posture: rest surface (n, 2), u (n,), mode shapes (modes, n, 2), jaw share (n,)."""

    surface: Array
    u: Array
    shapes: Array
    jaw_share: Array


@lru_cache(maxsize=8)
def rest_surface(head: Head) -> Rest:
    """The rest surface and the modes of a head, computed once per head."""
    points = head.tongue.rest
    line = resample(spline_matrix(points, per_segment=24) @ points, SURFACE_POINTS)
    u = arc_length(line) / arc_length(line)[-1]
    shapes = np.stack([m.weight(u)[:, None] * np.array(m.direction) for m in head.tongue.modes])
    low = head.tongue.root_share
    share = low + (1 - low) * np.clip((u - 0.15) / 0.70, 0, 1)
    return Rest(line, u, shapes, share)


def surface(head: Head, posture: Posture) -> Array:
    """Upper surface (..., SURFACE_POINTS, 2) in mm from the vallecula to the tip, before contact."""
    base = rest_surface(head)
    amplitudes = np.stack([posture[f"{m.name}_mm"] for m in head.tongue.modes], axis=-1)
    # a product for each posture: the last digits of one product for all would depend on how many there are
    shift = amplitudes[..., None, :] @ base.shapes.reshape(len(base.shapes), -1)
    moved: Array = base.surface + shift.reshape(*posture.shape, *base.surface.shape)
    moved = jaw.carry(head, moved, posture["jaw_mm"], base.jaw_share, head.tongue.rest_jaw_mm)
    return _curl(head, base, moved, posture["curl_deg"])


def _curl(head: Head, base: Rest, points: Array, curl_deg: Array) -> Array:
    if not np.any(curl_deg):
        return points
    start = head.tongue.curl_from
    first = int(np.searchsorted(base.u, start))
    share = ((base.u[first + 1 :] - start) / (1 - start)) ** head.tongue.curl_power
    angle = -np.deg2rad(curl_deg)[..., None] * share
    steps = rotate(np.diff(points[..., first:, :], axis=-2), np.zeros(2), angle)
    chained = points[..., first : first + 1, :] + np.cumsum(steps, axis=-2)
    return np.concatenate([points[..., : first + 1, :], chained], axis=-2)


def _unit(vectors: Array) -> Array:
    return vectors / np.maximum(np.linalg.norm(vectors, axis=-1, keepdims=True), 1e-9)


def foot(head: Head, posture: Posture, tip: Array) -> Array:
    """Where the frenulum meets the floor of the mouth, (..., 2) mm: on the jaw, drawn back with the tip."""
    base = rest_surface(head)
    at = jaw.carry(head, head.tongue.frenulum_foot[None], posture["jaw_mm"])[..., 0, :]
    rest_mm = head.tongue.rest_jaw_mm
    rest_tip = jaw.carry(head, base.surface[-1:], posture["jaw_mm"], 1.0, rest_mm)[..., 0, :]
    back = np.maximum(tip[..., 0] - rest_tip[..., 0], 0) * head.tongue.foot_follows_tip
    return at + back[..., None] * np.array([1.0, 0.0])


def underside(head: Head, posture: Posture, top: Array) -> Array:
    """Underside (..., STRIP_POINTS + ARC_POINTS, 2) from just behind the tip to the frenulum foot."""
    length = head.tongue.strip_length_mm
    (thick, sharp), grow = head.tongue.strip_mm, head.tongue.strip_grows
    back_from_tip = arc_length(top[..., ::-1, :])
    along = np.linspace(0, length, STRIP_POINTS + 1)[1:]
    reversed_top = top[..., ::-1, :]
    # the strip's stations lie in the last few samples; interpolate each coordinate on arc length
    k = np.argmax(back_from_tip[..., None, :] > along[:, None], axis=-1)
    s0 = np.take_along_axis(back_from_tip, k - 1, -1)
    s1 = np.take_along_axis(back_from_tip, k, -1)
    w = ((along - s0) / (s1 - s0))[..., None]
    p0 = np.take_along_axis(reversed_top, (k - 1)[..., None], -2)
    p1 = np.take_along_axis(reversed_top, k[..., None], -2)
    on_top = p0 + w * (p1 - p0)
    to_back = _unit(np.gradient(on_top, axis=-2))
    normal = np.stack([to_back[..., 1], -to_back[..., 0]], axis=-1)
    at_foot = foot(head, posture, top[..., -1, :])
    to_foot = _unit(at_foot[..., None, :] - on_top)
    lean = head.tongue.strip_to_foot * np.clip(1 - np.abs(posture["curl_deg"]) / 60, 0, 1)
    direction = _unit(normal + lean[..., None, None] * (to_foot - normal))
    thickness = thick * (1 - np.exp(-along / sharp)) + grow * along
    strip = on_top + thickness[:, None] * direction
    leave = _unit(strip[..., -1, :] - strip[..., -3, :])
    share = head.tongue.lean
    leave = _unit(leave + share * (_unit(at_foot - strip[..., -1, :]) - leave))
    arrive = head.tongue.foot_arrival
    distance = np.linalg.norm(at_foot - strip[..., -1, :], axis=-1)[..., None, None]
    h0, h1 = head.tongue.hermite
    t = np.linspace(0, 1, ARC_POINTS + 1)[1:, None]
    arc = (
        (2 * t**3 - 3 * t**2 + 1) * strip[..., -1:, :]
        + (t**3 - 2 * t**2 + t) * h0 * distance * leave[..., None, :]
        + (-2 * t**3 + 3 * t**2) * at_foot[..., None, :]
        + (t**3 - t**2) * h1 * distance * arrive
    )
    return np.concatenate([strip, arc], axis=-2)


def turns_deg(top: Array, span_mm: float, free_mm: float) -> Array:
    """How far an upper surface (..., m, 2) turns over two stretches of `span_mm`, in degrees (..., m // 3).

    Stations are spread evenly over its length, but for the last `free_mm` at the tip; 0 where it is straight.
    """
    along = arc_length(top)
    total = along[..., -1:]
    share = np.linspace(0, 1, top.shape[-2] // 3)
    at = span_mm + share * (total - 2 * span_mm - max(free_mm - span_mm, 0.0))
    before, here, after = (_at_lengths(top, along, at + step) for step in (-span_mm, 0.0, span_mm))
    into, out = here - before, after - here
    cross = into[..., 0] * out[..., 1] - into[..., 1] * out[..., 0]
    return np.rad2deg(np.arctan2(cross, (into * out).sum(axis=-1)))


def _at_lengths(line: Array, along: Array, at: Array) -> Array:
    """Points (..., k, 2) of lines (..., m, 2) at lengths (..., k) of their own."""
    k = np.clip((along[..., None, :] <= at[..., :, None]).sum(axis=-1), 1, line.shape[-2] - 1)
    s0, s1 = np.take_along_axis(along, k - 1, -1), np.take_along_axis(along, k, -1)
    p0, p1 = (np.take_along_axis(line, i[..., None], -2) for i in (k - 1, k))
    return p0 + ((at - s0) / np.maximum(s1 - s0, 1e-9))[..., None] * (p1 - p0)


def hyoid_centre(head: Head, posture: Posture) -> Array:
    """Centre of the hyoid bone (..., 2) mm: follows the larynx, and a little the jaw."""
    at = jaw.carry(
        head,
        head.tongue.hyoid[None],
        posture["jaw_mm"],
        head.tongue.hyoid_follows_jaw,
        head.tongue.rest_jaw_mm,
    )
    lift = head.tongue.hyoid_follows_larynx * posture["larynx_mm"]
    return at[..., 0, :] + lift[..., None] * np.array([0.0, 1.0])


def mass(head: Head, posture: Posture) -> Array:
    """Closed outline (..., n, 2) of the tongue's muscle mass before contact and rounding, counter-clockwise or not.

    The floor of the mouth gives: where the section would grow or shrink too far, its lower border moves by
    `floor_gives` (see the data file), because the volume of the tongue is kept.
    """
    raw = unyielding(head, posture)
    first, slope = head.tongue.floor_gives
    size = rest_mass_area_mm2(head)
    off = _area(raw) / size - 1
    too_much = np.sign(off) * np.maximum(np.abs(off) - first, 0) * (1 - slope) * size
    upper, *belly, bone = (raw[..., i, 0] for i in range(-2 - len(head.tongue.belly_share), 0))
    width = (belly[-1] - upper + bone - belly[0]) / 2
    raw[..., -1 - len(belly) : -1, 1] += (too_much / width)[..., None]
    return raw


def unyielding(head: Head, posture: Posture) -> Array:
    """The closed outline (..., n, 2) as it would be if the floor of the mouth did not give."""
    top = surface(head, posture)
    under = underside(head, posture, top)
    upper = jaw.carry(head, head.tongue.genial_upper[None], posture["jaw_mm"])[..., 0, :]
    bone = hyoid_centre(head, posture)
    belly = [
        upper + share * (bone - upper) + np.array([0.0, sag])
        for share, sag in zip(head.tongue.belly_share, head.tongue.belly_sag_mm, strict=True)
    ]
    return np.concatenate([top, under, np.stack([upper, *belly, bone], axis=-2)], axis=-2)


@lru_cache(maxsize=8)
def rest_mass_area_mm2(head: Head) -> float:
    """Area of the muscle mass at rest, before contact."""
    neutral = posture_of(jaw_mm=head.tongue.rest_jaw_mm)
    return float(_area(unyielding(head, neutral)))


def _area(ring: Array) -> Array:
    x, y = ring[..., 0], ring[..., 1]
    return np.abs((x * np.roll(y, -1, -1) - y * np.roll(x, -1, -1)).sum(axis=-1)) / 2
