"""From which size on two sounds differ (data/difference.toml)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal, TypeAlias

from articulators.records import Record, Row, table

ComparedOrgan: TypeAlias = Literal["tongue", "lips", "jaw", "velum"]


class LeastPlace(Row, frozen=True):
    """Places of contact apart; what counts as the narrowest stretch around the least gap."""

    apart_mm: float
    within_mm: float


class LeastOutline(Row, frozen=True):
    """Outlines of an organ apart."""

    least_mm: Mapping[ComparedOrgan, float]


class LeastVoice(Row, frozen=True):
    """Starts of the voice apart."""

    onset_ms: float


class LeastHold(Row, frozen=True):
    """Share of the hold that is voiced."""

    voiced_share: float


class LeastRelease(Row, frozen=True):
    """Greatest flows after a release apart."""

    puff_ml_s: float


class LeastVowel(Row, frozen=True):
    """Lengths of vowels apart."""

    length_ms: float


class LeastDifference(Record, frozen=True):
    """data/difference.toml."""

    place: LeastPlace
    outline: LeastOutline
    voice: LeastVoice
    hold: LeastHold
    release: LeastRelease
    vowel: LeastVowel


@cache
def least_difference() -> LeastDifference:
    """The sizes from which on two sounds differ."""
    return table("vocaltract.pairs", "difference.toml", LeastDifference)
