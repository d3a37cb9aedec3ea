"""One speaker out of the dictionary's many: which variant comes first, and how it is said (data/profile.toml)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from articulators.records import Record, Row, table
from vocaltract.words.make.raw import raw_entries

ProfileKind = Literal["repair", "prefer", "choose"]


class ProfileRow(Row, frozen=True):
    """A rule of data/profile.toml; ``said`` takes the place of ``phones``, in rules that prefer it is empty."""

    name: str
    kind: ProfileKind
    spelling: str
    phones: str
    said: str = ""


class ProfileRows(Record, frozen=True):
    """data/profile.toml."""

    rule: tuple[ProfileRow, ...]


@dataclass(frozen=True, slots=True)
class ProfileRule:
    """A rule ready for use."""

    kind: ProfileKind
    spelling: re.Pattern[str]
    phones: re.Pattern[str]
    said: str

    def of(self, text: str) -> str:
        """A pronunciation after the rule."""
        return self.phones.sub(self.said, text)


@cache
def _rules() -> Mapping[ProfileKind, tuple[ProfileRule, ...]]:
    listed = table("vocaltract.words", "profile.toml", ProfileRows).rule
    ready = [ProfileRule(row.kind, re.compile(row.spelling), re.compile(row.phones), row.said) for row in listed]
    kinds: tuple[ProfileKind, ...] = ("repair", "prefer", "choose")
    return {kind: tuple(rule for rule in ready if rule.kind == kind) for kind in kinds}


def profiled(word: str, texts: Sequence[str]) -> tuple[str, ...]:
    """The pronunciations of a word, each once, the profile's in front; in dictionary symbols parted by spaces."""
    found = list(texts)
    for rule in _of(word, "repair"):
        found = [rule.of(text) for text in found]
    for rule in _of(word, "prefer"):
        found.sort(key=lambda text: rule.phones.search(text) is None)
    first = found[0]
    for rule in _of(word, "choose"):
        first = rule.of(first)
    return tuple(dict.fromkeys((first, *found)))


def _of(word: str, kind: ProfileKind) -> list[ProfileRule]:
    return [rule for rule in _rules()[kind] if rule.spelling.search(word)]


@cache
def profiled_entries() -> dict[str, tuple[str, ...]]:
    """All words of the dictionary file with their pronunciations, the profile's in front."""
    return {word: profiled(word, texts) for word, texts in raw_entries().items()}
