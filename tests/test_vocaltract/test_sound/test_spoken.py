"""What is heard: measured on the wave, against print and against the mouth that it comes from."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.signal import welch

from tests.test_vocaltract.test_sound.listening import (
    RATE_HZ,
    between,
    formants_hz,
    level_db,
    onset_s,
    said,
    spectral_peak_hz,
)
from vocaltract.airway.measure import measure_sound
from vocaltract.motion.playback import constant
from vocaltract.sound.spoken import spoken
from vocaltract.speech import say

PRINTED = Path(__file__).parents[2] / "reference" / "sound_of_speech.csv"


@cache
def printed() -> dict[tuple[str, str], tuple[float, float]]:
    """(quantity, sound) -> from, to."""
    lines = [line for line in PRINTED.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return {(r["quantity"], r["sound"]): (float(r["low"]), float(r["high"])) for r in csv.DictReader(lines)}


def under_the_vowel_db(sound: str) -> float:
    """How far the middle half of a sound between two vowels lies under the first of them."""
    timeline, wave = said(f"[ɑ{sound}ɑ]")
    vowel, own = timeline.spans[:2]
    quarter = (own.end_s - own.start_s) / 4
    return level_db(between(wave, *vowel.hold_s)) - level_db(between(wave, own.start_s + quarter, own.end_s - quarter))


@pytest.mark.parametrize("vowel", "i ɪ ɛ æ ɑ ɔ ʊ u ʌ ɝ".split())
def test_formants_of_the_wave_are_those_of_the_mouth(vowel: str) -> None:
    """By linear prediction, which knows nothing of tubes: within 5 % or 30 Hz, whichever is more."""
    timeline, wave = said(f"[{vowel}]")
    middle = sum(timeline.spans[0].hold_s) / 2
    heard = formants_hz(between(wave, middle - 0.06, middle + 0.06))
    shown = measure_sound(timeline.posture(np.array(middle)), head=timeline.head).formants_hz[:3]
    for hz in shown:
        assert np.abs(heard - hz).min() <= max(0.05 * hz, 30), (vowel, shown, heard)


@pytest.mark.parametrize("sound", ["s", "ʃ"])
def test_hiss_has_its_peak_where_men_have_it(sound: str) -> None:
    timeline, wave = said(f"[ɑ{sound}ɑ]")
    own = timeline.spans[1]
    quarter = (own.end_s - own.start_s) / 4
    low, high = printed()["spectral peak", sound]
    peak = spectral_peak_hz(between(wave, own.start_s + quarter, own.end_s - quarter), 1000)
    assert low <= peak <= high, peak


@pytest.mark.parametrize("sound", ["s", "ʃ", "f", "θ", "h"])
def test_hiss_lies_under_the_vowel_as_in_speech(sound: str) -> None:
    low, high = printed()["level under the vowel", sound]
    assert low <= under_the_vowel_db(sound) <= high, under_the_vowel_db(sound)


@pytest.mark.parametrize("vowel", ["ɛ", "æ", "ɑ", "u"])
def test_the_second_formant_is_as_strong_as_in_speech(vowel: str) -> None:
    timeline, wave = said(f"[h{vowel}d]")
    own = timeline.spans[1]
    middle = (own.start_s + own.end_s) / 2
    part = between(wave, middle - 0.05, middle + 0.05)
    hz, power = welch(part, RATE_HZ, nperseg=480, nfft=2048)
    first, second = measure_sound(timeline.posture(np.array(middle)), head=timeline.head).formants_hz[:2]
    levels = [10 * np.log10(power[np.abs(hz - formant) < 120].max()) for formant in (first, second)]
    low, high = printed()["second formant under the first", vowel]
    assert low <= levels[0] - levels[1] <= high, levels


@pytest.mark.parametrize("text", ["towel", "key", "pool", "desk", "guest"])
def test_a_burst_begins_when_the_closure_is_let_go(text: str) -> None:
    """Within 5 ms: what is heard and what is seen are one."""
    timeline, wave = said(text)
    release = timeline.spans[0].release_s
    assert release is not None
    heard = onset_s(wave, release - 0.03, release + 0.03)
    assert abs(heard - release) < 0.005, (heard, release)


@pytest.mark.parametrize("text", ["towel", "key", "pool"])
def test_voice_begins_when_the_timeline_says(text: str) -> None:
    """Onset of what lies under 500 Hz, where breath has next to nothing: within 5 ms."""
    timeline, wave = said(text)
    voice = timeline.spans[0].voice_s
    assert voice is not None
    low = _low_passed(wave)
    heard = onset_s(low, voice - 0.03, voice + 0.04, share=0.15)
    assert abs(heard - voice) < 0.005, (heard, voice)


def _low_passed(wave: np.ndarray) -> np.ndarray:
    from scipy.signal import butter, sosfiltfilt

    return np.asarray(sosfiltfilt(butter(4, 500, fs=RATE_HZ, output="sos"), wave))


@pytest.mark.parametrize("sound", ["b", "d", "ɡ"])
def test_a_voiced_closure_hums_through_the_walls(sound: str) -> None:
    timeline, wave = said(f"[ɑ{sound}ɑ]")
    vowel, own = timeline.spans[:2]
    hum = level_db(between(wave, own.hold_s[0] + 0.02, own.hold_s[0] + 0.05))
    low, high = printed()["level under the vowel", "voice bar"]
    assert low <= level_db(between(wave, *vowel.hold_s)) - hum <= high


@pytest.mark.parametrize("sound", ["p", "t", "k"])
def test_a_voiceless_closure_is_silent(sound: str) -> None:
    timeline, wave = said(f"[ɑ{sound}ɑ]")
    vowel, own = timeline.spans[:2]
    assert own.release_s is not None
    last = between(wave, own.release_s - 0.03, own.release_s - 0.005)
    assert level_db(between(wave, *vowel.hold_s)) - level_db(last) > 45


def test_the_wave_has_the_pitch_of_its_melody() -> None:
    """Within 3 %, by the lag at which a vowel is most like itself (autocorrelation), in a fall from 130 to 90 Hz."""
    timeline = say("[ɑ]")
    melody = np.linspace(130, 90, round(timeline.duration_s * 1000))
    wave = spoken(timeline, melody_hz=melody)
    for time in np.linspace(*timeline.spans[0].hold_s, 7)[1:-1]:
        part = between(wave, time - 0.03, time + 0.03)
        like = np.correlate(part, part, mode="full")[len(part) - 1 :]
        lags = np.arange(RATE_HZ // 200, RATE_HZ // 70)
        heard = RATE_HZ / lags[np.argmax(like[lags] * len(part) / (len(part) - lags))]
        assert heard == pytest.approx(melody[round(time * 1000)], rel=0.03)


def test_a_slowed_wave_keeps_its_pitch_and_its_burst() -> None:
    """At half speed: the burst where the film shows it and as steep as before, the pitch as it was."""
    timeline = say("key")
    natural, slow = spoken(timeline), spoken(timeline, playback=constant(timeline.duration_s, 0.5))
    release = timeline.spans[0].release_s
    assert release is not None
    assert abs(onset_s(slow, 2 * release - 0.03, 2 * release + 0.03) - 2 * release) < 0.002 + 0.002
    rises = [
        onset_s(wave, at, at + 0.02, 0.9) - onset_s(wave, at - 0.01, at + 0.02, 0.1)
        for wave, at in ((natural, release), (slow, 2 * release))
    ]
    assert rises[1] <= 1.2 * rises[0] + 1e-3
    vowel = sum(timeline.spans[1].hold_s) / 2
    pitches = []
    for wave, at in ((natural, vowel), (slow, 2 * vowel)):
        part = between(wave, at - 0.03, at + 0.03)
        like = np.correlate(part, part, mode="full")[len(part) - 1 :]
        lags = np.arange(RATE_HZ // 200, RATE_HZ // 70)
        pitches.append(RATE_HZ / lags[np.argmax(like[lags] * len(part) / (len(part) - lags))])
    assert pitches[1] == pytest.approx(pitches[0], rel=0.02)


def test_the_same_seed_gives_the_same_samples_and_another_another_hiss() -> None:
    timeline = say("seat")
    assert np.array_equal(spoken(timeline), spoken(timeline))
    assert not np.array_equal(spoken(timeline), spoken(timeline, seed=2))
