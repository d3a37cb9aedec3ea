"""What the tests of the sound share: waves made once, and what is measured on a wave alone."""

from __future__ import annotations

from functools import cache

import numpy as np
from scipy.linalg import solve_toeplitz
from scipy.signal import resample_poly, welch

from articulators.curves import Array
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.spoken import spoken
from vocaltract.speech import say

RATE_HZ = sound_rules().sampling.rate_hz


@cache
def said(text: str, pitch_hz: float | None = None) -> tuple[Timeline, Array]:
    """A timeline and its wave."""
    timeline = say(text)
    return timeline, spoken(timeline, pitch_hz=pitch_hz)


def between(wave: Array, start_s: float, end_s: float) -> Array:
    """A stretch of a wave."""
    return wave[round(start_s * RATE_HZ) : round(end_s * RATE_HZ)]


def level_db(wave: Array) -> float:
    """Root mean square of a stretch in dB."""
    return float(10 * np.log10(np.mean(np.square(wave)) + 1e-30))


def spectral_peak_hz(wave: Array, from_hz: float) -> float:
    """Frequency above `from_hz` at which a stretch has most power, in bands of 300 Hz."""
    hz, power = welch(wave, RATE_HZ, nperseg=min(240, len(wave)), nfft=1024)
    smooth = np.convolve(power, np.ones(13) / 13, mode="same")
    above = hz >= from_hz
    return float(hz[above][np.argmax(smooth[above])])


def formants_hz(wave: Array, order: int = 12) -> Array:
    """Formants by linear prediction: autocorrelation method at 10 kHz (J. Makhoul 1975), poles narrower than 500 Hz."""
    slow = resample_poly(wave, 5, 12)
    rate = RATE_HZ * 5 / 12
    x = np.append(slow[0], slow[1:] - 0.97 * slow[:-1]) * np.hamming(len(slow))
    r = np.correlate(x, x, mode="full")[len(x) - 1 :][: order + 1]
    poles = np.roots(np.concatenate([[1.0], -solve_toeplitz(r[:order], r[1 : order + 1])]))
    poles = poles[poles.imag > 0]
    hz, width = np.angle(poles) * rate / (2 * np.pi), -np.log(np.abs(poles)) * rate / np.pi
    return np.sort(hz[(width < 500) & (hz > 150)])


def onset_s(wave: Array, start_s: float, end_s: float, share: float = 0.05) -> float:
    """When within a stretch the wave first reaches a share of its peak there."""
    part = np.abs(between(wave, start_s, end_s))
    return start_s + float(np.argmax(part >= share * part.max())) / RATE_HZ
