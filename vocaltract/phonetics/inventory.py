"""The sounds that can be named: those of the inventory, and any symbol of the IPA by its features."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Set
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Literal

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table
from vocaltract.airway.air import Organ
from vocaltract.ipa.english import phones
from vocaltract.ipa.features import CORONAL, Features
from vocaltract.ipa.symbol import letters_of, parse, usual

FRICTION = ">"  # after an affricate's symbol: the posture of its friction, not of its closure
_BODY_MARKS = ("palatalized", "velarized", "pharyngealized", "velarized or pharyngealized")
_VOICE_AND_RELEASE = frozenset(
    ("voiced", "voiceless", "breathy", "creaky", "aspirated", "nasal release", "lateral release")
    + ("no audible release", "syllabic", "long", "half-long", "extra-short")
)
_STOPS = ("plosive", "affricate", "click")


@dataclass(frozen=True, slots=True)
class SoundEntry:
    """One nameable sound.

    symbol    IPA (NFD)
    kind      consonant | allophone | vowel; ipa: a consonant made by rule (a vowel made by rule is a vowel)
    place, manner, voiced         for vowels place is "height backness" and manner "vowel"
    keyword   a word of the hotel course that holds the sound; empty for sounds made by rule
    posture   keys of the posture(s): one, or [from, to]; ("next",) where the mouth takes its neighbour's shape
    full_name the trade's name where it says more than place and manner (marks, glides, r colour)
    shapes_tongue   a sound of the lips that asks for a tongue shape too (ʘ, k͡p, bʲ)
    """

    symbol: str
    kind: str
    place: str
    manner: str
    voiced: bool
    rounded: bool
    keyword: str
    posture: tuple[str, ...]
    full_name: str = ""
    shapes_tongue: bool = False

    @property
    def closes(self) -> bool:
        """Whether midline and sides are shut (plosives, clicks, affricates, nasals, taps, trills)."""
        return self.manner in (*_STOPS, "nasal", "tap", "trill") and self.place != "glottal"

    @property
    def is_stop(self) -> bool:
        """Whether air is held back: plosives, clicks and affricates made in the mouth or throat."""
        return self.manner in _STOPS and self.place != "glottal"

    @property
    def name(self) -> str:
        """The trade's three-part name, e.g. "voiceless alveolar plosive"."""
        if self.full_name:
            return self.full_name
        if self.kind == "vowel":
            return f"{self.place} {'rounded' if self.rounded else 'unrounded'} vowel"
        return f"{'voiced' if self.voiced else 'voiceless'} {self.place} {self.manner}"


def organ(entry: SoundEntry) -> Organ | Literal[""]:
    """Which organ shuts or narrows the tract: lips, coronal, dorsal (body or root), or "" for none of them."""
    if entry.place in ("bilabial", "labiodental"):
        return "lips"
    if entry.place in CORONAL and entry.kind != "vowel":
        return "coronal"
    if entry.place != "glottal" and entry.kind != "vowel":
        return "dorsal"
    return ""


class SoundRow(Record, frozen=True):
    """A sound of the inventory; ``place`` and ``name`` where its letters would give others."""

    symbol: str
    keyword: str
    posture: tuple[str, ...]
    place: str = ""
    name: str = ""


class NarrowRow(Record, frozen=True):
    """An allophone made by the rules for IPA symbols; place and name where the rules would give others."""

    symbol: str
    keyword: str
    place: str = ""
    name: str = ""


class Inventory(Row, frozen=True):
    """data/inventory.toml."""

    sounds: tuple[SoundRow, ...]
    narrow: tuple[NarrowRow, ...]


def _inventory() -> Inventory:
    return table("vocaltract.phonetics", "inventory.toml", Inventory)


@cache
def entries() -> Mapping[str, SoundEntry]:
    """All nameable sounds by symbol, in teaching order: consonants, allophones, vowels."""
    return MappingProxyType({row.symbol: _entry(row) for row in _inventory().sounds})


def _entry(row: SoundRow) -> SoundEntry:
    phone = phones().get(row.symbol)
    if phone is None:
        where = "inventory.toml: sounds.symbol"
        raise BadInput(f"{where}: {row.symbol!r} is no sound of english.toml; allowed: {', '.join(phones())}")
    f = phone.features
    return SoundEntry(
        symbol=row.symbol,
        kind="vowel" if f.is_vowel else "allophone" if phone.variant_of else "consonant",
        place=row.place or f.place,
        manner=_manner(f),
        voiced=f.voiced,
        rounded=_rounded(f),
        keyword=row.keyword,
        posture=row.posture,
        full_name=row.name,
    )


def _manner(f: Features) -> str:
    return f.manner if f.manner in _STOPS else f.way


def _rounded(f: Features) -> bool:
    return f.rounded if f.is_vowel else "bilabial" in f.places and f.manner == "approximant"


@cache
def narrow_variants() -> Mapping[str, SoundEntry]:
    """More allophones of American English by symbol, made by the rules for IPA symbols and given a keyword."""
    found = {}
    for row in _inventory().narrow:
        symbol = unicodedata.normalize("NFD", row.symbol)
        made = by_rule(symbol)
        found[symbol] = replace(
            made, keyword=row.keyword, place=row.place or made.place, full_name=row.name or made.full_name
        )
    return MappingProxyType(found)


def sound(name: str) -> SoundEntry:
    """The sound of a symbol, with or without / /; in [ ] any symbol of the IPA with its marks.

    What people call it besides is read by `vocaltract.naming`. Raises BadInput (given, allowed, nearest) where the
    name is empty or not known, or cannot be made.
    """
    text = unicodedata.normalize("NFD", name.strip())
    narrow = len(text) > 2 and (text[0], text[-1]) == ("[", "]")
    if narrow or (len(text) > 2 and (text[0], text[-1]) == ("/", "/")):
        text = text[1:-1].strip()
    if not text:
        raise BadInput("no sound given; name one as in `vocaltract sounds`")
    if narrow:
        return _narrow(text)
    known = entries()
    if text in known:
        return known[text]
    hint = _foreign(text) or nearest(text, known)
    if not hint and is_symbol(text):
        hint = f"; any symbol of the IPA is taken in brackets, as in [{text}]"
    raise BadInput(f"sound '{name}' is not in the inventory; `vocaltract sounds` lists it" + hint)


def _foreign(text: str) -> str:
    """The name of a letter that only looks like one of the alphabet, so that it can be told from it."""
    for char in text:
        name = unicodedata.name(char, "")
        if char.isalpha() and not name.startswith(("LATIN", "MODIFIER", "GREEK SMALL LETTER")):
            return f"; '{char}' is {name or 'no letter'}, not a letter of the Latin or phonetic alphabet"
    return ""


def _narrow(text: str) -> SoundEntry:
    """A symbol in brackets is IPA ([r] is the trill); sounds of English are those of the inventory."""
    if text in entries():
        return entries()[text]
    return entries().get(usual(text)) or narrow_variants().get(text) or by_rule(text)


def is_symbol(text: str) -> bool:
    """Whether a text is one symbol of the IPA that can be made."""
    try:
        by_rule(text)
    except BadInput:
        return False
    return True


def entry_of(key: str, features: Set[str] = frozenset()) -> SoundEntry:
    """The entry of a sound's key: of the inventory, else by rule.

    `features` of the sound in its word may choose a variant's posture (fronted k, dental t; data/rules.toml).
    """
    found = entries().get(key) or narrow_variants().get(key) or by_rule(key)
    for feature, mark in _variant_marks().items() if features else ():
        if feature in features:
            from vocaltract.phonetics.shipped import solved_parts

            changed = tuple(k + mark for k in found.posture)
            if all(key in solved_parts("man") for key in changed):
                return replace(found, posture=changed)
    return found


@cache
def _variant_marks() -> Mapping[str, str]:
    from vocaltract.phonetics.rule_table import rule_table  # lists of words need no numbers of the mouth

    return rule_table().variant.marks


@lru_cache(maxsize=512)
def by_rule(symbol: str) -> SoundEntry:
    """The entry of any IPA symbol, from its features; nothing is solved yet. BadInput as `ipa.parse`."""
    f = parse(symbol)
    keys: tuple[str, ...] = (f.symbol,)
    if f.manner == "affricate":
        keys = (f.symbol, f"{f.symbol}{FRICTION}")
    if f.places == ("glottal",) and not f.nasal:
        keys = ("next",)
    kind, place = "vowel" if f.is_vowel else "ipa", f.place
    own = _unchanged(f)
    if own is not None:
        keys, place = own.posture, own.place
    tongue = len(set(f.places)) > 1 or any(m in _BODY_MARKS for m in f.marks)
    name = f.name.replace(f.place, place)
    return SoundEntry(f.symbol, kind, place, _manner(f), f.voiced, _rounded(f), "", keys, name, tongue)


def _unchanged(f: Features) -> SoundEntry | None:
    """The English consonant of which a symbol changes voice, breath or release alone: the same mouth makes it."""
    if f.is_vowel or not f.marks or not set(f.marks) <= _VOICE_AND_RELEASE:
        return None
    found = entries().get(letters_of(f.symbol))
    return found if found is not None and found.kind != "vowel" and found.posture != ("next",) else None
