"""A recording leads: what fits, what is told, and the mouth at the times that are heard."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from articulators.errors import BadInput
from tests.hearing import outside_voices
from tests.led.bursts import burst
from tests.led.cases import apart
from tests.led.voices import recorded
from tests.test_vocaltract.test_recording import arctic
from vocaltract.recording.aligned import FoundSounds, found_sounds
from vocaltract.recording.as_heard import as_heard
from vocaltract.recording.boundaries import boundaries_file, boundaries_text, check_fits, heard_sounds
from vocaltract.recording.fit import fit_sum, fit_table, fits, signs
from vocaltract.recording.lead import UNJUDGED, found_in, lead
from vocaltract.recording.quality import check_quality
from vocaltract.recording.recording import RATE_HZ, Recording
from vocaltract.recording.recording_rules import recording_rules
from vocaltract.recording.stops import HeardStop, heard_stop, heard_voice_s
from vocaltract.recording.wave import wave_tracks
from vocaltract.speech import Speech, say
from vocaltract.words.text.transcribe import read

pytest.importorskip("pocketsphinx")
espeak = pytest.mark.skipif(not outside_voices.present(), reason="espeak-ng is not installed")


def test_the_picture_breaks_contact_when_the_burst_is_heard() -> None:
    """A millisecond is a twentieth of a frame at 50 a second."""
    timeline = say(arctic.TEXT, recording=arctic.recording())
    leading = timeline.leading
    assert leading is not None
    bursts = [sound.release_s for sound in leading.voice.sounds if sound.release_s is not None]
    seen = [
        closure.end_s - leading.begins_s
        for closure in timeline.closures
        if any(timeline.spans[i].release == "oral" for i in closure.indices)
    ]
    near = [min(abs(burst - end) for end in seen) for burst in bursts]
    assert sum(off < 0.002 for off in near) >= len(bursts) - 2


def test_the_right_text_is_taken_and_others_are_not() -> None:
    asked = read(arctic.TEXT)
    utterance, voice = lead(asked, arctic.recording())
    assert len(voice.sounds) == len(utterance.sounds) and UNJUDGED in utterance.notes
    for other in ("the elevator is on the right", "good night", "your room key and a towel", "thank"):
        with pytest.raises(BadInput, match="does not fit"):
            lead(read(other), arctic.recording())


@espeak
@pytest.mark.parametrize("said", ["ticket", "good night", "seat"])
def test_words_of_another_voice(said: str) -> None:
    """espeak-ng, with a voice that the signs were not weighed on; `python -m tests.led` has 200 and more cases."""
    recording = recorded(said, "en-us+f4/140")
    assert fits(read(said), found_sounds(read(said), recording), recording)
    for other in ("lobby", "the pool is open"):
        assert apart(said, other) > 1
        with pytest.raises(BadInput, match="does not fit"):
            lead(read(other), recording)


def test_what_the_fit_adds_up() -> None:
    recording = arctic.recording()
    asked = read(arctic.TEXT)
    found = signs(asked, found_sounds(asked, recording), recording)
    assert set(found) == set(fit_table().signs.of)
    worse = {**found, "score": found["score"] + 1, "voiced": found["voiced"] - 0.5}
    assert fit_sum(worse) < fit_sum(found)


def alignment(text: str, releases: dict[int, float | None]) -> FoundSounds:
    """Sounds of 0.1 s, with stops let go or not."""
    sounds = tuple(heard_sounds(boundaries(text)))
    stops = {n: HeardStop(0.1 * n, at, 0.0 if at is None else 30.0, False) for n, at in releases.items()}
    return FoundSounds(sounds, stops, ())


def boundaries(text: str):  # type: ignore[no-untyped-def]
    from vocaltract.recording.boundaries import Boundaries, BoundarySound

    rows = [BoundarySound(symbol=s.symbol, start_s=0.1 * n) for n, s in enumerate(read(text).sounds)]
    return Boundaries(text=text, sounds=(*rows[:-1], replace_end(rows[-1])))


def replace_end(row):  # type: ignore[no-untyped-def]
    import msgspec

    return msgspec.structs.replace(row, end_s=row.start_s + 0.1)


def test_what_is_heard_otherwise_is_told() -> None:
    """backpack: its k is held before p in running speech (J. C. Wells 1990), and may be let go."""
    asked = read("backpack")
    held = next(n for n, s in enumerate(asked.sounds) if "unreleased" in s.features)
    utterance, told = as_heard(asked, alignment("backpack", {held: 0.1 * held + 0.05}))
    assert "let go is heard" in told[0] and "unreleased" not in utterance.sounds[held].features
    assert utterance.transcription != asked.transcription
    last = len(asked.sounds) - 1
    utterance, told = as_heard(asked, alignment("backpack", {last: None}))
    assert "no burst is heard" in told[0] and "unreleased" in utterance.sounds[last].features
    utterance, told = as_heard(asked, alignment("backpack", {held: None}))
    assert told == () and utterance == asked


def test_boundaries_are_written_and_read(tmp_path) -> None:  # type: ignore[no-untyped-def]
    asked = read(arctic.TEXT)
    found = found_in(asked, arctic.recording())
    file = tmp_path / "gregson.toml"
    file.write_text(boundaries_text(asked, found.sounds), encoding="utf-8")
    given = boundaries_file(file)
    check_fits(given, asked, "gregson.wav")
    again = found_in(asked, replace(arctic.recording(), boundaries=given))
    assert [s.start_s for s in again.sounds] == pytest.approx([s.start_s for s in found.sounds], abs=0.002)
    assert [s.end_s for s in again.sounds] == pytest.approx([s.end_s for s in found.sounds], abs=0.002)
    with pytest.raises(BadInput, match="has the sounds"):
        lead(read("lobby"), replace(arctic.recording(), boundaries=given))
    with pytest.raises(BadInput, match="go on to"):
        short = Recording(arctic.recording().samples[: 2 * RATE_HZ], boundaries=given)
        lead(asked, short)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('text = "a"\nsounds = []', "no sounds"),
        ('text = "a"\n[[sounds]]\nsymbol = "a"\nstart_s = 0.1', "the last sound has no end_s"),
        (
            'text = "a"\n[[sounds]]\nsymbol = "a"\nstart_s = 0.1\n[[sounds]]\nsymbol = "b"\nstart_s = 0.05\nend_s = 1',
            r"sounds\[2\] \(b\): start_s 0.05 comes before the start of a \(0.1\); times must rise",
        ),
        ('text = "a"\n[[sounds]]\nsymbol = "a"\nstart = 0.1', "start"),
        ('text = "a"\n[[sounds]]\nsymbol = "a"\nstart_s = 0.1\nend_s = 0.1', "times must rise"),
        ('text = "a"\n[[sounds]]\nsymbol = "a"\nstart_s = nan\nend_s = 0.1', "times must rise"),
    ],
)
def test_boundaries_that_do_not_fit_are_refused(tmp_path, text: str, told: str) -> None:  # type: ignore[no-untyped-def]
    file = tmp_path / "a.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=told):
        boundaries_file(file)


def tone(seconds: float, level: float = 0.3) -> np.ndarray:
    return level * np.sin(2 * np.pi * 200 * np.arange(round(seconds * RATE_HZ)) / RATE_HZ)


@pytest.mark.parametrize(
    ("samples", "told"),
    [
        (np.zeros(0), "empty or too short"),
        (tone(0.05), "empty or too short"),
        (np.zeros(RATE_HZ), "is silent"),
        (tone(61), "lasts 61 s"),
    ],
)
def test_what_cannot_be_used_is_refused(samples: np.ndarray, told: str) -> None:
    with pytest.raises(BadInput, match=told):
        check_quality(Recording(samples, "desk.wav"))


def test_what_is_wrong_with_a_recording_is_said() -> None:
    speech = arctic.recording().samples
    assert check_quality(arctic.recording()) == ()
    clipped = Recording(np.clip(speech * 8, -0.9, 0.9), "a.wav")
    assert any("clipped" in line for line in check_quality(clipped))
    noisy = speech + 0.1 * np.std(speech) * 3 * np.random.default_rng(1).standard_normal(len(speech))
    assert any("noisy" in line for line in check_quality(Recording(noisy, "a.wav")))
    assert any("two voices" in line for line in check_quality(Recording(speech, "a.wav", apart_db=-2)))
    assert any("quiet" in line for line in check_quality(Recording(speech * 0.01, "a.wav")))


def test_a_recording_is_a_value() -> None:
    one, other = Recording(tone(0.2), "a"), Recording(tone(0.2), "a")
    assert one == other and hash(one) == hash(other) and one != Recording(tone(0.2), "b")
    with pytest.raises(BadInput, match="leave the rate out"):
        Speech(recording=one, rate=0.8)


def test_a_stop_made_of_a_click_in_silence() -> None:
    """Vowel, 80 ms of silence, a click with noise, 40 ms on the voice again: all of it known."""
    rate, rng = RATE_HZ, np.random.default_rng(4)
    time = np.arange(round(0.2 * rate)) / rate
    voice = sum(np.cos(2 * np.pi * 120 * k * time) for k in range(1, 25)) / 40
    noise = 0.02 * rng.standard_normal(round(0.04 * rate))
    samples = np.concatenate([voice, np.zeros(round(0.08 * rate)), noise, voice]) + 1e-5 * rng.standard_normal(
        round(0.52 * rate)
    )
    tracks = wave_tracks(Recording(samples, "click"))
    stop = heard_stop(tracks, 0.21, 0.30)
    assert stop.release_s == pytest.approx(0.28, abs=0.003)
    assert stop.closure_s == pytest.approx(0.2, abs=0.006) and not stop.voiced
    assert heard_voice_s(tracks, 0.28, 0.5) == pytest.approx(0.32, abs=0.01)
    assert recording_rules().stop.rise_db < stop.burst_db


@espeak
@pytest.mark.parametrize("speed", [1.0, 0.5])
def test_in_a_film_the_burst_is_heard_when_contact_is_seen_to_break(speed: float) -> None:
    """Decoded again, pixels and samples; `python -m tests.led` has ten words, three voices and three speeds."""
    assert burst("ticket", "en-us/130", speed).within_a_frame
