"""Resonances of a tract made of stacked cylinders, from the glottis (closed) to the lips (open).

Lossless resonances are counted, not searched for: the phase angle of the standing wave at the lips grows
steadily with frequency and passes a quarter turn, three quarters, ... at each, so that none is missed, however
close two lie. Lossy ones are the complex zeros of the chain matrix that these become when losses are put in
little by little.

Shapes are arrays (..., sections), lengths in cm and areas in cm2. A section of area 0 shuts the tract: its
resonances are nan.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from articulators.curves import Array
from articulators.errors import BadInput
from vocaltract.airway import losses as lossy
from vocaltract.airway.losses import Complex, Losses, Medium

STEPS = 4  # steps in which losses are put in
NEWTON = 30
ROUNDS = 3  # how often the steps are made finer
NEAR_HZ, NEAR_SHARE = 1e-3, 2e-3  # two zeros closer than this, or than this share of where they set out, are one
PRECISION, ON_THE_WAY = 1e-8, 1e-3  # of a frequency: 0.01 % is asked for


@dataclass(frozen=True)
class Formants:
    """Resonances in rising order: frequency_hz and bandwidth_hz (-3 dB), each (..., count); nan if shut."""

    frequency_hz: Array
    bandwidth_hz: Array


def checked_tract(length_cm: ArrayLike, area_cm2: ArrayLike) -> tuple[Array, Array]:
    """Both as equal arrays (..., sections). BadInput where they cannot be a tract."""
    try:
        lengths = np.atleast_1d(np.asarray(length_cm, dtype=float))
        length, area = np.broadcast_arrays(lengths, np.atleast_1d(np.asarray(area_cm2, dtype=float)))
    except (TypeError, ValueError):
        raise BadInput("lengths and areas must be numbers, as many lengths as areas") from None
    if length.size == 0:
        raise BadInput("a tract needs at least one section")
    for what, unit, values in (("length", "cm", length), ("area", "cm2", area)):
        bad = ~np.isfinite(values) | (values < 0)
        if np.any(bad):
            where = int(np.argwhere(bad)[0][-1]) + 1
            raise BadInput(f"{what} of section {where} is {values[bad].flat[0]:g}; allowed is 0 {unit} or more")
    if np.any(length.sum(axis=-1) <= 0):
        raise BadInput("the tract has no length: all its sections are 0 cm long")
    return length, area


def _stand_in(area: Array) -> tuple[Array, Array]:
    """Areas that can be computed with, and which tracts (...) are shut: those are replaced whole."""
    closed = np.any(area <= 0, axis=-1)
    return np.where(closed[..., None], 1.0, area), closed


def angle(omega: Array, length: Array, area: Array, speed: float, mass: float = 0.0) -> tuple[Array, Array]:
    """Phase angle (rad) of the wave at the far end, and its derivative, for omega (..., k) 1/s.

    0 at the near end, which is closed. The pressure at the far end is 0 where it is an odd number of quarter
    turns, the flow where it is an even number. `mass`: share of the air in front of the opening.
    """
    phase: Array = np.zeros(omega.shape)
    slope: Array = np.zeros(omega.shape)
    for i in range(length.shape[-1]):
        if i:
            phase, slope = _step(phase, slope, area[..., i - 1 : i] / area[..., i : i + 1])
        along = length[..., i : i + 1] / speed
        phase = phase + omega * along
        slope = slope + along
    if mass:
        last = mass * lossy.end_correction_cm(area[..., -1:]) / speed
        phase, slope = phase + np.arctan(omega * last), slope + last / (1 + (omega * last) ** 2)
    return phase, slope


def _step(phase: Array, slope: Array, ratio: Array) -> tuple[Array, Array]:
    """Pressure and flow stay, the area changes: the tangent of the angle is multiplied by `ratio`."""
    turns = np.round(phase / np.pi) * np.pi
    sine, cosine = ratio * np.sin(phase - turns), np.cos(phase - turns)
    return turns + np.arctan2(sine, cosine), slope * ratio / (sine**2 + cosine**2)


def crossings(length: Array, area: Array, speed: float, targets: Array, mass: float = 0.0) -> Array:
    """Omega (..., k) at which the angle reaches targets (k,): bracketed, then Newton kept inside the bracket."""
    shape = (*length.shape[:-1], len(targets))
    grid = np.linspace(0, 1.5 * targets[-1] * speed, 97)[1:] / length.sum(axis=-1)[..., None]
    while True:
        reached = angle(grid, length, area, speed, mass)[0]
        if np.all(reached[..., -1] > targets[-1]):
            break
        grid = grid * 2
    below = np.sum(reached[..., None, :] <= targets[:, None], axis=-1)
    padded = np.concatenate([np.zeros((*grid.shape[:-1], 1)), grid], axis=-1)
    low = np.take_along_axis(padded, below, axis=-1)
    high = np.take_along_axis(padded, np.minimum(below + 1, grid.shape[-1]), axis=-1)
    at = np.broadcast_to((low + high) / 2, shape)
    for _ in range(80):
        phase, slope = angle(at, length, area, speed, mass)
        off = phase - targets
        low, high = np.where(off <= 0, at, low), np.where(off > 0, at, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            moved = at - off / slope
        inside = (moved > low) & (moved < high)
        moved = np.where(inside, moved, (low + high) / 2)
        done = np.abs(moved - at) <= 1e-11 * high
        at = moved
        if np.all(done):
            break
    return at


def hard_hz(length: Array, area: Array, air: Medium, count: int, mass: float = 0.0, ends_shut: bool = False) -> Array:
    """Lossless resonances (..., count) in Hz of checked shapes without shut sections."""
    order = np.arange(1, count + 1)
    targets = order * np.pi if ends_shut else (order - 0.5) * np.pi
    return crossings(length, area, air.speed, targets, mass) / (2 * np.pi)


def chain(s: Complex, length: Array, area: Array, air: Medium, losses: Losses) -> tuple[Complex, ...]:
    """Chain matrix a, b, c, d, each (..., k), from near end to far end at s (..., k).

    (pressure, flow) at the near end = [[a, b], [c, d]] times those at the far end.
    """
    series, shunt = lossy.series_and_shunt(s[..., None], area[..., None, :], air, losses)
    spread = np.sqrt(series * shunt)
    grown = np.exp(spread * length[..., None, :])
    same, change = (grown + 1 / grown) / 2, (grown - 1 / grown) / 2
    impedance = series / spread
    a, b, c, d = (m.astype(np.complex128) for m in (same, change * impedance, change / impedance, same))
    while a.shape[-1] > 1:
        n = a.shape[-1] // 2
        left, right = slice(0, 2 * n, 2), slice(1, 2 * n, 2)
        a1, b1, c1, d1 = (m[..., left] for m in (a, b, c, d))
        a2, b2, c2, d2 = (m[..., right] for m in (a, b, c, d))
        rest = [m[..., 2 * n :] for m in (a, b, c, d)]
        joined = (a1 * a2 + b1 * c2, a1 * b2 + b1 * d2, c1 * a2 + d1 * c2, c1 * b2 + d1 * d2)
        a, b, c, d = (np.concatenate([m, r], axis=-1) for m, r in zip(joined, rest, strict=True))
    return a[..., 0], b[..., 0], c[..., 0], d[..., 0]


def denominator(s: Complex, length: Array, area: Array, air: Medium, losses: Losses) -> Complex:
    """Flow at the glottis over flow at the lips, (..., k) at s (..., k); its zeros are the resonances."""
    _, _, c, d = chain(s, length, area, air, losses)
    return c * lossy.opening(s, area[..., -1:], air, losses) + d


def zeros(
    function: Callable[[Complex], Complex], start: Complex, precision: float
) -> tuple[Complex, NDArray[np.bool_]]:
    """Zeros near `start` (..., k) of an analytic function(s), by Newton; and whether each was reached."""
    s, last = start, np.full(start.shape, np.inf)
    for _ in range(NEWTON):
        h = 1e-7 * np.abs(s)
        value = function(s)
        with np.errstate(divide="ignore", invalid="ignore"):
            move = -value * h / (function(s + h) - value)
        move = np.where(np.isfinite(move), move, 0)
        limit = 0.05 * np.abs(s)
        size = np.abs(move)
        s = s + move * np.minimum(1, limit / np.maximum(size, 1e-300))
        last = size / np.abs(s)
        if np.all(last < precision):
            break
    return s, last < 10 * precision


def _with_share(function: Callable[[Complex, float], Complex], share: float, s: Complex) -> Complex:
    return function(s, share)


def _found_twice(s: Complex, start_hz: Array) -> NDArray[np.bool_]:
    """True (..., k) for a zero that lies on an earlier one although the two set out apart."""
    apart = np.abs(s[..., :, None] - s[..., None, :]) / (2 * np.pi)
    before = np.abs(start_hz[..., :, None] - start_hz[..., None, :])
    same = (apart < NEAR_HZ) | (apart < NEAR_SHARE * before)
    return np.any(same & np.tri(s.shape[-1], k=-1, dtype=bool), axis=-1)


def followed(function: Callable[[Complex, float], Complex], start_hz: Array) -> Formants:
    """Resonances that lossless ones (..., k) become as function(s, share) takes losses in from share 0 to 1.

    Where two fall together on the way, the steps are made finer; what still fails is nan.
    """
    steps = STEPS
    for _ in range(ROUNDS):
        s = (2j * np.pi * start_hz).astype(np.complex128)
        step = np.zeros_like(s)
        good = np.ones(s.shape, dtype=bool)
        for i in range(1, steps + 1):
            before = s
            share = i / steps
            precision = PRECISION if i == steps else ON_THE_WAY
            s, found = zeros(partial(_with_share, function, share), s + step, precision)
            step = s - before
            good &= found
        hz = np.abs(s.imag) / (2 * np.pi)
        twice = _found_twice(s, start_hz)
        if np.all(good) and not np.any(twice) and np.all(hz > 1):
            break
        steps *= 4
    failed = ~good | twice
    order = np.argsort(np.where(failed, np.inf, hz), axis=-1)
    frequency = np.take_along_axis(np.where(failed, np.nan, hz), order, axis=-1)
    width = np.take_along_axis(np.where(failed, np.nan, -s.real / np.pi), order, axis=-1)
    return Formants(frequency, width)


def formants(
    length_cm: ArrayLike,
    area_cm2: ArrayLike,
    *,
    losses: Losses = lossy.ALL,
    sound_speed_cm_s: float | None = None,
    count: int = 5,
) -> Formants:
    """Formants (..., count) and their -3 dB bandwidths with losses, from the complex zeros of the chain matrix.

    Raises BadInput for lengths or areas that are negative or not finite. A shut tract gives nan.
    """
    length, area = checked_tract(length_cm, area_cm2)
    air = lossy.medium(sound_speed_cm_s)
    usable, closed = _stand_in(area)
    extra = 2  # a wide zero may pass its neighbour: follow more than are asked for
    start = hard_hz(length, usable, air, count + extra, losses.mass)
    found = followed(lambda s, share: denominator(s, length, usable, air, losses.scaled(share)), start)
    nothing = closed[..., None]
    return Formants(
        np.where(nothing, np.nan, found.frequency_hz[..., :count]),
        np.where(nothing, np.nan, found.bandwidth_hz[..., :count]),
    )


def resonances_hz(
    length_cm: ArrayLike,
    area_cm2: ArrayLike,
    *,
    lossless: bool = False,
    sound_speed_cm_s: float | None = None,
    end_correction: bool = False,
    count: int = 5,
) -> Array:
    """The first `count` resonances (..., count) in Hz of sections from the glottis (closed) to the lips.

    lossless: hard walls and zero pressure at the lips; with `end_correction` the last section is longer by
    8/(3 pi) of its radius. Else walls, friction, heat and radiation as in data/acoustics.toml.
    A shut section (area 0) gives nan. BadInput for what cannot be a tract, and for a count below 1.
    """
    if count < 1:
        raise BadInput(f"count is {count}; allowed is 1 or more")
    if not lossless:
        return formants(length_cm, area_cm2, sound_speed_cm_s=sound_speed_cm_s, count=count).frequency_hz
    length, area = checked_tract(length_cm, area_cm2)
    usable, closed = _stand_in(area)
    if end_correction:
        length = np.concatenate(
            [length[..., :-1], length[..., -1:] + lossy.end_correction_cm(usable[..., -1:])], axis=-1
        )
    found = hard_hz(length, usable, lossy.medium(sound_speed_cm_s), count)
    return np.where(closed[..., None], np.nan, found)


def transfer(
    frequency_hz: ArrayLike,
    length_cm: ArrayLike,
    area_cm2: ArrayLike,
    *,
    losses: Losses = lossy.ALL,
    sound_speed_cm_s: float | None = None,
) -> Complex:
    """Flow at the lips over flow at the glottis, (..., k) at frequencies (k,) above 0 Hz; nan if shut."""
    length, area = checked_tract(length_cm, area_cm2)
    s = 2j * np.pi * np.atleast_1d(np.asarray(frequency_hz, dtype=float))
    usable, closed = _stand_in(area)
    value = 1 / denominator(
        np.broadcast_to(s, (*length.shape[:-1], len(s))), length, usable, lossy.medium(sound_speed_cm_s), losses
    )
    return np.where(closed[..., None], np.nan, value)


def peaks(frequency_hz: Array, response: Complex) -> Formants:
    """Peaks of a response (k,) sampled at rising frequencies (k,), with their widths 3 dB down.

    A peak whose neighbour lies less than 3 dB below has the width nan: take it from `formants`.
    """
    level = 20 * np.log10(np.abs(response))
    tops = np.flatnonzero((level[1:-1] > level[:-2]) & (level[1:-1] >= level[2:])) + 1
    at, widths = [], []
    for i in map(int, tops):
        left, top, right = level[i - 1 : i + 2]
        shift = (left - right) / (2 * (left - 2 * top + right))
        at.append(frequency_hz[i] + shift * (frequency_hz[i + 1] - frequency_hz[i - 1]) / 2)
        down = top - (left - right) * shift / 4 - 20 * np.log10(2) / 2
        widths.append(_side(frequency_hz, level, i, 1, down) - _side(frequency_hz, level, i, -1, down))
    return Formants(np.array(at), np.array(widths))


def _side(frequency_hz: Array, level: Array, top: int, way: int, down: float) -> float:
    """Frequency on one side of a top at which the level has fallen to `down`; nan if it rises before."""
    i = top
    while 0 < i < len(level) - 1 and level[i + way] < level[i]:
        i += way
        if level[i] <= down:
            share = (down - level[i - way]) / (level[i] - level[i - way])
            return float(frequency_hz[i - way] + share * (frequency_hz[i] - frequency_hz[i - way]))
    return float("nan")
