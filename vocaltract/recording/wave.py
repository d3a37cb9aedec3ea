"""A recording measured every millisecond: levels in bands, and how periodic it is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.ndimage import uniform_filter1d

from articulators.curves import Array, Bools
from vocaltract.recording.recording import HEARING_RATE_HZ, Recording
from vocaltract.recording.recording_rules import recording_rules

WAVE_STEP_S = 0.001
FLOOR_DB = -100.0


@dataclass(frozen=True)
class WaveTracks:
    """Every millisecond (n,) of a recording.

    voice_db, body_db, hiss_db   levels in the bands of data/recording.toml: of the voice, of vowels, of bursts and hiss
    level_db    of all        periodic   0..1        pitch_hz   where periodic, else through the gaps
    """

    level_db: Array
    voice_db: Array
    body_db: Array
    hiss_db: Array
    periodic: Array
    pitch_hz: Array

    def at(self, time_s: float) -> int:
        """The number of the millisecond."""
        return int(np.clip(round(time_s / WAVE_STEP_S), 0, len(self.level_db) - 1))


@lru_cache(maxsize=8)
def wave_tracks(recording: Recording) -> WaveTracks:
    """Levels and periodicity of a recording."""
    samples, own = recording.listened_to, recording_rules().bands
    periodic, pitch = periodicity(samples)
    count = len(samples) * 1000 // HEARING_RATE_HZ
    return WaveTracks(
        level_db=_level(samples, own.window_s)[:count],
        voice_db=_level(_band(samples, *own.voice_hz), own.voice_window_s)[:count],
        body_db=_level(_band(samples, *own.body_hz), own.window_s)[:count],
        hiss_db=_level(_band(samples, *own.hiss_hz), own.window_s)[:count],
        periodic=periodic[:count],
        pitch_hz=pitch[:count],
    )


def _band(samples: Array, low_hz: float, high_hz: float) -> Array:
    from scipy.signal import butter, sosfiltfilt

    sos = butter(4, (low_hz, high_hz), "bandpass", fs=HEARING_RATE_HZ, output="sos")
    return np.asarray(sosfiltfilt(sos, samples))


def _level(samples: Array, window_s: float) -> Array:
    """Level (m,) every millisecond, over a window around each."""
    step = HEARING_RATE_HZ // 1000
    power = uniform_filter1d(np.square(samples), max(round(window_s * HEARING_RATE_HZ), 1))
    return np.asarray(10 * np.log10(np.maximum(power[step // 2 :: step], 1e-12)).clip(FLOOR_DB))


def periodicity(samples: Array) -> tuple[Array, Array]:
    """How periodic (m,), 0 to 1, and the pitch (m,) in Hz every millisecond of samples at HEARING_RATE_HZ.

    Normalised autocorrelation of windows that hold two periods of the lowest voice; the shortest lag that is almost as
    good as the best, so that no octave below is taken.
    """
    from scipy.signal import resample_poly

    own = recording_rules().pitch
    rate = HEARING_RATE_HZ // 4
    slow = resample_poly(samples, 1, 4)
    size, hop = round(own.window_s * rate), round(own.step_s * rate)
    padded = np.pad(slow, size // 2)
    starts = np.arange(0, len(slow), hop)
    frames = np.lib.stride_tricks.sliding_window_view(padded, size)[starts]
    frames = frames - frames.mean(axis=1, keepdims=True)
    low, high = own.range_hz
    lags = np.arange(int(rate / high), min(int(np.ceil(rate / low)), size - 2) + 1)
    spectrum = np.fft.rfft(frames, 2 * size, axis=1)
    auto = np.fft.irfft(np.abs(spectrum) ** 2, axis=1)[:, : lags[-1] + 2]
    sums = np.cumsum(np.pad(np.square(frames), ((0, 0), (1, 0))), axis=1)
    head, tail = sums[:, size - lags], sums[:, -1:] - sums[:, lags]
    norm = auto[:, lags] / np.sqrt(np.maximum(head * tail, 1e-16))
    best = norm.max(axis=1)
    near = norm >= own.octave_share * best[:, None]
    inner = np.pad(norm, ((0, 0), (1, 1)), constant_values=-2.0)
    peak = near & (norm >= inner[:, :-2]) & (norm >= inner[:, 2:])
    first = np.where(peak.any(axis=1), np.argmax(peak, axis=1), np.argmax(norm, axis=1))
    loud = np.sqrt(np.mean(np.square(frames), axis=1))
    periodic = np.where(loud > own.silent_share * loud.max(initial=1e-9), np.clip(best, 0, 1), 0.0)
    pitch = rate / (lags[first] + _between(inner, first))
    voiced = periodic >= own.voiced_from
    at, fine = starts / rate, np.arange(round(len(samples) * 1000 / HEARING_RATE_HZ) + 1) * WAVE_STEP_S
    return np.interp(fine, at, periodic), _through_gaps(fine, at, pitch, voiced)


def _between(inner: Array, first: Array) -> Array:
    """How far (frames,) the peak of a parabola through three lags lies from the middle one; `inner` has one more at
    each end."""
    row = np.arange(len(first))
    left, here, right = (inner[row, first + step] for step in range(3))
    bend = left - 2 * here + right
    return np.where((bend < -1e-9) & (left > -1) & (right > -1), 0.5 * (left - right) / np.minimum(bend, -1e-9), 0.0)


def _through_gaps(fine: Array, at: Array, pitch: Array, voiced: Bools) -> Array:
    """Pitch (m,) in Hz, without jumps of an octave, on a straight line over what has no voice; 0 where none has."""
    if not voiced.any():
        return np.zeros(len(fine))
    middle = float(np.median(pitch[voiced]))
    kept = voiced & (np.abs(np.log2(pitch / middle)) < recording_rules().pitch.octaves)
    from scipy.signal import medfilt

    values = medfilt(pitch[kept], min(5, kept.sum() - (kept.sum() + 1) % 2)) if kept.sum() > 2 else pitch[kept]
    return np.interp(fine, at[kept], values)
