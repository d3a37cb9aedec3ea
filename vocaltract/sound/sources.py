"""What makes the sound: pulses of the folds, breath through them, hiss at the narrowest place, pressure let go.

Arrays (samples,) at the rate of the wave; tracks that they are made from are given at the same samples.
"""

from __future__ import annotations

import numpy as np
from scipy.signal import lfilter, resample_poly

from articulators.curves import Array, Bools
from vocaltract.airway.losses import acoustics, medium
from vocaltract.sound.sound_rules import Turbulence, sound_rules

OVERSAMPLED = 4  # the closing of the folds is sharper than the samples of the wave


def steadied(on: Bools, rate_hz: float) -> Array:
    """A switch (n,) as a strength 0..1 that rises after it and dies after it."""
    own = sound_rules().folds
    rising = _followed(on.astype(float), own.rise_s * rate_hz)
    falling = _followed(on.astype(float), own.fall_s * rate_hz)
    return np.where(on, rising, np.minimum(falling, 1.0))


def _followed(values: Array, samples: float) -> Array:
    keep = np.exp(-1 / samples)
    return np.asarray(lfilter([1 - keep], [1, -keep], values))


def phase(pitch_hz: Array, on: Bools, rate_hz: float) -> Array:
    """Periods (n,) gone through, at a pitch (n,); where the voice comes on a period begins anew."""
    own = sound_rules().folds
    turns = np.cumsum(pitch_hz) / rate_hz
    starts = np.flatnonzero(on & ~np.concatenate([[False], on[:-1]]))
    if len(starts) == 0:
        return turns
    which = np.clip(np.searchsorted(starts, np.arange(len(on)), side="right") - 1, 0, None)
    return np.asarray(turns - turns[starts][which] + own.starts_at_share)


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
    return 27 / 4 * x**2 * (1 - x)


def reynolds(across_pa: Array, wide_cm: Array) -> Array:
    """Reynolds number (n,) of air that is pressed through an opening with a hydraulic diameter (n,)."""
    air = medium()
    speed = np.sqrt(2 * np.maximum(across_pa, 0) * 10 / air.density)
    return np.asarray(speed * wide_cm * air.density / acoustics().friction.viscosity)


def turbulence_dyn_cm2(across_pa: Array, area_cm2: Array, wide_cm: Array, row: Turbulence) -> Array:
    """Pressure (n,) of the noise of air that is pressed through openings (n,), dying out at the critical Reynolds number."""
    above = np.clip(1 - (row.critical / np.maximum(reynolds(across_pa, wide_cm), 1)) ** 2, 0, 1)
    return above * row.gain * np.maximum(across_pa, 0) ** row.pressure_power * area_cm2**row.area_power


def voiced(phases: Array, open_share: Array, apart: Array, rate_hz: float) -> Array:
    """Change of flow (n,) of pulses at phases (n,), the closing the softer the farther the folds are apart (0..1)."""
    own = sound_rules().folds
    fine = np.arange(len(phases) * OVERSAMPLED) / OVERSAMPLED
    at = np.arange(len(phases))
    sharp = pulses(np.interp(fine, at, phases), np.interp(fine, at, open_share))
    rate = rate_hz * OVERSAMPLED
    close = resample_poly(_followed(sharp, rate / (2 * np.pi * own.tilt_hz)), 1, OVERSAMPLED)
    soft = resample_poly(_followed(sharp, rate / (2 * np.pi * own.apart_tilt_hz)), 1, OVERSAMPLED)
    return np.asarray(close + apart * (soft - close))


def teeth_share(tract) -> Array:
    """How much of the noise (m,) a jet makes that may meet the teeth."""
    own = sound_rules().teeth
    teeth = np.argmax(tract.lips_at, axis=1)
    behind = (teeth - tract.hiss_at) * tract.section_cm
    met = np.interp(behind, [own.from_cm, own.full_cm, own.full_cm + own.fades_cm], [0, 1, 0])
    return own.free_share + (1 - own.free_share) * met
