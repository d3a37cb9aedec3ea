"""A recording slowed at its own pitch: known tones and clicks."""

from __future__ import annotations

import numpy as np
import pytest

from vocaltract.motion.playback import constant, dwelling
from vocaltract.sound.stretch import stretched

RATE_HZ = 48000


def pulses(seconds: float, pitch_hz: float = 125.0) -> np.ndarray:
    """A voice of many harmonics."""
    time = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    return np.asarray(sum(np.cos(2 * np.pi * pitch_hz * k * time) for k in range(1, 20)) / 40)


def pitch_hz(samples: np.ndarray) -> float:
    """By the autocorrelation of the whole."""
    low = samples[::8]
    auto = np.correlate(low, low, "full")[len(low) - 1 :]
    lags = np.arange(20, 100)
    return float(RATE_HZ / 8 / lags[np.argmax(auto[lags])])


@pytest.mark.parametrize("speed", [0.25, 0.5, 0.8, 1.5])
def test_pitch_and_level_stay(speed: float) -> None:
    wave = pulses(1.0)
    slow = stretched(wave, RATE_HZ, constant(1.0, speed), [])
    assert len(slow) == pytest.approx(RATE_HZ / speed, abs=2)
    middle = slow[len(slow) // 4 : -len(slow) // 4]
    assert pitch_hz(middle) == pytest.approx(125, abs=1.5)
    assert np.std(middle) == pytest.approx(np.std(wave), rel=0.12)


def test_natural_speed_changes_nothing() -> None:
    wave = pulses(0.5)
    assert np.array_equal(stretched(wave, RATE_HZ, constant(0.5, 1.0), [(0.1, 0.12)])[: len(wave)], wave)


@pytest.mark.parametrize("speed", [0.25, 0.5])
def test_a_burst_stays_as_it_was_where_the_picture_has_it(speed: float) -> None:
    """Silence, then noise of 20 ms: it begins within a millisecond of its picture, and is no longer than it was."""
    wave = np.zeros(RATE_HZ)
    burst = slice(round(0.5 * RATE_HZ), round(0.52 * RATE_HZ))
    wave[burst] = np.random.default_rng(5).standard_normal(burst.stop - burst.start)
    slow = stretched(wave, RATE_HZ, constant(1.0, speed), [(0.5, 0.52)])
    loud = np.flatnonzero(np.abs(slow) > 0.05)
    assert loud[0] / RATE_HZ == pytest.approx(0.5 / speed, abs=0.001)
    assert (loud[-1] - loud[0]) / RATE_HZ == pytest.approx(0.02, abs=0.002)
    assert slow[loud[0] + 48 : loud[0] + 480] == pytest.approx(
        wave[burst][48 + loud[0] - round(0.5 / speed * RATE_HZ) :][:432], abs=1e-9
    )


def test_a_dwell_is_followed() -> None:
    """Where the picture dwells at 0.6 s, at an eighth of the speed, the voice ends within a period, 8 ms, of speech."""
    wave = np.concatenate([pulses(0.6), np.zeros(round(0.4 * RATE_HZ))])
    playback = dwelling(1.0, 0.5, [0.6])
    slow = stretched(wave, RATE_HZ, playback, [])
    ends = np.flatnonzero(np.abs(slow) > 0.05)[-1] / RATE_HZ
    assert ends == pytest.approx(float(np.interp(0.6, playback.speech_s, playback.film_s)), abs=0.008 / 0.125)
