"""A speaker: one head, the postures that were solved on it, a voice and a tempo."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeAlias

from articulators.head import Head, shipped_head
from articulators.posture import PartValues
from articulators.records import Record, Row, table
from vocaltract.phonetics.shipped import solved_parts

SPEAKERS = ("man", "woman", "child")
"""Names of the speakers that come with the package; the first speaks where no other is asked for."""
FirstFormants: TypeAlias = tuple[float, float, float]
PITCH_HZ, RATES, FORMANTS_HZ = (50.0, 600.0), (0.5, 2.0), (100.0, 6000.0)
"""What a speaker's voice, tempo and formants may be: from the deepest of men to a small child, with some room."""


def check_range(name: str, value: float, allowed: tuple[float, float]) -> None:
    """ValueError where a value lies outside what is allowed."""
    if not allowed[0] <= value <= allowed[1]:
        raise ValueError(f"{name} {value:g} is out of range; allowed: {allowed[0]:g} to {allowed[1]:g}")


class SpeakerVoice(Row, frozen=True):
    """The voice of a speaker."""

    pitch_hz: float

    def __post_init__(self) -> None:
        super().__post_init__()
        check_range("pitch_hz", self.pitch_hz, PITCH_HZ)


class SpeakerRow(Row, frozen=True):
    """What a speaker is made of, in this format: the name of a head, and a tempo; 1 is as timing.toml says."""

    format: Literal[1]
    rate: float
    head: str = ""

    def __post_init__(self) -> None:
        super().__post_init__()
        check_range("rate", self.rate, RATES)


class SpeakerVowels(Row, frozen=True):
    """F1, F2 and F3 that the vowels of a speaker are fitted to."""

    formants_hz: Mapping[str, FirstFormants]

    def __post_init__(self) -> None:
        super().__post_init__()
        for symbol, row in self.formants_hz.items():
            for hz in row:
                check_range(f"formants_hz.{symbol}", hz, FORMANTS_HZ)
            if not row[0] < row[1] < row[2]:
                shown = ", ".join(f"{hz:g}" for hz in row)
                raise ValueError(f"formants_hz.{symbol} is {shown}; allowed: F1 below F2 below F3")


class SpeakerTable(Record, frozen=True):
    """data/speakers/NAME.toml."""

    speaker: SpeakerRow
    voice: SpeakerVoice
    vowels: SpeakerVowels


@dataclass(frozen=True, eq=False)
class Speaker:
    """Who speaks. Compared and hashed by identity, so that what is derived from a speaker can be cached on it.

    name     by which a speaker is asked for       head    whose landmarks are drawn and measured
    voice    pitch in Hz                           rate    own tempo; that of a text is multiplied by it
    formants_hz  symbol -> F1, F2 and F3 that a vowel is fitted to
    solved   symbol -> parts of its posture, for the sounds that were solved on this head beforehand
    """

    name: str
    head: Head
    voice: SpeakerVoice
    rate: float
    formants_hz: Mapping[str, FirstFormants]
    solved: Mapping[str, PartValues]


def speaker_from(name: str, head: Head, own: SpeakerTable, solved: Mapping[str, PartValues]) -> Speaker:
    """A speaker of a head, a table and what was solved on the head beforehand."""
    return Speaker(name, head, own.voice, own.speaker.rate, own.vowels.formants_hz, solved)


@cache
def shipped_speaker(name: str) -> Speaker:
    """One of `SPEAKERS`."""
    own = table("vocaltract.phonetics", f"speakers/{name}.toml", SpeakerTable)
    return speaker_from(name, shipped_head(own.speaker.head), own, solved_parts(name))


def man() -> Speaker:
    """The speaker who speaks where no other is asked for."""
    return shipped_speaker(SPEAKERS[0])
