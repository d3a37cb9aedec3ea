"""Words to phonemes: the CMU Pronouncing Dictionary with a short list of corrections in front of it.

The dictionary is a database built by `vocaltract.words.build`; opening it and looking up one word takes
about a millisecond. Symbols are those of the dictionary (ARPAbet with stress digits).
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from articulators.errors import BadInput, SurroundingsError
from vocaltract.words.tables import DATA, rows

DATABASE = DATA / "dictionary.sqlite"
_VOICELESS = frozenset(("P", "T", "K", "F", "TH"))
_SIBILANT = frozenset(("S", "Z", "SH", "ZH", "CH", "JH"))


@dataclass(frozen=True, slots=True)
class Pronunciation:
    """Phonemes of one word.

    phones   dictionary symbols, vowels with a stress digit 0, 1 or 2
    joints   positions in `phones` where a part of a compound begins, e.g. (3,) in B AE1 K | P AE2 K
    source   "dictionary", "corrected" (data/overrides.tsv), "weak" (a weak form), "given" or "guessed"
    """

    phones: tuple[str, ...]
    joints: tuple[int, ...] = ()
    source: str = "dictionary"

    @classmethod
    def parse(cls, text: str, source: str) -> Pronunciation:
        """From ``"B AE1 K # P AE2 K"``, where # marks the joint of a compound."""
        phones: list[str] = []
        joints: list[int] = []
        for symbol in text.split():
            if symbol == "#":
                joints.append(len(phones))
            else:
                phones.append(symbol)
        return cls(tuple(phones), tuple(joints), source)

    @property
    def syllables(self) -> int:
        return sum(phone[-1].isdigit() for phone in self.phones)


@contextmanager
def opened(path: Path) -> Iterator[sqlite3.Connection]:
    """A shipped database, read-only. Raises SurroundingsError if it is missing or damaged."""
    try:
        with closing(
            sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True)
        ) as connection:
            yield connection
    except sqlite3.Error as error:
        raise SurroundingsError(f"data file {path.name} cannot be read: {error}") from error


@cache
def _corrections() -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for row in rows("overrides.tsv"):
        found[row["word"]] = (*found.get(row["word"], ()), row["pronunciation"])
    return found


@cache
def _compounds() -> dict[str, int]:
    return {row["word"]: int(row["joint"]) for row in rows("compounds.tsv")}


def _stored(words: Iterable[str]) -> dict[str, str]:
    words = list(words)
    found: dict[str, str] = {}
    with opened(DATABASE) as connection:
        for start in range(0, len(words), 500):
            part = words[start : start + 500]
            marks = ",".join("?" * len(part))
            query = f"SELECT word, pronunciations FROM entry WHERE word IN ({marks})"
            found.update(connection.execute(query, part).fetchall())
    return found


def _weak_ending(word: str, text: str) -> str:
    """The entry without a random secondary stress on its final vowel (data/final_vowels.tsv)."""
    if "1" not in text:
        return text
    for row in rows("final_vowels.tsv"):
        if word.endswith(row["spelling"]) and text.endswith(" " + row["phones"]):
            return text.removesuffix(row["phones"]) + row["corrected"]
    return text


def preferred(word: str, entry: str | None) -> tuple[Pronunciation, ...]:
    """Pronunciations, corrections first. `entry` is what the dictionary has, parted by |, or None."""
    corrected = [Pronunciation.parse(text, "corrected") for text in _corrections().get(word, ())]
    seen = {pronunciation.phones for pronunciation in corrected}
    joint = _compounds().get(word)
    listed = []
    for text in entry.split("|") if entry else ():
        phones = tuple(_weak_ending(word, text).split())
        if phones not in seen:
            listed.append(Pronunciation(phones, (joint,) if joint else ()))
    return (*corrected, *listed)


def find(word: str) -> tuple[Pronunciation, ...]:
    """As `lookup`, but an unknown word gives an empty tuple."""
    word = word.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    if not word:
        return ()
    found = preferred(word, _stored([word]).get(word))
    if found:
        return found
    if word.endswith("'s"):
        return tuple(_possessive(base) for base in find(word[:-2]))
    return find(word[:-1]) if word.endswith("s'") else ()


def _possessive(base: Pronunciation) -> Pronunciation:
    last = base.phones[-1]
    ending = ("IH0", "Z") if last in _SIBILANT else ("S",) if last in _VOICELESS else ("Z",)
    return Pronunciation(base.phones + ending, base.joints, base.source)


def lookup(word: str) -> tuple[Pronunciation, ...]:
    """All pronunciations of a word, the one to use first.

    Upper and lower case are the same; a possessive ('s) is formed where the dictionary has none.
    Raises BadInput for an unknown word, naming the nearest word.
    Source: CMU Pronouncing Dictionary (data/LICENSES.md), corrections in data/overrides.tsv.
    """
    found = find(word)
    if not found:
        close = nearest(word)
        hint = f" (nearest: {close})" if close else ""
        raise BadInput(f"word {word!r} is not in the dictionary{hint}")
    return found


def nearest(word: str) -> str | None:
    """The dictionary word with the most similar spelling, or None; common words win over rare ones."""
    word = word.lower()
    if not 0 < len(word) <= 30:
        return None
    letters = "abcdefghijklmnopqrstuvwxyz'"
    splits = [(word[:i], word[i:]) for i in range(len(word) + 1)]
    one_edit = {a + b[1:] for a, b in splits if b} | {
        a + b[1] + b[0] + b[2:] for a, b in splits if len(b) > 1
    }
    one_edit |= {a + c + b[1:] for a, b in splits if b for c in letters}
    one_edit |= {a + c + b for a, b in splits for c in letters}
    one_edit.discard(word)
    found = [*_stored(one_edit), *(w for w in one_edit if w in _corrections())]
    common = {**common_words(), **{row["text"]: 0 for row in rows("front_desk.tsv")}}
    if found:
        return min(found, key=lambda w: (common.get(w, 99), w[:1] != word[:1], w))
    from difflib import get_close_matches

    same_start = [w for w in common if w[:1] == word[:1] and abs(len(w) - len(word)) <= 2]
    close = get_close_matches(word, same_start, n=1, cutoff=0.7)
    return close[0] if close else None


@cache
def common_words() -> Mapping[str, int]:
    """Common words (no names, no abbreviations, none offensive) -> size class, 10 the commonest."""
    return MappingProxyType({row["word"]: int(row["size_class"]) for row in rows("common_words.tsv")})


@cache
def spoken_weak() -> Mapping[str, Mapping[str, str]]:
    """Function word -> row of data/weak_forms.tsv."""
    return MappingProxyType({row["word"]: row for row in rows("weak_forms.tsv")})


def trimmed(word: str) -> str:
    """A word as it is looked up: lower case, plain apostrophe, accents removed."""
    import unicodedata

    plain = unicodedata.normalize("NFD", word.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'"))
    return re.sub("[\u0300-\u036f]", "", plain).lower()
