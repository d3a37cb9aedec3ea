"""Sound files read back by a library that did not write them, and the sound of films beside their pictures."""

from __future__ import annotations

import wave
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

from articulators.errors import BadInput
from renders.files.formats import FORMATS, SOUND_ENDINGS, check_sound
from renders.files.sound_file import COMPUTED, pcm, write_sound, write_spoken
from renders.files.sound_track import SoundTrack
from renders.films.film import film
from renders.films.pacing import playback_of
from renders.films.shot import Shot
from vocaltract.sound.hearing import HEARD_RATE_HZ, Hearing
from vocaltract.speech import say

TONE = 0.5 * np.sin(2 * np.pi * 440 * np.arange(HEARD_RATE_HZ) / HEARD_RATE_HZ)


def decoded(path: Path) -> np.ndarray:
    """Samples (n,) of a file's sound at HEARD_RATE_HZ, from time 0 on."""
    parts, start = [], None
    with av.open(str(path)) as file:
        to_float = av.AudioResampler(format="fltp", layout="mono", rate=HEARD_RATE_HZ)
        for frame in file.decode(audio=0):
            start = float(frame.pts * frame.time_base) if start is None else start
            parts += [made.to_ndarray()[0] for made in to_float.resample(frame)]
    return np.concatenate([np.zeros(round((start or 0) * HEARD_RATE_HZ)), *parts])


def test_a_wav_file_holds_the_samples_themselves(tmp_path: Path) -> None:
    write_sound(TONE, tmp_path / "a.wav", HEARD_RATE_HZ)
    with wave.open(str(tmp_path / "a.wav")) as file:
        assert (file.getframerate(), file.getnchannels(), file.getsampwidth()) == (HEARD_RATE_HZ, 1, 2)
        read = np.frombuffer(file.readframes(1 << 20), dtype="<i2")
    assert np.array_equal(read, pcm(TONE))
    assert np.abs(read / 32767 - TONE).max() <= 1 / 32767


@pytest.mark.parametrize("ending", SOUND_ENDINGS)
def test_every_format_keeps_the_tone_and_gives_the_same_bytes(tmp_path: Path, ending: str) -> None:
    for name in ("a", "b"):
        write_sound(TONE, tmp_path / f"{name}{ending}", HEARD_RATE_HZ)
    heard = decoded(tmp_path / f"a{ending}")
    spectrum = np.abs(np.fft.rfft(heard[4800:43200]))
    assert np.argmax(spectrum) * HEARD_RATE_HZ / 38400 == pytest.approx(440, abs=2)
    assert np.std(heard[4800:43200]) == pytest.approx(np.std(TONE), rel=0.06)  # the MP3 encoder turns down by 5 %
    assert (tmp_path / f"a{ending}").read_bytes() == (tmp_path / f"b{ending}").read_bytes()


def test_what_is_written_says_that_it_is_computed(tmp_path: Path) -> None:
    made = write_spoken("seat", tmp_path / "seat.flac", Hearing(), speed=0.5)
    assert made["voice"] == COMPUTED and "computed" in COMPUTED
    assert len(decoded(tmp_path / "seat.flac")) / HEARD_RATE_HZ == pytest.approx(2 * say("seat").duration_s, abs=0.02)
    with av.open(str(tmp_path / "seat.flac")) as file:
        assert COMPUTED in (*file.metadata.values(), *file.streams[0].metadata.values())


PLAYED = [(".mp4", {}), (".webm", {}), (".mov", {}), (".mp4", {"speed": 1.0}), (".mp4", {"speed": 0.25})]
PLAYED += [(".mp4", {"dwell": True}), (".mp4", {"intro_s": 0.5}), (".mp4", {"holds": ("closure:0.5",)})]


@pytest.mark.parametrize(("ending", "way"), PLAYED)
def test_the_burst_is_heard_when_the_mouth_is_seen_to_open(tmp_path: Path, ending: str, way: dict[str, Any]) -> None:
    """Within one frame of the first one without contact, in the film as it is decoded; before it nothing is heard."""
    word, shot = say("towel"), Shot(size=(64, 64), fps=30, captions=False, **way)
    film(word, shot).save(tmp_path / f"a{ending}")
    heard = np.abs(decoded(tmp_path / f"a{ending}"))
    shown_s = playback_of(word, shot).frame_times_s(30)
    first_open = round(shot.intro_s * 30) + int(np.argmax(shown_s > word.closures[0].end_s))
    begins = np.argmax(heard > 0.03 * heard.max()) / HEARD_RATE_HZ
    assert abs(begins - first_open / 30) <= 1 / 30


def test_a_track_is_as_long_as_its_film(tmp_path: Path) -> None:
    """Sound that ends early is followed by silence, sound that is longer is cut."""
    for samples in (TONE[:4800], TONE):
        with av.open(str(tmp_path / "a.mov"), "w") as file:
            track = SoundTrack(file, "pcm_s16le", samples)
            for seconds in (0.1, 0.25, 0.5):
                track.write_until(seconds)
            track.close()
        assert len(decoded(tmp_path / "a.mov")) == HEARD_RATE_HZ // 2


def test_a_film_without_sound_has_no_track(tmp_path: Path) -> None:
    film(say("[t]"), Shot(size=(64, 64), fps=5, sound="none")).save(tmp_path / "a.mp4")
    with av.open(str(tmp_path / "a.mp4")) as file:
        assert not file.streams.audio


def test_sound_asked_of_a_format_without_it_is_refused() -> None:
    with pytest.raises(BadInput, match=r"a GIF film holds no sound; allowed: .mp4, .webm, .mov, or no sound"):
        check_sound(FORMATS[".gif"])
    with pytest.raises(BadInput, match="holds no sound"):
        Shot(sound="model").encoding("a.gif")
    with pytest.raises(BadInput, match=r"sound 'modle' is unknown; allowed: model, none \(nearest: model\)"):
        Shot(sound="modle")
