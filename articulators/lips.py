"""Lips before contact: states blended, then moved up or down until the asked gap is met."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from articulators import jaw
from articulators.curves import Array, spline_matrix
from articulators.head import Head
from articulators.posture import Posture

PER_SEGMENT = 8
UNTUCKED_ALLOWANCE_MM = 12.0  # how far the upper incisor is out of the untucked lower lip's reach
STATIONS_MM = np.arange(-27.0, 18.01, 0.5)


@lru_cache(maxsize=8)
def _sampling(head: Head) -> tuple[Array, Array, Array]:
    incisor = head.curve("palate", "upper_incisor")
    return (
        spline_matrix(head.curve("lips", "upper_rest"), PER_SEGMENT),
        spline_matrix(head.curve("lips", "lower_rest"), PER_SEGMENT),
        spline_matrix(incisor, PER_SEGMENT, closed=True) @ incisor,
    )


def _lowest(points: Array) -> Array:
    """Lowest height (..., stations) of a curve over each station, inf where it does not reach."""
    a, b = points[..., :-1, None, :], points[..., 1:, None, :]
    ax, ay, bx, by = a[..., 0], a[..., 1], b[..., 0], b[..., 1]
    lo, hi = np.minimum(ax, bx), np.maximum(ax, bx)
    width = np.where(np.abs(bx - ax) < 1e-9, 1e-9, bx - ax)
    share = np.clip((STATIONS_MM - ax) / width, 0, 1)
    height = ay + share * (by - ay)
    return np.where((lo <= STATIONS_MM) & (hi >= STATIONS_MM), height, np.inf).min(axis=-2)


def _highest(points: Array) -> Array:
    return -_lowest(points * np.array([1.0, -1.0]))


def gap_mm(head: Head, upper: Array, lower: Array, tucked: Array) -> Array:
    """Narrowest vertical gap (...) under the upper lip or, as far as the lip is tucked, the upper incisor."""
    floor = _highest(lower)
    to_lip = (_lowest(upper) - floor).min(axis=-1)
    tooth = _lowest(_sampling(head)[2])
    to_tooth = (tooth - floor).min(axis=-1) + UNTUCKED_ALLOWANCE_MM * (1 - tucked)
    gap = np.minimum(to_lip, to_tooth)
    # a jaw dropped so far that nothing stands above the lip: the plain difference in height
    return np.where(np.isfinite(gap), gap, upper[..., 1].min(axis=-1) - lower[..., 1].max(axis=-1))


def outlines(head: Head, posture: Posture) -> tuple[Array, Array]:
    """Upper and lower lip lines (..., n, 2) in mm, from skin to vestibule and back, before contact."""
    up, down, _ = _sampling(head)
    rest_upper, rest_lower = head.curve("lips", "upper_rest"), head.curve("lips", "lower_rest")
    rounded, spread, tucked = (posture[k][..., None, None] for k in ("rounded", "spread", "tucked"))
    upper = rest_upper + rounded * (head.curve("lips", "upper_rounded") - rest_upper)
    upper = upper + spread * (1 - rounded) * (head.curve("lips", "upper_spread") - rest_upper)
    lower: Array = rest_lower + rounded * (head.curve("lips", "lower_rounded") - rest_lower)
    lower = lower + spread * (1 - rounded) * (head.curve("lips", "lower_spread") - rest_lower)
    lower = lower + tucked * (1 - rounded) * (head.curve("lips", "lower_tucked") - rest_lower)
    moves_up, moves_down = head.shares("lips", "upper_moves"), head.shares("lips", "lower_moves")
    upper = upper + (posture["upper_raise_mm"][..., None] * moves_up)[..., None] * np.array([0.0, 1.0])
    lower = jaw.carry(head, lower, posture["jaw_mm"])
    share, limit = head.number("lips", "upper_share"), head.number("lips", "upper_limit_mm")
    closing = np.zeros(np.shape(posture["aperture_mm"]))
    down_axis = np.array([0.0, -1.0])
    for _ in range(6):
        drop = np.minimum(share * np.maximum(closing, 0), limit) * (1 - posture["tucked"])
        now_upper = upper + (drop[..., None] * moves_up)[..., None] * down_axis
        now_lower = lower - ((closing - drop)[..., None] * moves_down)[..., None] * down_axis
        sampled = up @ now_upper, down @ now_lower
        closing = closing + gap_mm(head, *sampled, posture["tucked"]) - posture["aperture_mm"]
    return sampled


def vermilion(head: Head) -> tuple[tuple[int, int], tuple[int, int]]:
    """Sample numbers (first, last) between which the red of each lip line lies: upper, lower."""
    u0, u1 = head.shares("lips", "vermilion_upper").astype(int) * PER_SEGMENT
    l0, l1 = head.shares("lips", "vermilion_lower").astype(int) * PER_SEGMENT
    return (int(u0), int(u1)), (int(l0), int(l1))
