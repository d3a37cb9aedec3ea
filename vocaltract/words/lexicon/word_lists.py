"""Lists of words: common and rarer ones by size class, and those of the front-desk course."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from articulators.records import Record, rows

SIZE_CLASSES = {"common_words.tsv": (10, 20, 35), "rarer_words.tsv": (40, 50)}
"""SCOWL sizes of each list, the commonest first."""


class SizedWord(Record, frozen=True):
    """A row of data/common_words.tsv or data/rarer_words.tsv; ``size_class``: SCOWL size, 10 the commonest."""

    word: str
    size_class: int


class FrontDeskText(Record, frozen=True):
    """A row of data/front_desk.tsv: a word or two."""

    text: str


def _sized(file: str) -> Mapping[str, int]:
    return MappingProxyType({row.word: row.size_class for row in rows("vocaltract.words", file, SizedWord)})


@cache
def common_words() -> Mapping[str, int]:
    """Common words (no names, no abbreviations, none offensive) -> size class, 10 the commonest."""
    return _sized("common_words.tsv")


@cache
def rarer_words() -> Mapping[str, int]:
    """As `common_words`, those of the next two size classes."""
    return _sized("rarer_words.tsv")


@cache
def front_desk() -> tuple[str, ...]:
    """Words and two-word phrases of the front-desk course; earlier ones are taken first."""
    return tuple(row.text for row in rows("vocaltract.words", "front_desk.tsv", FrontDeskText))
