"""Whether a recording is the text that it is said to be: many small signs weighed together.

The recogniser finds any text in any recording if it has to; what tells is how badly its sounds fit, how their lengths
differ from what the sounds of the text last, and whether voice, hiss and loudness lie where the text has them. Two
words that differ in one sound cannot be told apart so.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

import numpy as np

from articulators.records import Record, Row, table
from vocaltract.motion.durations import durations_s
from vocaltract.motion.heard import HeardSound
from vocaltract.phonetics.inventory import SoundEntry, entry_of
from vocaltract.recording.aligned import FoundSounds
from vocaltract.recording.listener import SILENCE_S, spoken_part
from vocaltract.recording.recording import HEARING_RATE_HZ, Recording
from vocaltract.recording.wave import WaveTracks, wave_tracks
from vocaltract.words.utterance import Utterance

SONORANTS = ("nasal", "approximant", "lateral approximant")
SHARP = ("s", "z", "ʃ", "ʒ", "tʃ", "dʒ")
VOICED_DB = 22  # under the loudest voice of the recording


class Sign(Record, frozen=True):
    """A sign: what it is on average in the cases that it was weighed on, how much it varies, and what it counts."""

    mean: float
    scale: float
    weight: float


class FitSigns(Row, frozen=True):
    """All signs, what they are added to, and from which sum on a recording is taken for the text."""

    at_first: float
    from_sum: float
    of: Mapping[str, Sign]


class FitTable(Record, frozen=True):
    """data/fit.toml."""

    signs: FitSigns


@cache
def fit_table() -> FitTable:
    """How signs are weighed."""
    return table("vocaltract.recording", "fit.toml", FitTable)


def fits(utterance: Utterance, alignment: FoundSounds, recording: Recording) -> bool:
    """Whether an alignment is good enough for the recording to be the text."""
    return fit_sum(signs(utterance, alignment, recording)) >= fit_table().signs.from_sum


def fit_sum(found: Mapping[str, float]) -> float:
    """Signs weighed: larger is more likely the text."""
    own = fit_table().signs
    return own.at_first + sum(sign.weight * (found[name] - sign.mean) / sign.scale for name, sign in own.of.items())


def signs(utterance: Utterance, alignment: FoundSounds, recording: Recording) -> dict[str, float]:
    """What an alignment shows.

    score, worst      logarithm of how badly the sounds fit the recogniser's model, on average and the worst fifth
    length, off       logarithm of how long its sounds are beside the rules' durations, and how far that is from none
    spoken, spoken_off  the same of all that is loud enough in the recording
    cover             how far the sounds fall short of, or exceed, what is spoken
    uneven            how unevenly the sounds are longer or shorter
    voiced            share of voice where the text has it, and of none where it has none
    hiss, clear       least excess of the upper band over the vowels' in sharp hisses; greatest in vowels and the like
    loud              level of the faintest vowel or the like
    sounds            logarithm of the number of phones
    """
    tracks = wave_tracks(recording)
    entries = [entry_of(sound.target, sound.features) for sound in utterance.sounds]
    heard = np.array([sound.end_s - sound.start_s for sound in alignment.sounds])
    planned = np.array(durations_s(utterance))
    begin, end = spoken_part(recording.listened_to)
    spoken = max((end - begin) / HEARING_RATE_HZ - 2 * SILENCE_S, 0.05)
    phones = alignment.phones
    lengths = np.array([phone.end_s - phone.start_s for phone in phones])
    scores = np.array([phone.score for phone in phones])
    length, whole = math.log(heard.sum() / planned.sum()), math.log(spoken / planned.sum())
    return {
        "score": math.log(max(-float(scores @ lengths / lengths.sum()), 1.0)),
        "worst": math.log(max(-float(np.percentile(scores, 20)), 1.0)),
        "length": length,
        "off": abs(length),
        "spoken": whole,
        "spoken_off": abs(whole),
        "cover": abs(math.log(heard.sum() / spoken / 1.2)),
        "uneven": float(np.std(np.log(heard / planned))),
        **_where_they_should_be(entries, alignment.sounds, tracks),
        "sounds": math.log(len(phones)),
    }


def _where_they_should_be(
    entries: list[SoundEntry], heard: tuple[HeardSound, ...], tracks: WaveTracks
) -> dict[str, float]:
    top, loudest = float(tracks.voice_db.max()), float(tracks.level_db.max())
    right = weights = 0.0
    hiss, clear, loud = [5.0], [-5.0], []
    for entry, sound in zip(entries, heard, strict=True):
        length = sound.end_s - sound.start_s
        inside = slice(tracks.at(sound.start_s + length / 4), tracks.at(sound.end_s - length / 4) + 1)
        voiced = float(np.mean(tracks.voice_db[inside] > top - VOICED_DB))
        excess = float(np.mean(tracks.hiss_db[inside] - tracks.body_db[inside]))
        sonorant = entry.kind == "vowel" or entry.manner in SONORANTS
        if sonorant or not entry.voiced:
            weights += math.sqrt(length)
            right += math.sqrt(length) * (voiced if sonorant else 1 - voiced)
        if sonorant:
            clear.append(excess)
            loud.append(max(float(np.mean(tracks.level_db[inside])) - loudest, -60.0))
        elif not entry.voiced and entry.symbol in SHARP:
            hiss.append(excess)
    return {
        "voiced": right / weights if weights else 1.0,
        "hiss": min(hiss[1:] or hiss),
        "clear": max(clear[1:] or clear),
        "loud": min(loud or [-5.0]),
    }
