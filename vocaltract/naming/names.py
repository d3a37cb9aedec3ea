"""The table of names: what each can mean, and what is refused with advice."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from articulators.records import Record, Row, rows, table
from vocaltract.ipa.alphabet import nfd
from vocaltract.phonetics.inventory import SoundEntry, sound

_PACKAGE = "vocaltract.naming"


class NameRow(Record, frozen=True):
    """A row of data/names.tsv, which says what the columns mean."""

    name: str
    sounds: str
    kind: Literal["lesson", "respelling", "spelling", "letter", "described", "ipa", "keyboard", "arpabet"]


class RefusedRow(Record, frozen=True):
    """A name of no sound, or of several in a row, and what to type instead."""

    name: str
    why: str


class Way(Row, frozen=True):
    """Words before a name that make another sound of it: of which it can be said, and its mark or what it becomes."""

    words: tuple[str, ...]
    mark: str
    of: tuple[str, ...]
    becomes: str = ""


class Voicing(Row, frozen=True):
    """Words before a name that leave its voiced or its voiceless meanings."""

    words: tuple[str, ...]
    voiced: bool


class Ways(Record, frozen=True):
    """data/ways.toml."""

    way: Mapping[str, Way]
    voice: Mapping[str, Voicing]


class Spelled(Row, frozen=True):
    """data/key.toml, data/keyboard.toml: symbols by the letters that stand for them."""

    stands_for: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a name can mean: sounds in IPA (mostly one), and the letters of a word that stand for them ("" unknown)."""

    ipa: str
    letters: str = ""
    word: str = ""

    @property
    def told(self) -> str:
        """As a person is told of it: "θ (th in thank)"."""
        if not self.word:
            return self.ipa
        where = "the letter's name" if self.letters == self.word else f"{self.letters} in {self.word}"
        return f"{self.ipa} ({where})"


@cache
def known_names() -> Mapping[str, tuple[Meaning, ...]]:
    """Every name of the table, plain (see `plain`), with what it can mean."""
    return MappingProxyType({plain(row.name): _meanings(row.sounds) for row in rows(_PACKAGE, "names.tsv", NameRow)})


@cache
def refused() -> Mapping[str, str]:
    """Names that are refused, plain, with what to type instead."""
    return MappingProxyType({plain(row.name): row.why for row in rows(_PACKAGE, "refused.tsv", RefusedRow)})


@cache
def ways() -> Ways:
    """Words that describe a sound."""
    return table(_PACKAGE, "ways.toml", Ways)


@cache
def respelling_key() -> Mapping[str, str]:
    """Symbols by the letters of our respelling key."""
    return table(_PACKAGE, "key.toml", Spelled).stands_for


@cache
def keyboard() -> Mapping[str, str]:
    """Symbols by the plain-keyboard letter that stands for them between brackets."""
    return table(_PACKAGE, "keyboard.toml", Spelled).stands_for


def _meanings(cell: str) -> tuple[Meaning, ...]:
    parts = [choice.split(" ", 2) for choice in cell.split("; ")]
    return tuple(Meaning(nfd(part[0]), *part[1:]) for part in parts)


def plain(name: str) -> str:
    """A name without what does not tell names apart: case, quotes, hyphens between letters, spaces."""
    text = unicodedata.normalize("NFD", name).casefold().replace("’", "'").strip(' \t"“”')
    return " ".join(re.sub(r"(?<=\w)[-_](?=\w)", " ", text).split())


def entry_named(symbol: str) -> SoundEntry:
    """The sound of a symbol of the table."""
    return sound(f"[{symbol}]")
