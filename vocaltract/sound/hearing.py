"""How a text is heard: a wave at 48 kHz, as loud as it was asked for. One gain for all that a speaker says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.records import Record, Row, table
from vocaltract.motion.heard import Leading
from vocaltract.motion.playback import Playback, constant
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.speaker import Speaker
from vocaltract.sound.loudness import LOUDNESS_RATE_HZ, check_loudness, limited, loudness_lufs, loudness_rules
from vocaltract.sound.melody import check_pitch
from vocaltract.sound.pace import transients_s
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.spoken import spoken
from vocaltract.sound.stretch import stretched
from vocaltract.speech import Speech, say

HEARD_RATE_HZ = LOUDNESS_RATE_HZ


class ReferenceLevels(Row, frozen=True):
    """A sentence, and how loud it is as speakers say it."""

    sentence: str
    lufs: Mapping[str, float]


class Levels(Record, frozen=True):
    """data/levels.toml."""

    reference: ReferenceLevels


@dataclass(frozen=True, slots=True)
class Hearing:
    """How a text is heard.

    pitch_hz       of the voice, 50 to 600; None for the speaker's own
    loudness_lufs  of the speaker's reference sentence, or of a recording that leads; -36 to -12; -18 where it was not
                   asked for
    computed       the voice of the model also where a recording leads, with the recording's pitch
    BadInput for values out of range.
    """

    pitch_hz: float | None = None
    loudness_lufs: float | None = None
    computed: bool = False

    def __post_init__(self) -> None:
        if self.pitch_hz is not None:
            check_pitch(self.pitch_hz)
        if self.loudness_lufs is not None:
            check_loudness(self.loudness_lufs)


USUAL_HEARING = Hearing()


def heard(timeline: Timeline, hearing: Hearing = USUAL_HEARING, playback: Playback | None = None) -> Array:
    """The sound (n,) of a timeline at HEARD_RATE_HZ, full scale 1, at natural speed or as a film plays it."""
    if timeline.leading is not None and not hearing.computed:
        return recorded_voice(timeline, timeline.leading, hearing, playback)
    asked = hearing.loudness_lufs
    wanted = loudness_rules().target.usual_lufs if asked is None else asked
    gain = 10 ** ((wanted - reference_lufs(timeline.speaker)) / 20)
    melody = None if timeline.leading is None or hearing.pitch_hz is not None else recorded_melody_hz(timeline)
    wave = spoken(timeline, playback=playback, pitch_hz=hearing.pitch_hz, melody_hz=melody)
    return limited(gain * at_48_khz(wave))


def recorded_voice(timeline: Timeline, leading: Leading, hearing: Hearing, playback: Playback | None = None) -> Array:
    """The recording (n,) that leads a timeline, at HEARD_RATE_HZ, as loud as is asked for, natural or slowed.

    One gain for all of it; what is too short or too quiet to be measured gets that of its highest peak.
    """
    voice = leading.voice
    wanted = loudness_rules().target.usual_lufs if hearing.loudness_lufs is None else hearing.loudness_lufs
    own = loudness_lufs(voice.samples)
    peak = float(np.abs(voice.samples).max())
    gain = 10 ** ((wanted - own) / 20) if np.isfinite(own) else 0.5 / max(peak, 1e-6)
    before = round(leading.begins_s * voice.rate_hz)
    count = round(timeline.duration_s * voice.rate_hz)
    placed = np.zeros(count)
    first, last = max(before, 0), min(before + len(voice.samples), count)
    placed[first:last] = voice.samples[first - before : last - before]
    played = constant(timeline.duration_s, 1.0) if playback is None else playback
    return limited(gain * stretched(placed, voice.rate_hz, played, transients_s(timeline)))


def recorded_melody_hz(timeline: Timeline) -> Array | None:
    """Pitch (n,) of a leading recording at every millisecond of the timeline; None where it has no voice."""
    leading = timeline.leading
    if leading is None or not np.any(leading.voice.pitch_hz > 0):
        return None
    times = np.arange(round(timeline.duration_s * 1000) + 1) / 1000 - leading.begins_s
    return np.interp(times, np.arange(len(leading.voice.pitch_hz)) / 1000, leading.voice.pitch_hz)


def at_48_khz(wave: Array) -> Array:
    """A wave (n,) of the synthesis at HEARD_RATE_HZ."""
    from scipy.signal import resample_poly

    return np.asarray(resample_poly(wave, HEARD_RATE_HZ, sound_rules().sampling.rate_hz))


def reference_lufs(speaker: Speaker) -> float:
    """How loud the reference sentence of a speaker is without any gain."""
    known = _reference().lufs
    return known[speaker.name] if speaker.name in known else measured_lufs(speaker)


@cache
def measured_lufs(speaker: Speaker) -> float:
    """The same, measured: a speaker that no table holds says the sentence once in a process."""
    said = say(_reference().sentence, Speech(speaker=speaker))
    return loudness_lufs(at_48_khz(spoken(said)))


@cache
def _reference() -> ReferenceLevels:
    return table("vocaltract.sound", "levels.toml", Levels).reference
