"""Sounds found in a recording, against published labels (CMU ARCTIC, tests/reference/arctic)."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from articulators.curves import Array
from articulators.errors import BadInput
from tests.test_vocaltract.test_recording import arctic
from vocaltract.recording.aligned import SHORTEST_SOUND_S, found_sounds
from vocaltract.recording.listener import Listener, as_listened, decoder, spoken_part
from vocaltract.recording.phones import listened_words
from vocaltract.recording.recording import RATE_HZ, Recording
from vocaltract.recording.wave import periodicity, wave_tracks
from vocaltract.words.text.transcribe import read

pytest.importorskip("pocketsphinx")


def errors_ms(recording: Recording) -> tuple[Array, Array]:
    """How much later than its label every sound begins, and which sounds (n,) are stops."""
    utterance = read(arctic.IPA)
    found = found_sounds(utterance, recording)
    labels = np.array([start for start, _, _ in arctic.labels()])
    starts = np.array([sound.start_s for sound in found.sounds])
    return 1000 * (starts - labels), np.array([number in found.stops for number in range(len(labels))])


def changed(samples: Array) -> Recording:
    return Recording(samples, "changed")


def test_sounds_begin_where_labels_have_them() -> None:
    """12 ms on average, as a first trial of the recogniser alone had; 8 ms for stops, whose labels lie before the
    closure that can be heard by a convention of their own, the same for all: that is taken out."""
    errors, stops = errors_ms(arctic.recording())
    assert np.abs(errors).mean() <= 12 and np.abs(errors).max() < 40
    late = float(np.median(errors[stops]))
    assert 5 < late < 25
    assert np.abs(errors[stops] - late).mean() < 8


def test_bursts_are_where_the_wave_jumps() -> None:
    """Times read by eye off levels of the recording every 5 ms: t of turned, p of sharply, k of across, t of table."""
    found = found_sounds(read(arctic.IPA), arctic.recording())
    seen = {"t": (0.317, 2.524), "p": (0.884,), "k": (2.11,)}
    symbols = [sound.symbol for sound in read(arctic.IPA).sounds]
    for symbol, times in seen.items():
        releases = [found.stops[i].release_s for i in found.stops if symbols[i] == symbol]
        for time in times:
            assert min(abs((release or 9) - time) for release in releases) < 0.006, (symbol, time, releases)


@pytest.mark.parametrize("kind", ["noise", "quiet"])
def test_noise_and_a_low_level_move_little(kind: str) -> None:
    """Noise 20 dB under the speech; 40 dB quieter."""
    clean = arctic.recording().samples
    if kind == "quiet":
        samples = clean * 0.01
    else:
        level = 10 ** (-20 / 20) * np.sqrt(np.mean(np.square(clean)))
        samples = clean + level * np.random.default_rng(2).standard_normal(len(clean))
    errors, _ = errors_ms(changed(samples))
    assert np.abs(errors).mean() < (12 if kind == "quiet" else 17)


def test_sounds_come_one_after_the_other() -> None:
    found = found_sounds(read(arctic.TEXT), arctic.recording()).sounds
    assert all(one.end_s <= other.start_s + 1e-9 for one, other in pairwise(found))
    assert all(sound.end_s - sound.start_s > SHORTEST_SOUND_S - 1e-9 for sound in found)


def test_the_pitch_is_that_of_a_tone() -> None:
    """A pulse train of 123.4 Hz, and noise, which has none."""
    time = np.arange(16000) / 16000
    tone = sum(np.cos(2 * np.pi * 123.4 * k * time) / k for k in range(1, 12))
    periodic, pitch = periodicity(np.asarray(tone))
    assert pitch[100:900] == pytest.approx(123.4, abs=0.6) and periodic[100:900].min() > 0.95
    noise, _ = periodicity(np.random.default_rng(3).standard_normal(16000))
    assert np.median(noise) < 0.5


def test_the_pitch_of_a_woman() -> None:
    """Women's voices lie about 210 Hz (Peterson & Barney 1952: 212 to 235 in vowels)."""
    tracks = wave_tracks(arctic.recording())
    voiced = tracks.periodic > 0.8
    assert 150 < np.median(tracks.pitch_hz[voiced]) < 260


def test_syllabic_consonants_are_two_phones() -> None:
    """As the dictionary of the recogniser writes them: T EY B AH L."""
    (word,) = listened_words(read("table"))
    assert word.phones == ("T", "EY", "B", "AH", "L") and word.sounds == (0, 1, 2, 3, 3)


def test_sounds_that_are_not_english_are_refused() -> None:
    towel = read("towel")
    strange = replace(towel.sounds[0], symbol="ʈ", phoneme="ʈ", target="ʈ")
    with pytest.raises(BadInput, match="only be followed in sounds of American English"):
        listened_words(replace(towel, sounds=(strange, *towel.sounds[1:])))


def test_silence_around_is_left_out() -> None:
    samples = np.zeros(32000)
    samples[16000:17600] = np.sin(np.arange(1600))
    begin, end = spoken_part(samples)
    assert begin == pytest.approx(16000 - 1600, abs=320) and end == pytest.approx(17600 + 1600, abs=320)
    assert len(as_listened(samples)) == 2 * (len(samples) + 2 * 1600)


def test_a_listener_learns_words() -> None:
    words = listened_words(read("towel"))
    assert decoder() is not None
    assert Listener().aligned(words, np.zeros(1600)) is None or RATE_HZ == 48000
