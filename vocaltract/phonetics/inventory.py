"""The sounds that can be named, and the posture of each on a head.

Solved postures are read from the shipped table; a symbol that is not in it is made by rule, solved once and cached.
"""

from __future__ import annotations

import tomllib
import unicodedata
from collections.abc import Mapping, Set
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput, nearest

if TYPE_CHECKING:
    from articulators.posture import Posture
    from vocaltract.ipa.features import Features


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

    symbol    IPA (NFD)           aliases    other names a user may type
    kind      consonant | allophone | vowel; ipa: a consonant made by rule (a vowel made by rule is a vowel)
    place, manner, voiced         for vowels place is "height backness" and manner "vowel"
    keyword   a word of the hotel course that holds the sound; empty for sounds made by rule
    posture   keys of the posture(s): one, or [from, to]; ("next",) where the mouth takes its neighbour's shape
    full_name the trade's name where it says more than place and manner (marks, glides, r colour)
    shapes_tongue   a sound of the lips that asks for a tongue shape too (ʘ, k͡p, bʲ)
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
                full_name=row.get("name", ""),
            )
    return found


@cache
def narrow_variants() -> Mapping[str, SoundEntry]:
    """More allophones of American English by symbol, made by the rules for IPA symbols and given a keyword."""
    found = {}
    for row in _load("vocaltract.phonetics", "data/inventory.toml")["narrow"]:
        said = {k: v for k, v in row.items() if k != "symbol"}
        symbol = unicodedata.normalize("NFD", row["symbol"])
        found[symbol] = replace(by_rule(symbol), **said)
    return found


def sound(name: str) -> SoundEntry:
    """The sound of a symbol or alias, with or without / /; in [ ] any symbol of the IPA with its marks.

    Raises BadInput (given, allowed, nearest) where the name is empty or not known, or cannot be made.
    """
    text = unicodedata.normalize("NFD", name.strip())
    narrow = len(text) > 2 and (text[0], text[-1]) == ("[", "]")
    if narrow or (len(text) > 2 and (text[0], text[-1]) == ("/", "/")):
        text = text[1:-1].strip()
    if not text:
        raise BadInput("no sound given; name one as in `vocaltract sounds`")
    if narrow:
        return _narrow(text)
    names = _names()
    entry = names.get(text) or names.get(text.lower())
    if entry is not None:
        return entry
    hint = _foreign(text) or nearest(text, names)
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
    """A symbol in brackets is IPA: no aliases ([r] is the trill); sounds of English are those of the inventory."""
    if text in entries():
        return entries()[text]
    from vocaltract.ipa.symbol import usual

    return entries().get(usual(text)) or narrow_variants().get(text) or by_rule(text)


@cache
def _names() -> Mapping[str, SoundEntry]:
    return {unicodedata.normalize("NFD", k): e for e in entries().values() for k in (e.symbol, *e.aliases)}


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
    for feature, mark in _variants().items():
        changed = tuple(k + mark for k in found.posture)
        if feature in features and all(k in _table() for k in changed):
            return replace(found, posture=changed)
    return found


@cache
def _variants() -> Mapping[str, str]:
    return _load("vocaltract.phonetics", "data/rules.toml")["variant"]["marks"]


@lru_cache(maxsize=512)
def by_rule(symbol: str) -> SoundEntry:
    """The entry of any IPA symbol, from its features; nothing is solved yet. BadInput as `ipa.parse`."""
    from vocaltract.ipa.symbol import parse

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
    rounded = f.rounded if f.is_vowel else "bilabial" in f.places and f.manner == "approximant"
    manner = f.manner if f.manner in _STOPS else f.way
    tongue = len(set(f.places)) > 1 or any(m in _BODY_MARKS for m in f.marks)
    name = f.name.replace(f.place, place)
    return SoundEntry(f.symbol, (), kind, place, manner, f.voiced, rounded, "", keys, name, tongue)


def _unchanged(f: Features) -> SoundEntry | None:
    """The English consonant of which a symbol changes voice, breath or release alone: the same mouth makes it."""
    from vocaltract.ipa.symbol import letters_of

    if f.is_vowel or not f.marks or not set(f.marks) <= _VOICE_AND_RELEASE:
        return None
    found = entries().get(letters_of(f.symbol))
    return found if found is not None and found.kind != "vowel" and found.posture != ("next",) else None


def listing() -> list[dict[str, Any]]:
    """Every sound as a plain dictionary, for tables and JSON."""
    return [
        {
            "symbol": e.symbol,
            "aliases": list(e.aliases),
            "kind": "allophone" if e.symbol in narrow_variants() else e.kind,
            "place": e.place,
            "manner": e.manner,
            "voiced": e.voiced,
            "name": e.name,
            "keyword": e.keyword,
        }
        for e in [*entries().values(), *narrow_variants().values()]
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
    if "+" in key and key not in _table():
        first, second = key.split("+")
        return posture_from((posture(first).values + posture(second).values) / 2)
    table = _table()
    if key in table:
        return posture_of(**table[key])
    return _made(key, table)


def _made(key: str, table: Mapping[str, Any]) -> Posture:
    """The posture of a symbol that is not shipped: by rule, solved once and kept (see `cache`)."""
    from articulators.head import adult_male
    from vocaltract.ipa.symbol import parse
    from vocaltract.phonetics import rules

    symbol = key.removesuffix(FRICTION)
    try:
        f = parse(symbol)
    except BadInput as error:
        raise BadInput(f"no posture for '{key}'" + (nearest(key, table) or f": {error}")) from None
    return rules.posture(rules.steps(f)[-1] if key != symbol else f, adult_male())
