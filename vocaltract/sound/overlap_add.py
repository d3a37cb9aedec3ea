"""Sources sent through responses that change: windowed at moments, filtered, added up."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from articulators.curves import Array, Indices
from vocaltract.airway.losses import Complex
from vocaltract.sound.sound_rules import sound_rules


@dataclass(frozen=True)
class Spectrum:
    """Frequencies at which responses are worked out, of all that a wave of `samples` has.

    s     (k,) complex frequency in 1/s, damped       at   (k,) numbers of the bins
    bins  (samples / 2 + 1,) numbers of all bins
    band  (bins,) what all responses have in common: they end softly below half the rate, and come `lead_samples`
          later, since a band that ends rings a little before as well as after
    """

    s: Complex
    at: Array
    bins: Array
    band: Complex


@cache
def spectrum() -> Spectrum:
    """The frequencies of the synthesis."""
    own = sound_rules().sampling
    count = own.response_samples // 2 + 1
    hz = np.arange(count) * own.rate_hz / own.response_samples
    number = np.arange(count)
    kept = (hz <= own.fine_to_hz) | ((number % 2 == 0) & (hz <= own.coarse_from_hz)) | (number % 4 == 0)
    kept[-1] = True
    s = own.damping_per_s + 2j * np.pi * hz
    over = np.clip((hz - own.band_hz) / (own.rate_hz / 2 - own.band_hz), 0, 1)
    band = np.cos(over * np.pi / 2) ** 2 * np.exp(-s * own.lead_samples / own.rate_hz)
    return Spectrum(s[kept], number[kept].astype(float), number.astype(float), band)


def between(values: Complex) -> Complex:
    """Responses (m, k) at the chosen frequencies as responses (m, bins) at all of them."""
    own = spectrum()
    low = np.clip(np.searchsorted(own.at, own.bins, side="right") - 1, 0, len(own.at) - 2)
    share = (own.bins - own.at[low]) / (own.at[low + 1] - own.at[low])
    return np.asarray((values[:, low] + share * (values[:, low + 1] - values[:, low])) * own.band)


def windows(moments: Indices, first: int, count: int) -> tuple[Indices, Array]:
    """Where the windows of moments (m,) from `first` on begin, and the windows (count, length).

    Each rises from the moment before to its own and falls to the next, and neighbours add up to 1.
    """
    here = np.arange(first, first + count)
    before, own, after = moments[here - 1], moments[here], moments[here + 1]
    length = int((after - before).max())
    offset = np.arange(length)[None, :] + before[:, None]
    up = (offset - before[:, None]) / (own - before)[:, None]
    down = (after[:, None] - offset) / (after - own)[:, None]
    share = np.clip(np.minimum(up, down), 0, 1)
    return before, np.sin(share * np.pi / 2) ** 2


def filtered(sources: tuple[Array, ...], through: tuple[Complex, ...], begins: Indices, shapes: Array) -> Array:
    """Windowed pieces of sources (samples,) through responses (m, bins), each (m, response_samples) in time."""
    own = sound_rules().sampling
    size, decay = own.response_samples, np.exp(-own.damping_per_s * np.arange(own.response_samples) / own.rate_hz)
    index = begins[:, None] + np.arange(shapes.shape[1])
    shaped = shapes * decay[: shapes.shape[1]]
    total = np.zeros((len(begins), size // 2 + 1), dtype=complex)
    for source, response in zip(sources, through, strict=True):
        total += np.fft.rfft(source[np.minimum(index, len(source) - 1)] * shaped, size, axis=1) * response
    ends = np.clip(4 * (1 - np.arange(size) / size), 0, 1)  # what rings longer is not cut off with a click
    return np.asarray(np.fft.irfft(total, size, axis=1) * (ends / decay))
