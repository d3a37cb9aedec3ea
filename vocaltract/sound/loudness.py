"""Loudness and true peak of a wave at 48 kHz (ITU-R BS.1770), and a wave brought to a loudness without clipping."""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.ndimage import minimum_filter1d, uniform_filter1d

from articulators.curves import Array
from articulators.errors import BadInput
from articulators.records import Pair, Record, Row, table

LOUDNESS_RATE_HZ = 48000


class Filter(Row, frozen=True):
    """A filter of second order: numerator and denominator."""

    b: tuple[float, ...]
    a: tuple[float, ...]


class Gating(Row, frozen=True):
    """Blocks that are averaged, and which of them count."""

    block_s: float
    step_s: float
    absolute_lufs: float
    relative_lu: float
    offset_db: float


class LoudnessTarget(Row, frozen=True):
    """How loud things are made, and how high they may peak."""

    usual_lufs: float
    range_lufs: Pair
    peak_dbtp: float
    limiter_s: float
    oversampled: int


class LoudnessRules(Record, frozen=True):
    """data/loudness.toml."""

    head: Filter
    low_cut: Filter
    gating: Gating
    target: LoudnessTarget


@cache
def loudness_rules() -> LoudnessRules:
    """How loudness is measured and what is aimed at."""
    return table("vocaltract.sound", "loudness.toml", LoudnessRules)


def loudness_lufs(samples: Array) -> float:
    """Integrated loudness of one channel (n,) at 48 kHz, full scale 1; minus infinity where nothing passes the gate."""
    from scipy.signal import lfilter

    own = loudness_rules()
    weighted = lfilter(own.low_cut.b, own.low_cut.a, lfilter(own.head.b, own.head.a, samples))
    block, step = (round(s * LOUDNESS_RATE_HZ) for s in (own.gating.block_s, own.gating.step_s))
    if len(samples) < block:
        return float("-inf")
    sums = np.concatenate([[0.0], np.cumsum(np.square(weighted))])
    starts = np.arange(0, len(samples) - block + 1, step)
    power = (sums[starts + block] - sums[starts]) / block
    with np.errstate(divide="ignore"):
        level = own.gating.offset_db + 10 * np.log10(power)
        kept = level > own.gating.absolute_lufs
        if not kept.any():
            return float("-inf")
        gate = own.gating.offset_db + 10 * np.log10(power[kept].mean()) + own.gating.relative_lu
        return float(own.gating.offset_db + 10 * np.log10(power[kept & (level > gate)].mean()))


def true_peak_dbtp(samples: Array) -> float:
    """Highest peak (dB of full scale) of a channel (n,) at 48 kHz between its samples too."""
    from scipy.signal import resample_poly

    if not np.any(samples):
        return float("-inf")
    fine = resample_poly(samples, loudness_rules().target.oversampled, 1)
    return float(20 * np.log10(max(np.abs(fine).max(), np.abs(samples).max())))


def check_loudness(lufs: float) -> float:
    """A loudness that can be asked for; BadInput for others."""
    low, high = loudness_rules().target.range_lufs
    if not low <= lufs <= high:
        raise BadInput(f"loudness {lufs:g} LUFS is out of range; allowed is {low:g} to {high:g} (broadcast: -23)")
    return lufs


def limited(samples: Array) -> Array:
    """The wave (n,) turned down for a moment wherever its true peak would be too high; else as it is."""
    from scipy.signal import resample_poly

    own = loudness_rules().target
    most = 10 ** (own.peak_dbtp / 20)
    fine = np.abs(resample_poly(samples, own.oversampled, 1)).reshape(-1, own.oversampled).max(axis=1)
    needed = np.minimum(1.0, most / np.maximum(np.maximum(fine, np.abs(samples)), 1e-12))
    if needed.min() >= 1:
        return samples
    width = 2 * round(own.limiter_s * LOUDNESS_RATE_HZ / 2) + 1
    return np.asarray(samples * uniform_filter1d(minimum_filter1d(needed, 2 * width), width))
