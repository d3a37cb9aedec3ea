"""How a text is heard: a wave at 48 kHz, as loud as it was asked for. One gain for all that a speaker says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.records import Record, Row, table
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.speaker import Speaker
from vocaltract.sound.loudness import LOUDNESS_RATE_HZ, check_loudness, limited, loudness_lufs, loudness_rules
from vocaltract.sound.melody import check_pitch
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.spoken import spoken
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
    loudness_lufs  of the speaker's reference sentence, -36 to -12; -18 where it was not asked for
    BadInput for values out of range.
    """

    pitch_hz: float | None = None
    loudness_lufs: float | None = None

    def __post_init__(self) -> None:
        if self.pitch_hz is not None:
            check_pitch(self.pitch_hz)
        if self.loudness_lufs is not None:
            check_loudness(self.loudness_lufs)


USUAL_HEARING = Hearing()


def heard(timeline: Timeline, hearing: Hearing = USUAL_HEARING, playback: Playback | None = None) -> Array:
    """The sound (n,) of a timeline at HEARD_RATE_HZ, full scale 1, at natural speed or as a film plays it."""
    asked = hearing.loudness_lufs
    wanted = loudness_rules().target.usual_lufs if asked is None else asked
    gain = 10 ** ((wanted - reference_lufs(timeline.speaker)) / 20)
    wave = spoken(timeline, playback=playback, pitch_hz=hearing.pitch_hz)
    return limited(gain * at_48_khz(wave))


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
