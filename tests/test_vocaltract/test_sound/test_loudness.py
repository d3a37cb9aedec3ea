"""Loudness and true peak against what the standard says of known signals, and against another meter."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.errors import BadInput
from vocaltract.sound.loudness import check_loudness, limited, loudness_lufs, true_peak_dbtp

TIMES_S = np.arange(48000 * 4) / 48000


def tone(hz: float, peak_db: float) -> np.ndarray:
    return 10 ** (peak_db / 20) * np.sin(2 * np.pi * hz * TIMES_S)


def test_a_tone_of_full_scale_has_the_loudness_of_the_standard() -> None:
    """ITU-R BS.1770-4: a 0 dBFS sine of 997 Hz in one front channel reads -3.01 LKFS."""
    assert loudness_lufs(tone(997, 0)) == pytest.approx(-3.01, abs=0.05)
    assert loudness_lufs(tone(997, -20)) == pytest.approx(-23.01, abs=0.05)


def test_the_weighting_is_that_of_the_standard() -> None:
    """BS.1770: low frequencies count less, those above 2 kHz about 4 dB more."""
    middle = loudness_lufs(tone(997, 0))
    assert loudness_lufs(tone(40, 0)) < middle - 4
    assert 2.5 < loudness_lufs(tone(6000, 0)) - middle < 4.5


def test_pauses_do_not_count() -> None:
    """EBU Tech 3341, case of the relative gate: what lies more than 10 LU under the mean is left out."""
    loud, faint = tone(997, -20), tone(997, -50)
    assert loudness_lufs(np.concatenate([faint, loud, faint])) == pytest.approx(
        loudness_lufs(loud), abs=0.5
    )  # ungated: 4.8 less


def test_what_is_too_short_or_silent_has_no_loudness() -> None:
    assert loudness_lufs(np.zeros(100)) == loudness_lufs(np.zeros(48000)) == -np.inf


def test_a_true_peak_lies_between_samples() -> None:
    """BS.1770 annex 2: a tone at a quarter of the rate, sampled 45 degrees off its peaks, peaks 3 dB above them."""
    samples = np.sin(2 * np.pi * 12000 * TIMES_S + np.pi / 4)
    assert 20 * np.log10(np.abs(samples).max()) == pytest.approx(-3.01, abs=0.01)
    assert true_peak_dbtp(samples[:4800] * np.hanning(4800)) == pytest.approx(0, abs=0.3)


def test_only_what_peaks_too_high_is_turned_down() -> None:
    """EBU R 128: no true peak above -1 dBTP."""
    wave = tone(300, -6)
    assert limited(wave) is wave
    wave[48000:48400] *= 4
    assert true_peak_dbtp(wave) > -1 > true_peak_dbtp(limited(wave))
    assert np.array_equal(limited(wave)[:40000], wave[:40000])


def test_against_another_meter() -> None:
    meter = pytest.importorskip("pyloudnorm", reason="extra test-sound is not installed")
    wave = tone(997, -20) + tone(3000, -30) * (TIMES_S > 2)
    assert loudness_lufs(wave) == pytest.approx(meter.Meter(48000).integrated_loudness(wave), abs=0.15)


def test_a_loudness_out_of_range_is_refused() -> None:
    with pytest.raises(BadInput, match=r"loudness -5 LUFS is out of range; allowed is -36 to -12"):
        check_loudness(-5)
