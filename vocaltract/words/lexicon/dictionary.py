"""Words to phonemes: the CMU Pronouncing Dictionary with a short list of corrections in front of it.

The dictionary is a database built by `vocaltract.words.make.build`, one speaker's variant of each word first; opening
it and looking up one word takes about a millisecond. Symbols are those of the dictionary (ARPAbet with stress digits).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from articulators.errors import BadInput
from articulators.records import Record, rows
from vocaltract.words.lexicon.arpabet import ipa_of, split_stress
from vocaltract.words.lexicon.databases import DICTIONARY, opened
from vocaltract.words.lexicon.syllables import syllabify
from vocaltract.words.lexicon.word_lists import common_words, front_desk

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
        """Its syllables by the maximal-onset principle."""
        return sum(phone[-1].isdigit() for phone in self.phones)


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to say a word.

    notation  how to ask for it in a text: "record/2"
    sense     "noun", "verb" ... where the word is one of data/homographs.tsv, else ""; "record/verb" asks for it too
    """

    notation: str
    sense: str
    pronunciation: Pronunciation

    @property
    def phonemes(self) -> str:
        """Broad IPA without brackets, the main stress marked from two syllables on, as "ˈɹɛkɚd"."""
        return broad(self.pronunciation)


class Correction(Record, frozen=True):
    """A row of data/overrides.tsv: a pronunciation that comes before the dictionary's own."""

    word: str
    pronunciation: str
    reason: Literal["variant", "missing", "strong"]
    source: str


class Homograph(Record, frozen=True):
    """A row of data/homographs.tsv: one reading of a word that has two."""

    word: str
    sense: str
    pronunciation: str


class Compound(Record, frozen=True):
    """A row of data/compounds.tsv; ``joint``: phonemes before the second part."""

    word: str
    split: str
    joint: int


def corrections() -> tuple[Correction, ...]:
    """data/overrides.tsv."""
    return rows("vocaltract.words", "overrides.tsv", Correction)


def homographs() -> tuple[Homograph, ...]:
    """data/homographs.tsv."""
    return rows("vocaltract.words", "homographs.tsv", Homograph)


@cache
def _corrected() -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for row in corrections():
        found[row.word] = (*found.get(row.word, ()), row.pronunciation)
    return MappingProxyType(found)


@cache
def _senses() -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Word -> (sense, pronunciation), the sense taken first on top."""
    found: dict[str, tuple[tuple[str, str], ...]] = {}
    for row in homographs():
        found[row.word] = (*found.get(row.word, ()), (row.sense, row.pronunciation))
    return MappingProxyType(found)


@cache
def _compounds() -> Mapping[str, int]:
    return MappingProxyType({row.word: row.joint for row in rows("vocaltract.words", "compounds.tsv", Compound)})


def _stored(words: Iterable[str]) -> dict[str, str]:
    words = list(words)
    found: dict[str, str] = {}
    if not words:
        return found
    with opened(DICTIONARY) as connection:
        for start in range(0, len(words), 500):
            part = words[start : start + 500]
            marks = ",".join("?" * len(part))
            query = f"SELECT word, pronunciations FROM entry WHERE word IN ({marks})"
            found.update(connection.execute(query, part).fetchall())
    return found


def preferred(word: str, entry: str | None) -> tuple[Pronunciation, ...]:
    """Pronunciations, corrections first. `entry` is what the dictionary has, parted by |, or None."""
    first = (*_corrected().get(word, ()), *(text for _, text in _senses().get(word, ())))
    corrected = [Pronunciation.parse(text, "corrected") for text in first]
    seen = {pronunciation.phones for pronunciation in corrected}
    joint = _compounds().get(word)
    listed = []
    for text in entry.split("|") if entry else ():
        phones = tuple(text.split())
        if phones not in seen:
            listed.append(Pronunciation(phones, (joint,) if joint else ()))
    return (*corrected, *listed)


def find(word: str) -> tuple[Pronunciation, ...]:
    """As `lookup`, but an unknown word gives an empty tuple."""
    word = word.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    return find_all([word])[word] if word else ()


def find_all(words: Iterable[str]) -> dict[str, tuple[Pronunciation, ...]]:
    """Word -> its pronunciations (empty where unknown), for many words at once: the database is opened once.

    The words are lower case with plain apostrophes.
    """
    wanted = list(dict.fromkeys(words))
    bases = [word[: -2 if word.endswith("'s") else -1] for word in wanted if word.endswith(("'s", "s'"))]
    stored = _stored([word for word in {*wanted, *bases} if word])
    found = {}
    for word in wanted:
        said = preferred(word, stored.get(word))
        if not said and word.endswith("'s"):
            said = tuple(with_s(base) for base in preferred(word[:-2], stored.get(word[:-2])))
        elif not said and word.endswith("s'"):
            said = preferred(word[:-1], stored.get(word[:-1]))
        found[word] = said
    return found


def with_s(base: Pronunciation) -> Pronunciation:
    """A regular plural, possessive or third person: IH0 Z after sibilants, S after voiceless, Z otherwise."""
    last = base.phones[-1]
    ending = ("IH0", "Z") if last in _SIBILANT else ("S",) if last in _VOICELESS else ("Z",)
    return Pronunciation(base.phones + ending, base.joints, base.source)


def as_compound(parts: Sequence[Pronunciation], source: str | None = None) -> Pronunciation:
    """Parts of a compound as one word: main stress on the first, secondary on the others."""
    phones: list[str] = []
    joints: list[int] = []
    for n, part in enumerate(parts):
        start = len(phones)
        joints.extend(start + joint for joint in ((0,) if n else ()) + part.joints)
        phones.extend(phone.replace("1", "2") if n else phone for phone in part.phones)
    return Pronunciation(tuple(phones), tuple(joints), source or parts[0].source)


def readings(word: str) -> tuple[Reading, ...]:
    """All ways to say a word, the one taken first on top; empty where it is unknown.

    `Reading.notation` asks for one in a text. Example: record/1 is the noun, record/2 the verb.
    """
    plain = trimmed(word)
    senses = {Pronunciation.parse(text, "").phones: sense for sense, text in _senses().get(plain, ())}
    return tuple(Reading(f"{plain}/{n}", senses.get(said.phones, ""), said) for n, said in enumerate(find(plain), 1))


def has_senses(word: str) -> bool:
    """Whether a word (lower case) is one of data/homographs.tsv."""
    return word in _senses()


def broad(said: Pronunciation, marked: bool | None = None) -> str:
    """Broad IPA (NFD) without brackets. `marked`: write stress; None: from two syllables on."""
    parts = syllabify(said.phones, said.joints)
    marked = len(parts) > 1 if marked is None else marked
    text = ""
    for part in parts:
        stress = split_stress(part.nucleus[0])[1] if part.nucleus else None
        text += ("", "ˈ", "ˌ")[stress or 0] if marked else ""
        text += "".join(map(ipa_of, part.phones))
    return text


def lookup(word: str) -> tuple[Pronunciation, ...]:
    """All pronunciations of a word, the one to use first.

    Upper and lower case are the same; a possessive ('s) is formed where the dictionary has none.
    Raises BadInput for an unknown word, naming the nearest word.
    Source: CMU Pronouncing Dictionary (data/LICENSES.md), corrections in data/overrides.tsv.
    """
    found = find(word)
    if not found:
        raise BadInput(unknown(word))
    return found


def unknown(word: str) -> str:
    """What to say of a word that the dictionary has not, with the nearest word it has."""
    close = nearest_word(word)
    return f"word {word!r} is not in the dictionary" + (f" (nearest: {close})" if close else "")


def nearest_word(word: str, far: bool = True) -> str | None:
    """The dictionary word with the most similar spelling, or None; common words win over rare ones.

    far   whether more than one letter may differ, and whether a rare word or a name will do
    """
    word = word.lower()
    if not 0 < len(word) <= 30:
        return None
    letters = "abcdefghijklmnopqrstuvwxyz'"
    splits = [(word[:i], word[i:]) for i in range(len(word) + 1)]
    one_edit = {a + b[1:] for a, b in splits if b} | {a + b[1] + b[0] + b[2:] for a, b in splits if len(b) > 1}
    one_edit |= {a + c + b[1:] for a, b in splits if b for c in letters}
    one_edit |= {a + c + b for a, b in splits for c in letters}
    one_edit.discard(word)
    found = [*_stored(one_edit), *(w for w in one_edit if w in _corrected())]
    common = {**common_words(), **dict.fromkeys(front_desk(), 0)}
    best = min(found, key=lambda w: (common.get(w, 99), w[:1] != word[:1], w), default=None)
    if not far:
        return best if best in common else None
    if best is not None:
        return best
    from difflib import get_close_matches

    same_start = [w for w in common if w[:1] == word[:1] and abs(len(w) - len(word)) <= 2]
    close = get_close_matches(word, same_start, n=1, cutoff=0.7)
    return close[0] if close else None


def trimmed(word: str) -> str:
    """A word as it is looked up: lower case, plain apostrophe, accents removed."""
    import unicodedata

    plain = unicodedata.normalize("NFD", word.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'"))
    return re.sub("[\u0300-\u036f]", "", plain).lower()
