"""A speaker: one head, the postures that were solved on it, a voice and a tempo."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from articulators.head import Head, adult_male
from articulators.posture import PartValues
from articulators.records import Record, Row, table
from vocaltract.phonetics.shipped import shipped_parts


class Voice(Row, frozen=True):
    """The voice of a speaker."""

    pitch_hz: float


class SpeakerRow(Row, frozen=True):
    """Name of a speaker's head, and how fast this one speaks; 1 is as timing.toml says."""

    head: str
    rate: float


class SpeakerTable(Record, frozen=True):
    """data/speakers/NAME.toml."""

    speaker: SpeakerRow
    voice: Voice


@dataclass(frozen=True, eq=False)
class Speaker:
    """Who speaks. Compared and hashed by identity, so that what is derived from a speaker can be cached on it.

    name     by which a speaker is asked for       head    whose landmarks are drawn and measured
    voice    pitch in Hz                           rate    own tempo; that of a text is multiplied by it
    solved   symbol -> parts of its posture, for the sounds that were solved on this head beforehand
    """

    name: str
    head: Head
    voice: Voice
    rate: float
    solved: Mapping[str, PartValues]


@cache
def man() -> Speaker:
    """The speaker who speaks where no other is asked for."""
    own = table("vocaltract.phonetics", "speakers/man.toml", SpeakerTable)
    return Speaker("man", adult_male(), own.voice, own.speaker.rate, shipped_parts())
