"""Sound to a file of its own: WAV, FLAC or MP3, whole or not at all; the same samples give the same bytes."""

from __future__ import annotations

import wave
from pathlib import Path
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import SurroundingsError
from renders.files.outputs import atomic_path
from vocaltract.motion.playback import constant
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.hearing import HEARD_RATE_HZ, USUAL_HEARING, Hearing, heard
from vocaltract.speech import USUAL, Speech, say

COMPUTED = "voice computed from a model of the mouth"
RECORDED = "a person's recording, which the mouth follows"
_FULL_SCALE = 32767
_CODECS = {".flac": ("flac", "flac", "s16"), ".mp3": ("mp3", "libmp3lame", "s16p")}
_MP3_BITS_S = 128_000


def voice_of(timeline: Timeline, hearing: Hearing) -> str:
    """Whose voice is heard."""
    return COMPUTED if timeline.leading is None or hearing.computed else RECORDED


def pcm(samples: Array) -> np.ndarray:
    """Samples (n,) of full scale 1 as 16 bit integers."""
    return np.round(np.clip(samples, -1, 1) * _FULL_SCALE).astype(np.int16)


def write_spoken(
    text: str, path: Path, hearing: Hearing, *, speed: float = 1.0, speech: Speech = USUAL, force: bool = False
) -> dict[str, Any]:
    """Write the sound of a text, natural or slowed at its own pitch; returns what was made.

    BadInput as for reading, and for a speed outside 0.05 to 2.
    """
    constant(1.0, speed)  # before the text is worked out
    timeline = say(text, speech)
    seconds = write_heard(timeline, path, hearing, speed=speed, force=force)
    return {
        "out": path,
        "transcription": timeline.utterance.transcription,
        "sound_s": round(seconds, 3),
        "voice": COMPUTED,
        "notes": list(timeline.utterance.notes),
    }


def write_heard(
    timeline: Timeline, path: Path, hearing: Hearing = USUAL_HEARING, *, speed: float = 1.0, force: bool = False
) -> float:
    """Write the sound of a timeline, natural or slowed at its own pitch, as `write_sound`; gives its length in s."""
    samples = heard(timeline, hearing, constant(timeline.duration_s, speed))
    write_sound(samples, path, HEARD_RATE_HZ, force)
    return len(samples) / HEARD_RATE_HZ


def write_sound(samples: Array, path: Path, rate_hz: int, force: bool = False) -> None:
    """Write one channel (n,), full scale 1, in the format of the ending of `path`.

    `force`: what stands there is replaced. SurroundingsError where it fails.
    """
    with atomic_path(path, force) as part:
        if path.suffix.lower() == ".wav":
            with wave.open(str(part), "wb") as file:
                file.setnchannels(1)
                file.setsampwidth(2)
                file.setframerate(rate_hz)
                file.writeframes(pcm(samples).astype("<i2").tobytes())
            return
        import av

        try:
            _encoded(pcm(samples), part, rate_hz, path.suffix.lower())
        except av.error.FFmpegError as error:
            raise SurroundingsError(f"cannot write {path}: {error.strerror or error}") from error


def _encoded(samples: np.ndarray, path: Path, rate_hz: int, ending: str) -> None:
    import av

    container, codec, kind = _CODECS[ending]
    with av.open(str(path), "w", format=container, options={"fflags": "+bitexact"}) as file:
        file.metadata["comment"] = COMPUTED
        stream: Any = file.add_stream(codec, rate=rate_hz, layout="mono")
        stream.codec_context.flags |= av.codec.context.Flags.bitexact
        if ending == ".mp3":
            stream.bit_rate = _MP3_BITS_S
        frame = av.AudioFrame.from_ndarray(samples[None], format=kind, layout="mono")
        frame.sample_rate = rate_hz
        for packet in (*stream.encode(frame), *stream.encode(None)):
            file.mux(packet)
