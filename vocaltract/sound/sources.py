"""What makes the sound: pulses of the folds, breath through them, hiss at the narrowest place, pressure let go.

Strengths are tracks (n,) at TRACK_RATE_HZ; what is heard is an array of samples, made for any stretch of them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import minimum_filter1d

from articulators.curves import Array, Bools
from vocaltract.airway.air import speech_air
from vocaltract.airway.breath import flow_ml_s
from vocaltract.airway.losses import acoustics, medium
from vocaltract.sound.sound_rules import Turbulence, sound_rules

TRACK_RATE_HZ = 1000
OVERSAMPLED = 4  # the closing of the folds is sharper than the samples of the wave
LEAD_SAMPLES = 64  # what comes before a stretch, so that filters have forgotten where they began
NOISE_BLOCK = 4096
WIDEST_OPEN_SHARE = 0.95
DYN_CM2_PER_PA = 10.0


@dataclass(frozen=True)
class AirTracks:
    """What the sources are made from, each (n,) at TRACK_RATE_HZ.

    voicing     True where the folds vibrate           pitch_hz   of their vibration
    across_pa   pressure across the folds              glottis_cm2, apart   opening, and 0..1 of the farthest apart
    mouth_pa    pressure behind the narrowest place    mouth_cm2, mouth_ml_s   its opening, and the flow through it
    heard       0..1: 0 where a film stands still
    """

    voicing: Bools
    pitch_hz: Array
    across_pa: Array
    glottis_cm2: Array
    apart: Array
    mouth_pa: Array
    mouth_cm2: Array
    mouth_ml_s: Array
    heard: Array


@dataclass(frozen=True)
class Strengths:
    """Strengths of the sources, each (n,) at TRACK_RATE_HZ.

    phase       periods of the folds gone through      open_share   of a period in which they are apart
    voice       peak change of their flow, cm3/s2      apart        0..1, the softer they meet
    modulates   0..1: how much their flow pulses       breath, hiss   pressure of the noise, dyn/cm2
    let_go      change of the flow that a closure lets go of, cm3/s2
    """

    phase: Array
    open_share: Array
    voice: Array
    apart: Array
    modulates: Array
    breath: Array
    hiss: Array
    let_go: Array


@dataclass(frozen=True)
class Sources:
    """Samples (n,): change of flow at the folds; noise pressure there and at the narrowest place; change of the flow
    that is let go of there."""

    voice: Array
    breath: Array
    hiss: Array
    let_go: Array


def strengths(air: AirTracks, seed: int) -> Strengths:
    """Strengths of the sources."""
    own, folds = sound_rules().folds, speech_air().glottis
    strength = air.heard * steadied(air.voicing)
    pitch = air.pitch_hz * _unsteady(len(air.pitch_hz), seed)
    flow = flow_ml_s(np.minimum(air.glottis_cm2, folds.voicing_area_cm2), np.maximum(air.across_pa, 0))
    open_share = np.minimum(own.open_share + air.apart * own.apart_open_share, WIDEST_OPEN_SHARE)
    slit_cm = 2 * air.glottis_cm2 / (folds.length_mm / 10)
    groove_cm = np.sqrt(4 * air.mouth_cm2 / np.pi)
    just_shut = minimum_filter1d(air.mouth_cm2, 2 * round(own.lets_go_s * TRACK_RATE_HZ) + 1) <= 0
    rises = np.maximum(np.diff(air.mouth_ml_s, prepend=0.0), 0) * TRACK_RATE_HZ * just_shut
    return Strengths(
        phase(pitch, air.voicing),
        open_share,
        strength * own.peak_to_mean * flow * pitch,
        air.apart,
        strength,
        air.heard * turbulence_dyn_cm2(air.across_pa, air.glottis_cm2, slit_cm, sound_rules().breath),
        air.heard * turbulence_dyn_cm2(air.mouth_pa, air.mouth_cm2, groove_cm, sound_rules().hiss),
        air.heard * rises,
    )


def sounding(made: Strengths, first: int, count: int, seed: int) -> Sources:
    """`count` samples of the sources from sample `first` on; the same wherever a stretch begins."""
    rate = sound_rules().sampling.rate_hz
    numbers = np.arange(first - LEAD_SAMPLES, first + count)
    at = numbers * (TRACK_RATE_HZ / rate)
    grid = np.arange(len(made.phase))

    def fine(track: Array, times: Array = at) -> Array:
        return np.interp(times, grid, track)

    phases, open_share = fine(made.phase), fine(made.open_share)
    between = at[0] + np.arange(len(at) * OVERSAMPLED) * (TRACK_RATE_HZ / rate / OVERSAMPLED)
    sharp = pulses(fine(made.phase, between), fine(made.open_share, between))
    voice = _softened(sharp, fine(made.apart), rate) * fine(made.voice)
    modulated = 1 + (flow_shape(phases, open_share) - 0.5) * fine(made.modulates)
    found = (
        voice,
        fine(made.breath) * modulated * noise_at(numbers[0], len(numbers), seed),
        fine(made.hiss) * modulated * noise_at(numbers[0], len(numbers), seed + 1),
        fine(made.let_go),
    )
    return Sources(*(values[LEAD_SAMPLES:] for values in found))


def steadied(on: Bools) -> Array:
    """A switch (n,) as a strength 0..1 that rises after it and dies after it."""
    own = sound_rules().folds
    rising = _followed(on.astype(float), own.rise_s * TRACK_RATE_HZ)
    return np.where(on, rising, _followed(on.astype(float), own.fall_s * TRACK_RATE_HZ))


def _followed(values: Array, samples: float) -> Array:
    from scipy.signal import lfilter

    keep = np.exp(-1 / samples)
    return np.asarray(lfilter([1 - keep], [1, -keep], values))


def phase(pitch_hz: Array, on: Bools) -> Array:
    """Periods (n,) gone through, at a pitch (n,); where the voice comes on a period begins anew."""
    turns = np.cumsum(pitch_hz) / TRACK_RATE_HZ
    starts = np.flatnonzero(on & ~np.concatenate([[False], on[:-1]]))
    if len(starts) == 0:
        return np.asarray(turns)
    which = np.clip(np.searchsorted(starts, np.arange(len(on)), side="right") - 1, 0, None)
    return np.asarray(turns - turns[starts][which] + sound_rules().folds.starts_at_share)


def pulses(phases: Array, open_share: Array) -> Array:
    """Change of flow (n,) at phases (n,) in periods: flow through folds that part slowly and meet at once.

    Flow is 27/4 x^2 (1 - x) over the open share of a period, whose peak is 1 (D. H. Klatt & L. C. Klatt 1990); the
    change counts for one period, not one second.
    """
    x = (phases % 1) / open_share
    return np.where(x < 1, 27 / 4 * (2 * x - 3 * x**2) / open_share, 0.0)


def flow_shape(phases: Array, open_share: Array) -> Array:
    """Flow (n,) of the same pulses, peak 1."""
    x = np.minimum((phases % 1) / open_share, 1)
    return np.asarray(27 / 4 * x**2 * (1 - x))


def _softened(sharp: Array, apart: Array, rate_hz: float) -> Array:
    """Pulses (OVERSAMPLED n,) as samples (n,), the closing the softer the farther the folds are apart (n,)."""
    from scipy.signal import resample_poly

    own = sound_rules().folds
    corner = rate_hz * OVERSAMPLED / (2 * np.pi)
    close, soft = (
        resample_poly(_followed(sharp, corner / hz), 1, OVERSAMPLED) for hz in (own.tilt_hz, own.apart_tilt_hz)
    )
    return np.asarray(close + apart * (soft - close))


def reynolds(across_pa: Array, wide_cm: Array) -> Array:
    """Reynolds number (n,) of air that is pressed through an opening with a hydraulic diameter (n,)."""
    air = medium()
    speed = np.sqrt(2 * np.maximum(across_pa, 0) * DYN_CM2_PER_PA / air.density)
    return np.asarray(speed * wide_cm * air.density / acoustics().friction.viscosity)


def turbulence_dyn_cm2(across_pa: Array, area_cm2: Array, wide_cm: Array, row: Turbulence) -> Array:
    """Pressure (n,) of the noise of air pressed through openings (n,); none below the critical Reynolds number."""
    above = np.clip(1 - (row.critical / np.maximum(reynolds(across_pa, wide_cm), 1)) ** 2, 0, 1)
    pressure = np.maximum(across_pa, 0) ** row.pressure_power * area_cm2**row.area_power
    return np.asarray(above * row.gain * pressure)


def noise_at(first: int, count: int, seed: int) -> Array:
    """`count` samples of noise from sample `first` on (which may be below 0), deviation 1."""
    blocks = range(first // NOISE_BLOCK, (first + count - 1) // NOISE_BLOCK + 1)
    made = [np.random.default_rng([seed, number + 1]).standard_normal(NOISE_BLOCK) for number in blocks]
    begin = first - blocks[0] * NOISE_BLOCK
    return np.concatenate(made)[begin : begin + count]


def _unsteady(count: int, seed: int) -> Array:
    """Factor (count,) by which pitch drifts about, a new value every 50 ms."""
    every = TRACK_RATE_HZ // 20
    knots = np.random.default_rng([seed, 0]).standard_normal(count // every + 2)
    return 1 + sound_rules().folds.unsteady_share * np.interp(np.arange(count) / every, np.arange(len(knots)), knots)
