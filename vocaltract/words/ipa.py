"""Reading IPA: letters with their marks, stress, syllable and pause marks, as tokens."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace
from functools import cache

from articulators.errors import BadInput, nearest
from vocaltract.words.lexicon.phones import by_ipa
from vocaltract.words.lexicon.tables import rows

_TIES = "\u0361\u035c"
_PAUSES = "|\u2016"
_STRESS = {"\u02c8": 1, "'": 1, "\N{RIGHT SINGLE QUOTATION MARK}": 1, "\u02cc": 2}
_IGNORED = "\u203f"
_DESCENDERS = frozenset("ɡŋʒjɟyɣ")


@dataclass(frozen=True, slots=True)
class Token:
    """One item of an IPA text.

    kind      "sound", "stress", "syllable" (dot), "space" or "pause"
    text      as printed, NFD
    key       sounds: key of the inventory; else empty
    features  sounds: what letter and marks say
    level     stress marks: 1 or 2; else 0
    position  place of the first character in the text, from 1
    """

    kind: str
    text: str
    key: str = ""
    features: frozenset[str] = frozenset()
    level: int = 0
    position: int = 0


@dataclass(frozen=True, slots=True)
class Mark:
    """One row of data/features.tsv."""

    feature: str
    plain: str
    descending: str


@cache
def printed_marks() -> tuple[Mark, ...]:
    """Feature marks in printing order."""
    found = []
    for row in rows("features.tsv"):
        plain = chr(int(row["mark"], 16))
        found.append(
            Mark(row["feature"], plain, chr(int(row["descender"], 16)) if row["descender"] != "-" else plain)
        )
    return tuple(found)


@cache
def _mark_features() -> dict[str, frozenset[str]]:
    found: dict[str, frozenset[str]] = {}
    for mark in printed_marks():
        for character in (mark.plain, mark.descending):
            found[character] = found.get(character, frozenset()) | {mark.feature}
    found["\u1d50"] = found["\u1d51"] = found["\u207f"]
    found[":"] = found["\u02d0"]
    for row in rows("diacritics.tsv"):
        found.setdefault(chr(int(row["mark"], 16)), frozenset())
    return found


@cache
def _letters() -> dict[str, tuple[str, str]]:
    """What may be written (NFD) -> (letter to print, key)."""
    found = {decomposed(key): (decomposed(key), key) for key in by_ipa()}
    for row in rows("aliases.tsv"):
        given, key = decomposed(row["given"]), row["key"]
        found[given] = (given if row["keep"] == "1" else decomposed(key), key)
    return found


@cache
def other_letters() -> frozenset[str]:
    """Letters of the IPA chart that are no sound of the inventory (NFD)."""
    found: list[str] = []
    for row in rows("ipa_letters.tsv"):
        for character in decomposed(row["letters"]):
            if unicodedata.combining(character):
                found[-1] += character
            else:
                found.append(character)
    return frozenset(found)


def decomposed(text: str) -> str:
    """NFD, the form in which all IPA is compared."""
    return unicodedata.normalize("NFD", text)


def described(character: str) -> str:
    """A character for a message: itself where it prints alone, and its name."""
    name = unicodedata.name(character, f"U+{ord(character):04X}")
    shows = character.isprintable() and not unicodedata.combining(character)
    return f"'{character}' ({name})" if shows else name


def is_ipa_only(character: str) -> bool:
    """Whether a character belongs to IPA but not to ordinary English spelling."""
    known = "".join(_letters()) + "".join(other_letters()) + "ˈˌː" + "".join(_mark_features())
    return not character.isascii() and character in known


def sound_key(given: str) -> str | None:
    """Inventory key for a bare symbol or alias (r is ɹ, g is ɡ, t͡ʃ is tʃ), or None."""
    plain = "".join(c for c in decomposed(given.strip()) if c not in _TIES)
    found = _letters().get(plain) or _letters().get(plain.lower())
    return found[1] if found else None


def tokenise(text: str, offset: int = 0) -> tuple[Token, ...]:
    """Tokens of an IPA text (without its brackets).

    offset  characters that stood before it, for positions in messages
    Raises BadInput for a character that is not IPA, for an IPA letter outside the inventory, and for a mark
    with no letter before it; the message names the character and its position.
    """
    characters = [(c, offset + i + 1) for i, original in enumerate(text) for c in decomposed(original)]
    tokens: list[Token] = []
    i = 0
    while i < len(characters):
        character, position = characters[i]
        if character in _PAUSES:
            tokens.append(Token("pause", character, position=position))
        elif character.isspace():
            if tokens and tokens[-1].kind != "space":
                tokens.append(Token("space", " ", position=position))
        elif character == ".":
            tokens.append(Token("syllable", ".", position=position))
        elif character in _STRESS:
            level = _STRESS[character]
            tokens.append(Token("stress", "ˈˌ"[level - 1], level=level, position=position))
        elif character in _mark_features() or character in _TIES:
            raise BadInput(f"{described(character)} at position {position} has no sound before it")
        elif character not in _IGNORED and unicodedata.category(character) != "Cf":
            token, used = _sound(characters, i)
            tokens.append(token)
            i += used
            continue
        i += 1
    return _rhotic(tokens)


def _sound(characters: list[tuple[str, int]], start: int) -> tuple[Token, int]:
    letters = _letters()
    longest = max(map(len, letters))
    position = characters[start][1]
    best: tuple[str, str] | None = None
    used = 0
    spelled = ""
    end = start
    while end < len(characters) and len(spelled) < longest:
        character = characters[end][0]
        end += 1
        if character in _TIES:
            continue
        spelled += character
        if spelled in letters:
            best, used = letters[spelled], end - start
        elif spelled in other_letters() and best is None:
            used = end - start
    if best is None:
        character = characters[start][0]
        if used:
            raise BadInput(
                f"{described(character)} at position {position} is IPA but not in the English inventory"
            )
        hint = nearest(character, [key for key in letters if len(key) == 1]) if character.isascii() else ""
        raise BadInput(f"{described(character)} at position {position} is not an IPA symbol{hint}")
    letter, key = best
    marks = ""
    known = _mark_features()
    at = start + used
    while at < len(characters) and (characters[at][0] in known or characters[at][0] in _TIES):
        if characters[at][0] not in _TIES:
            marks += "ː" if characters[at][0] == ":" else characters[at][0]
        elif at + 1 == len(characters) or unicodedata.category(characters[at + 1][0]) not in ("Ll", "Lo"):
            where = characters[at][1]
            raise BadInput(f"the tie bar at position {where} joins '{letter}' to nothing; write t͡ʃ or leave it out")
        at += 1
    return _marked(letter, key, marks, position), at - start


def _marked(letter: str, key: str, marks: str, position: int) -> Token:
    phone = by_ipa()[key]
    features: set[str] = set()
    for mark in marks:
        features |= _mark_features()[mark]
    if {"devoiced", "partly_devoiced"} & features:
        features -= {"partly_devoiced"} if not (phone.is_obstruent and phone.voiced) else {"devoiced"}
    if "aspirated" in features:
        features.discard("weakly_aspirated")
    if key == "l" and set(marks) & set("\u0334\u02e0"):
        key = "ɫ"
    features |= {"ɾ": {"flap"}, "ɫ": {"dark"}, "ʔ": {"glottal"}}.get(key, set())
    ring = "\u030a" if letter[-1] in _DESCENDERS else "\u0325"
    marks = marks.replace("\u030a", ring).replace("\u0325", ring)
    return Token("sound", decomposed(letter + marks), key, frozenset(features), position=position)


def _rhotic(tokens: list[Token]) -> tuple[Token, ...]:
    """A central vowel and ɹ that no vowel follows are one r-coloured vowel: ɜɹ is ɝ, əɹ is ɚ."""
    found: list[Token] = []
    for i, token in enumerate(tokens):
        before = found[-1] if found else None
        following = tokens[i + 1] if i + 1 < len(tokens) else None
        before_vowel = (
            following is not None and following.kind == "sound" and by_ipa()[following.key].is_vowel
        )
        if token.text == "ɹ" and before is not None and before.text in ("ɜ", "ə") and not before_vowel:
            key = "ɝ" if before.text == "ɜ" else "ɚ"
            found[-1] = replace(before, text=key, key=key)
        else:
            found.append(token)
    return tuple(found)
