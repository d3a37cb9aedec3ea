"""The sounds that can be named, and the posture of each on a head.

Solved postures are read from the shipped table; nothing is solved at run time for the shipped head.
"""

from __future__ import annotations

import tomllib
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput, nearest

if TYPE_CHECKING:
    from articulators.posture import Posture


@dataclass(frozen=True, slots=True)
class SoundEntry:
    """One nameable sound.

    symbol    IPA (NFD)           aliases    other names a user may type
    kind      consonant | allophone | vowel
    place, manner, voiced         for vowels place is "height backness" and manner "vowel"
    keyword   a word of the hotel course that holds the sound
    posture   keys of the posture(s): one, or [from, to]; ("next",) where the mouth takes its neighbour's shape
    """

    symbol: str
    aliases: tuple[str, ...]
    kind: str
    place: str
    manner: str
    voiced: bool
    rounded: bool
    keyword: str
    posture: tuple[str, ...]

    @property
    def closes(self) -> bool:
        """Whether the mouth is shut in the midline and the sides (plosives, affricates, nasals, taps)."""
        return self.manner in ("plosive", "affricate", "nasal", "tap") and self.place != "glottal"

    @property
    def is_stop(self) -> bool:
        """Whether air is held back: plosives and affricates made in the mouth."""
        return self.manner in ("plosive", "affricate") and self.place != "glottal"

    @property
    def name(self) -> str:
        """The trade's three-part name, e.g. "voiceless alveolar plosive"."""
        if self.kind == "vowel":
            return f"{self.place} {'rounded' if self.rounded else 'unrounded'} vowel"
        return f"{'voiced' if self.voiced else 'voiceless'} {self.place} {self.manner}"


def _load(package: str, file: str) -> Mapping[str, Any]:
    return tomllib.loads(resources.files(package).joinpath(file).read_text(encoding="utf-8"))


@cache
def entries() -> Mapping[str, SoundEntry]:
    """All nameable sounds by symbol, in teaching order: consonants, allophones, vowels."""
    rows = _load("vocaltract.phonetics", "data/inventory.toml")
    found: dict[str, SoundEntry] = {}
    for kind, table in (("consonant", "consonants"), ("allophone", "allophones"), ("vowel", "vowels")):
        for row in rows[table]:
            vowel = kind == "vowel"
            found[row["symbol"]] = SoundEntry(
                symbol=row["symbol"],
                aliases=tuple(row["aliases"]),
                kind=kind,
                place=f"{row['height']} {row['backness']}" if vowel else row["place"],
                manner="vowel" if vowel else row["manner"],
                voiced=True if vowel else row["voiced"],
                rounded=bool(row.get("rounded", row["symbol"] in ("w",))),
                keyword=row["keyword"],
                posture=tuple(row["posture"]),
            )
    return found


def sound(name: str) -> SoundEntry:
    """The sound of a symbol or alias, with or without [ ] or / /.

    Raises BadInput (given, allowed, nearest) where the name is empty or not known.
    """
    text = unicodedata.normalize("NFD", name.strip())
    if len(text) > 2 and (text[0], text[-1]) in (("[", "]"), ("/", "/")):
        text = text[1:-1].strip()
    if not text:
        raise BadInput("no sound given; name one as in `vocaltract sounds`")
    table = entries()
    names = {unicodedata.normalize("NFD", k): e for e in table.values() for k in (e.symbol, *e.aliases)}
    entry = names.get(text) or names.get(text.lower())
    if entry is None:
        raise BadInput(f"sound '{name}' is not in the inventory; `vocaltract sounds` lists it" + nearest(text, names))
    return entry


def listing() -> list[dict[str, Any]]:
    """Every sound as a plain dictionary, for tables and JSON."""
    return [
        {
            "symbol": e.symbol,
            "aliases": list(e.aliases),
            "kind": e.kind,
            "place": e.place,
            "manner": e.manner,
            "voiced": e.voiced,
            "name": e.name,
            "keyword": e.keyword,
        }
        for e in entries().values()
    ]


@cache
def _table() -> Mapping[str, Mapping[str, float]]:
    solved = _load("vocaltract.phonetics", "data/solved.toml")
    start = _load("vocaltract.phonetics", "data/starting.toml")
    found: dict[str, Mapping[str, float]] = {}
    for rows in (start, solved):
        for row in rows["posture"]:
            for symbol in row["symbols"]:
                found[unicodedata.normalize("NFD", symbol)] = {k: v for k, v in row.items() if k != "symbols"}
    return found


@cache
def posture(key: str) -> Posture:
    """The posture of a key of the solved or starting table; "a+b" is the midpoint of two. Glottis together."""
    from articulators.posture import posture_from, posture_of

    key = unicodedata.normalize("NFD", key)
    if "+" in key:
        first, second = key.split("+")
        return posture_from((posture(first).values + posture(second).values) / 2)
    table = _table()
    if key not in table:
        raise BadInput(f"no posture for '{key}'" + nearest(key, table))
    return posture_of(**table[key])
