"""Sources sent through responses that change: windowed at moments, filtered, added up.

A response rings for `response_samples`; it is worked out with some damping, which is taken out again, so that what
would ring longer does not come round to its beginning.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from articulators.curves import Array, Indices
from vocaltract.airway.losses import Complex
from vocaltract.sound.sound_rules import sound_rules

FADES_OVER = 4  # what rings longer fades over a quarter of the response, not cut off with a click


@dataclass(frozen=True)
class Spectrum:
    """Frequencies at which responses are worked out, of all that a response has.

    s      (k,) complex frequency in 1/s, damped
    low    (bins,) for every bin the chosen frequency below it, and `share` (bins,) of the way to the next
    band   (bins,) what all responses have in common: they end softly below half the rate, and come `lead_samples`
           later, since a band that ends rings a little before as well as after
    decay  (response_samples,) of the damping
    fade   (response_samples,) what takes the damping out, and lets what still rings at the end die
    """

    s: Complex
    low: Indices
    share: Array
    band: Complex
    decay: Array
    fade: Array


@cache
def spectrum() -> Spectrum:
    """The frequencies of the synthesis."""
    own = sound_rules().sampling
    size, number = own.response_samples, np.arange(own.response_samples // 2 + 1)
    hz = number * own.rate_hz / size
    fine, middle = hz <= own.fine_to_hz, hz <= own.coarse_from_hz
    chosen = np.flatnonzero(fine | (middle & (number % 2 == 0)) | (number % 4 == 0))
    low = np.clip(np.searchsorted(chosen, number, side="right") - 1, 0, len(chosen) - 2)
    s = (own.damping_per_s + 2j * np.pi * hz).astype(np.complex128)
    over = np.clip((hz - own.band_hz) / (own.rate_hz / 2 - own.band_hz), 0, 1)
    decay = np.exp(-own.damping_per_s * np.arange(size) / own.rate_hz)
    return Spectrum(
        s=s[chosen],
        low=low,
        share=(number - chosen[low]) / (chosen[low + 1] - chosen[low]),
        band=np.cos(over * np.pi / 2) ** 2 * np.exp(-s * own.lead_samples / own.rate_hz),
        decay=decay,
        fade=np.clip(FADES_OVER * (1 - np.arange(size) / size), 0, 1) / decay,
    )


def corner(hz: float) -> Complex:
    """A source (k,) that falls off above a frequency by 6 dB an octave."""
    return np.asarray(1 / (1 + spectrum().s / (2 * np.pi * hz)))


def windows(moments: Indices) -> tuple[Indices, Array]:
    """Where the windows of all moments (m,) but the outer two begin, and the windows (m - 2, length).

    Each rises from the moment before to its own and falls to the next, and neighbours add up to 1.
    """
    before, here, after = moments[:-2, None], moments[1:-1, None], moments[2:, None]
    at = before + np.arange(int((after - before).max()))
    share = np.clip(np.minimum((at - before) / (here - before), (after - at) / (after - here)), 0, 1)
    return moments[:-2], np.sin(share * np.pi / 2) ** 2


def heard_through(source: Array, response: Complex) -> Complex:
    """Spectra (m, bins) of a windowed, damped source (m, length) through responses (m, k)."""
    own = spectrum()
    whole = response[:, own.low] + own.share * (response[:, own.low + 1] - response[:, own.low])
    return np.asarray(np.fft.rfft(source, sound_rules().sampling.response_samples, axis=1) * whole)


def in_time(spectra: Complex) -> Array:
    """Pieces (m, response_samples) of the wave from spectra (m, bins)."""
    own = spectrum()
    return np.asarray(np.fft.irfft(spectra * own.band, len(own.fade), axis=1) * own.fade)
