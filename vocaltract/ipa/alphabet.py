"""The letters and marks of the International Phonetic Alphabet: data/ipa.toml, the one table that all readers use."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table
from vocaltract.ipa.features import Backness, ConsonantPlace, Features, Height, Manner


class Consonant(Record, frozen=True):
    """A consonant letter. ``airstream``: where it is not the usual one of its manner."""

    place: tuple[ConsonantPlace, ...]
    manner: Manner
    voiced: bool
    lateral: bool = False
    airstream: Literal["", "implosive"] = ""


class Vowel(Record, frozen=True):
    """A vowel letter."""

    height: Height
    backness: Backness
    rounded: bool


class Mark(Record, frozen=True):
    """A mark on a letter: what it says, and the group within which marks contradict each other.

    below_the_line   printed in place of the first that says the same on a letter that reaches below the line
    at_place         printed in its place on a sound of that place
    """

    says: str
    group: str
    below_the_line: bool = False
    at_place: Literal["", ConsonantPlace] = ""


class PhraseSign(Record, frozen=True):
    """A sign of words and phrases; ``token``: what a transcription reads it as; ``level`` of stress."""

    says: str
    token: Literal["stress", "pause", "syllable", "none"]
    level: int = 0


class Consonants(Row, frozen=True):
    """Consonant letters."""

    letter: Mapping[str, Consonant]


class Vowels(Row, frozen=True):
    """Vowel letters."""

    letter: Mapping[str, Vowel]


class Marks(Row, frozen=True):
    """Marks by code point."""

    sign: Mapping[str, Mark]


class Letters(Row, frozen=True):
    """A set of letters."""

    letters: tuple[str, ...]


class Signs(Row, frozen=True):
    """A set of code points."""

    signs: tuple[str, ...]


class PrintedFeatures(Row, frozen=True):
    """What the mark says that is printed for a feature, in printing order."""

    feature: Mapping[str, str]


class PhraseSigns(Row, frozen=True):
    """Signs of phrases by code point."""

    sign: Mapping[str, PhraseSign]


class WholeLetters(Row, frozen=True):
    """Letters that hold a mark -> their parts."""

    parts: Mapping[str, str]


class Same(Row, frozen=True):
    """Other ways to write -> what is meant."""

    anywhere: Mapping[str, str]
    in_a_symbol: Mapping[str, str]
    in_a_transcription: Mapping[str, str]


class IpaTable(Record, frozen=True):
    """data/ipa.toml."""

    consonant: Consonants
    vowel: Vowels
    mark: Marks
    descender: Letters
    printed: PrintedFeatures
    tie: Signs
    pitch: Signs
    phrase: PhraseSigns
    whole: WholeLetters
    same: Same


@dataclass(frozen=True, slots=True)
class PrintedMark:
    """The mark that a feature of a sound in speech adds to its symbol.

    on_descender   the one for letters that reach below the line
    at_place       the ones of some places of articulation
    """

    feature: str
    mark: str
    on_descender: str
    at_place: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Alphabet:
    """The table as it is looked up: letters in NFD, marks as characters.

    letters   letter -> its features           marks        character -> (what it says, its group)
    ties      the tie bars                     pitch        characters that have no effect on the mouth
    phrase    character -> its sign            whole        letter that holds a mark -> its parts
    same, same_in_a_symbol, same_in_a_transcription         other ways to write -> what is meant
    printed   marks in printing order          features_of  mark -> features in speech that it is printed for
    descenders   letters that reach below the line
    """

    letters: Mapping[str, Features]
    marks: Mapping[str, tuple[str, str]]
    ties: frozenset[str]
    pitch: frozenset[str]
    phrase: Mapping[str, PhraseSign]
    whole: Mapping[str, str]
    same: Mapping[str, str]
    same_in_a_symbol: Mapping[str, str]
    same_in_a_transcription: Mapping[str, str]
    printed: tuple[PrintedMark, ...]
    features_of: Mapping[str, frozenset[str]]
    descenders: frozenset[str]


@cache
def alphabet() -> Alphabet:
    """The alphabet, read once. BadInput where the file does not fit."""
    return alphabet_of(table("vocaltract.ipa", "ipa.toml", IpaTable))


def alphabet_of(read: IpaTable) -> Alphabet:
    """The alphabet of a table. BadInput for what is no code point, and for a printed feature that no mark says."""
    letters: dict[str, Features] = {}
    for letter, row in read.consonant.letter.items():
        usual = "velaric" if row.manner == "click" else "pulmonic"
        letters[letter] = Features(letter, row.place, row.manner, row.voiced, row.lateral, row.airstream or usual)
    for letter, vowel in read.vowel.letter.items():
        letters[letter] = Features(
            letter, (), "vowel", True, height=vowel.height, backness=vowel.backness, rounded=vowel.rounded
        )
    signs = {_char(code): mark for code, mark in read.mark.sign.items()}
    printed = tuple(_printed(feature, says, signs) for feature, says in read.printed.feature.items())
    said = {p.feature: signs[p.mark].says for p in printed}
    return Alphabet(
        letters=MappingProxyType(letters),
        marks=MappingProxyType({char: (mark.says, mark.group) for char, mark in signs.items()}),
        ties=frozenset(map(_char, read.tie.signs)),
        pitch=frozenset(map(_char, read.pitch.signs)),
        phrase=MappingProxyType({_char(code): sign for code, sign in read.phrase.sign.items()}),
        whole=_decomposed(read.whole.parts),
        same=_decomposed(read.same.anywhere),
        same_in_a_symbol=_decomposed(read.same.in_a_symbol),
        same_in_a_transcription=_decomposed(read.same.in_a_transcription),
        printed=printed,
        features_of=MappingProxyType(
            {char: frozenset(f for f, says in said.items() if says == mark.says) for char, mark in signs.items()}
        ),
        descenders=frozenset(read.descender.letters),
    )


def _printed(feature: str, says: str, signs: Mapping[str, Mark]) -> PrintedMark:
    """The marks that say something: the first of all, and those for some letters or places."""
    fit = {char: mark for char, mark in signs.items() if mark.says == says}
    if not fit:
        allowed = list(dict.fromkeys(mark.says for mark in signs.values()))
        where = f"ipa.toml: printed.feature.{feature}"
        raise BadInput(f"{where}: no mark says {says!r}; allowed: {', '.join(allowed)}{nearest(says, allowed)}")
    first = next(iter(fit))
    below = next((char for char, mark in fit.items() if mark.below_the_line), first)
    return PrintedMark(feature, first, below, {mark.at_place: char for char, mark in fit.items() if mark.at_place})


def printed_symbol(letter: str, features: frozenset[str], place: str) -> str:
    """A letter with the marks of a sound's features in printing order, NFD; ``place`` of articulation."""
    known = alphabet()
    marks = ""
    for printed in known.printed:
        if printed.feature in features:
            plain = printed.on_descender if letter[-1] in known.descenders else printed.mark
            marks += printed.at_place.get(place, plain)
    return nfd(letter + marks)


def nfd(text: str) -> str:
    """NFD, the form in which all IPA is compared."""
    return unicodedata.normalize("NFD", text)


def _decomposed(rows: Mapping[str, str]) -> Mapping[str, str]:
    return MappingProxyType({nfd(given): nfd(meant) for given, meant in rows.items()})


def _char(code: str) -> str:
    try:
        return chr(int(code, 16))
    except (ValueError, OverflowError):
        raise BadInput(f"ipa.toml: {code!r} is no code point; four or five hexadecimal digits are allowed") from None
