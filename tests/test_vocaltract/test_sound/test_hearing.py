"""How loud a voice is made, and what pitch it may have."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.errors import BadInput
from vocaltract.phonetics.speaker import man
from vocaltract.sound.hearing import HEARD_RATE_HZ, Hearing, at_48_khz, heard, measured_lufs, reference_lufs
from vocaltract.sound.loudness import loudness_lufs, true_peak_dbtp
from vocaltract.sound.melody import check_pitch, declining_hz
from vocaltract.speech import say


def test_the_table_holds_how_loud_the_sentence_is() -> None:
    """By the meter of ITU-R BS.1770, which is tested on signals of the standard."""
    assert reference_lufs(man()) == pytest.approx(measured_lufs(man()), abs=0.5)


def test_speech_is_as_loud_as_asked_for_and_does_not_clip() -> None:
    sentence = say("good morning, your room key and your luggage are at the front desk")
    usual = heard(sentence)
    assert loudness_lufs(usual) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(usual) < -1
    assert len(usual) == pytest.approx(sentence.duration_s * HEARD_RATE_HZ, abs=HEARD_RATE_HZ / 100)


def test_one_gain_serves_all_that_a_voice_says() -> None:
    """-23 LUFS is 5 dB under -18, for a word as for a sentence; between words loudness is left as it is."""
    word = say("seat")
    usual, broadcast = heard(word), heard(word, Hearing(loudness_lufs=-23))
    assert 20 * np.log10(np.std(usual) / np.std(broadcast)) == pytest.approx(5, abs=0.1)


def test_the_rate_is_doubled_without_anything_new() -> None:
    tone = np.sin(2 * np.pi * 1000 * np.arange(2400) / 24000)
    assert at_48_khz(tone)[1000:2000:2] == pytest.approx(tone[500:1000], abs=1e-2)


@pytest.mark.parametrize("pitch", [20, 900])
def test_a_pitch_that_no_voice_has_is_refused(pitch: float) -> None:
    with pytest.raises(BadInput, match=f"pitch {pitch} Hz is out of range; allowed is 50 to 600"):
        check_pitch(pitch)
    with pytest.raises(BadInput):
        Hearing(pitch_hz=pitch)


def test_a_statement_falls() -> None:
    """Pitch declines over a statement (J. Pierrehumbert 1979)."""
    word = say("towel")
    pitch = declining_hz(word, 115, np.linspace(*word.speech_s, 20))
    assert np.all(np.diff(pitch) < 0) and pitch[-1] < 115 < pitch[0]
