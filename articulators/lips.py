"""Lips before contact: states blended, then moved up or down until the asked gap is met."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from articulators import jaw
from articulators.curves import Array, spline_matrix
from articulators.head import Head
from articulators.posture import Posture

PER_SEGMENT = 8
UNTUCKED_ALLOWANCE_MM = 12.0  # how far the upper incisor is out of the untucked lower lip's reach
# where heights are compared, from before the adult man's rounded lips to behind his teeth; in proportion in other heads
STATIONS_MM = np.arange(-27.0, 18.01, 0.5)
UpperAndLower: TypeAlias = tuple[Array, Array]
PASSES = 6  # of measuring the gap and moving the lips by what is missing


@lru_cache(maxsize=8)
def _sampling(head: Head) -> tuple[Array, Array, Array]:
    incisor = head.palate.upper_incisor
    return (
        spline_matrix(head.lips.upper_rest, PER_SEGMENT),
        spline_matrix(head.lips.lower_rest, PER_SEGMENT),
        spline_matrix(incisor, PER_SEGMENT, closed=True) @ incisor,
    )


@dataclass(frozen=True)
class _Heights:
    """Where n moments of a line stand over the stations, sorted by moment and station: one entry per meeting.

    at       (h,) height in mm of the line as given     rise   (h,) mm that it rises there per mm of movement
    moment   (h,) whose                                 first  first meeting at each station of `where`
    where    place (k,) of these stations in a table (n, stations), flat
    """

    at: Array
    rise: Array
    moment: NDArray[np.intp]
    first: NDArray[np.intp]
    where: NDArray[np.intp]

    def lowest(self, moved_mm: Array, sign: float = 1.0) -> Array:
        """Lowest height (n, stations) after a movement (n,), inf where none; sign -1: minus the highest."""
        table = np.full((len(moved_mm), len(STATIONS_MM)), np.inf)
        if len(self.at):
            heights = sign * (self.at + self.rise * moved_mm[self.moment])
            table.reshape(-1)[self.where] = np.minimum.reduceat(heights, self.first)
        return table


def _heights(head: Head, line: Array, rise: Array) -> _Heights:
    """Lines (n, points, 2) over the stations; `rise` (points,) mm that each point rises per mm of movement."""
    stations = STATIONS_MM * head.size
    ax, bx = line[:, :-1, 0], line[:, 1:, 0]
    low, high = np.minimum(ax, bx).ravel(), np.maximum(ax, bx).ravel()
    start, step = stations[0], stations[1] - stations[0]
    first = np.clip(np.ceil((low - start) / step - 1e-6), 0, len(STATIONS_MM)).astype(np.intp)
    last = np.clip(np.floor((high - start) / step + 1e-6), -1, len(STATIONS_MM) - 1).astype(np.intp)
    count = np.maximum(last - first + 1, 0)
    piece = np.repeat(np.arange(len(count)), count)
    station = first[piece] + np.arange(len(piece)) - np.repeat(np.cumsum(count) - count, count)
    met = (low[piece] <= stations[station]) & (high[piece] >= stations[station])
    piece, station = piece[met], station[met]
    moment, point = np.divmod(piece, ax.shape[1])
    cell = moment * len(STATIONS_MM) + station
    order = np.argsort(cell, kind="stable")
    moment, point, station, cell = moment[order], point[order], station[order], cell[order]
    width = bx[moment, point] - ax[moment, point]
    width = np.where(np.abs(width) < 1e-9, 1e-9, width)
    share = np.clip((stations[station] - ax[moment, point]) / width, 0, 1)
    ay, by = line[moment, point, 1], line[moment, point + 1, 1]
    new = np.flatnonzero(np.diff(cell, prepend=-1))
    rises = rise[point] + share * (rise[point + 1] - rise[point])
    return _Heights(ay + share * (by - ay), rises, moment, new, cell[new])


@lru_cache(maxsize=8)
def _tooth_mm(head: Head) -> Array:
    """Lowest height (stations,) of the upper incisor."""
    tooth = _sampling(head)[2][None]
    return _heights(head, tooth, np.zeros(tooth.shape[1])).lowest(np.zeros(1))[0]


def _gap_mm(to_lip: Array, to_tooth: Array, tucked: Array) -> Array:
    """Narrowest vertical gap (n,) under the upper lip and, as far as the lower lip is tucked, the upper incisor."""
    under_lip, under_tooth = to_lip.min(axis=-1), to_tooth.min(axis=-1)
    under_lip = np.where(np.isfinite(under_lip), under_lip, under_tooth)
    under_tooth = np.where(np.isfinite(under_tooth), under_tooth, under_lip)
    share = tucked**2 * (3 - 2 * tucked)  # a lip drawn in goes over from one to the other without a kink
    with np.errstate(invalid="ignore"):  # under neither of them there is no gap
        return np.asarray(under_lip + share * (under_tooth - under_lip))


def outlines(head: Head, posture: Posture) -> tuple[Array, Array]:
    """Upper and lower lip lines (..., n, 2) in mm, from skin to vestibule and back, before contact."""
    up, down, _ = _sampling(head)
    rest_upper, rest_lower = head.lips.upper_rest, head.lips.lower_rest
    rounded, spread, tucked = (posture[k][..., None, None] for k in ("rounded", "spread", "tucked"))
    upper = rest_upper + rounded * (head.lips.upper_rounded - rest_upper)
    upper = upper + spread * (1 - rounded) * (head.lips.upper_spread - rest_upper)
    lower: Array = rest_lower + rounded * (head.lips.lower_rounded - rest_lower)
    lower = lower + spread * (1 - rounded) * (head.lips.lower_spread - rest_lower)
    lower = lower + tucked * (1 - rounded) * (head.lips.lower_tucked - rest_lower)
    moves_up, moves_down = head.lips.upper_moves, head.lips.lower_moves
    upper = upper + (posture["upper_raise_mm"][..., None] * moves_up)[..., None] * np.array([0.0, 1.0])
    lower = jaw.carry(head, lower, posture["jaw_mm"])
    upper, lower = up @ upper, down @ lower
    rises, falls = down @ moves_down, up @ moves_up
    drop, lift = _closed(head, posture, (upper, falls), (lower, rises))
    shift = np.array([0.0, 1.0])
    return upper - (drop * falls)[..., None] * shift, lower + (lift * rises)[..., None] * shift


def _closed(head: Head, posture: Posture, upper: UpperAndLower, lower: UpperAndLower) -> UpperAndLower:
    """How far (..., 1) the upper lip goes down and the lower one up, in mm, for the gap that the posture asks for.

    Each lip comes as its line (..., points, 2) and the share (points,) of the movement that its points follow. Only
    heights change, so that where the lines stand over the stations is found once.
    """
    shape = posture.shape
    above, below = (line.reshape(-1, *line.shape[-2:]) for line, _ in (upper, lower))
    over, under = _heights(head, above, upper[1]), _heights(head, below, lower[1])
    tucked, asked = posture["tucked"].reshape(-1), posture["aperture_mm"].reshape(-1)
    share, limit = head.lips.upper_share, head.lips.upper_limit_mm
    closing = np.zeros(len(above))
    for again in range(PASSES):
        drop = np.minimum(share * np.maximum(closing, 0), limit) * (1 - tucked)
        lift = closing - drop
        if again == PASSES - 1:
            break
        minus_floor = under.lowest(lift, -1.0)
        gap = _gap_mm(over.lowest(-drop) + minus_floor, _tooth_mm(head) + minus_floor, tucked)
        # a jaw dropped so far that nothing stands above the lip: the plain difference in height
        for i in np.flatnonzero(~np.isfinite(gap)):
            gap[i] = (above[i, :, 1] - drop[i] * upper[1]).min() - (below[i, :, 1] + lift[i] * lower[1]).max()
        closing = closing + gap - asked
    return drop.reshape(*shape, 1), lift.reshape(*shape, 1)


def vermilion(head: Head) -> tuple[tuple[int, int], tuple[int, int]]:
    """Sample numbers (first, last) between which the red of each lip line lies: upper, lower."""
    (u0, u1), (l0, l1) = head.lips.vermilion_upper, head.lips.vermilion_lower
    return (u0 * PER_SEGMENT, u1 * PER_SEGMENT), (l0 * PER_SEGMENT, l1 * PER_SEGMENT)
