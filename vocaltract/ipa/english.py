"""The sounds of American English: their symbols, the dictionary's symbols for them, and how else they are written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table
from vocaltract.ipa.alphabet import alphabet, nfd
from vocaltract.ipa.features import Features
from vocaltract.ipa.symbol import parse


class PhoneRow(Record, frozen=True):
    """A sound of data/english.toml, which says what the keys mean."""

    arpabet: str = ""
    variant_of: str = ""
    usual_form: bool = False
    shows: tuple[str, ...] = ()
    also_written: tuple[str, ...] = ()
    nearest_for: tuple[str, ...] = ()


class PhoneRows(Row, frozen=True):
    """Sounds by symbol."""

    of: Mapping[str, PhoneRow]


class English(Record, frozen=True):
    """data/english.toml."""

    phone: PhoneRows


@dataclass(frozen=True, slots=True)
class Phone:
    """A sound of American English.

    ipa          its symbol (NFD), the key by which it is known
    arpabet      the dictionary's symbol, None where the dictionary does not write it
    features     what its letters say; of a diphthong what its first letter says
    variant_of   the phoneme that it is a form of, None for a phoneme
    usual_form   whether it is the normal form of that phoneme in its places
    shows        features of a sound in speech that the letter alone says
    """

    ipa: str
    arpabet: str | None
    features: Features
    variant_of: str | None
    usual_form: bool
    shows: frozenset[str]

    @property
    def manner(self) -> str:
        """Manner of articulation."""
        return self.features.manner

    @property
    def place(self) -> str:
        """Place of articulation; of a vowel its height and backness."""
        return self.features.place

    @property
    def voiced(self) -> bool:
        """Whether it has voice."""
        return self.features.voiced

    @property
    def is_vowel(self) -> bool:
        """Whether it is a vowel or a diphthong."""
        return self.features.is_vowel

    @property
    def is_obstruent(self) -> bool:
        """Whether it is a plosive, a fricative or an affricate."""
        return self.features.manner in ("plosive", "affricate", "fricative")


@cache
def _rows() -> Mapping[str, PhoneRow]:
    return table("vocaltract.ipa", "english.toml", English).phone.of


@cache
def phones() -> Mapping[str, Phone]:
    """IPA key -> Phone, for every sound of American English. BadInput where data/english.toml does not fit."""
    return phones_of(_rows())


def phones_of(rows: Mapping[str, PhoneRow]) -> Mapping[str, Phone]:
    """Phones of rows. BadInput for a symbol that is not IPA and for a variant of what is no phoneme."""
    found = {}
    for key, row in rows.items():
        if row.variant_of and (row.variant_of not in rows or rows[row.variant_of].variant_of):
            phonemes = [other for other, of in rows.items() if not of.variant_of]
            where = f"english.toml: phone.of.{key}.variant_of"
            raise BadInput(f"{where}: {row.variant_of!r} is no phoneme; allowed: {', '.join(phonemes)}")
        found[key] = Phone(
            ipa=key,
            arpabet=row.arpabet or None,
            features=_features(key),
            variant_of=row.variant_of or None,
            usual_form=row.usual_form,
            shows=frozenset(row.shows),
        )
    return MappingProxyType(found)


def _features(key: str) -> Features:
    first = alphabet().letters.get(key[:1])
    if first is not None and first.is_vowel and len(key) == 2 and key[1] in alphabet().letters:
        return first
    try:
        return parse(key)
    except BadInput as error:
        raise BadInput(f"english.toml: phone.of.{key}: {error}") from None


@cache
def spellings() -> Mapping[str, tuple[str, str]]:
    """What may be written for a sound (NFD, no tie bar) -> (letter to print, key)."""
    found = {key: (key, key) for key in _rows()}
    for key, row in _rows().items():
        found |= {nfd(given): (key, key) for given in row.also_written}
        found |= {nfd(given): (nfd(given), key) for given in row.nearest_for}
    whole = alphabet().whole
    return MappingProxyType(found | {parts: (letter, letter) for letter, parts in whole.items() if letter in found})


def phone_key(given: str) -> str | None:
    """Key of a bare symbol or another way of writing it (r is ɹ, g is ɡ, t͡ʃ is tʃ), or None."""
    known = alphabet()
    text = given.strip()
    for other, meant in known.same.items():
        text = text.replace(other, meant)
    plain = "".join(c for c in nfd(text) if c not in known.ties)
    found = spellings().get(plain) or spellings().get(plain.lower())
    return found[1] if found else None


def known_phone(given: str) -> str:
    """As `phone_key`, but BadInput for what is no sound of English, naming the nearest."""
    key = phone_key(given)
    if key is None:
        raise BadInput(f"unknown sound {given!r}; a sound of English is needed{nearest(given, phones())}")
    return key
