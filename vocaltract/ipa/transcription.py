"""A transcription of English in IPA: letters with their marks, stress, syllable and pause marks, as tokens."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace
from functools import cache

from articulators.errors import BadInput, nearest
from vocaltract.ipa.alphabet import alphabet, nfd
from vocaltract.ipa.english import phones, spellings
from vocaltract.ipa.features import makeable


@dataclass(frozen=True, slots=True)
class Token:
    """One item of an IPA text.

    kind      "sound", "stress", "syllable" (dot), "space" or "pause"
    text      as printed, NFD
    key       sounds: key of `english.phones`; else empty
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


def named_character(character: str) -> str:
    """A character for a message: itself where it prints alone, and its name."""
    name = unicodedata.name(character, f"U+{ord(character):04X}")
    shows = character.isprintable() and not unicodedata.combining(character)
    return f"'{character}' ({name})" if shows else name


@cache
def _ipa_characters() -> frozenset[str]:
    known = alphabet()
    stress = (char for char, sign in known.phrase.items() if sign.token == "stress")
    written = [*known.letters, *spellings(), *known.same, *known.marks, *known.pitch, *stress]
    return frozenset(char for text in written for char in text if not char.isascii())


def is_ipa_only(character: str) -> bool:
    """Whether a character belongs to IPA but not to ordinary English spelling."""
    return character in _ipa_characters()


def tokenise(text: str, offset: int = 0) -> tuple[Token, ...]:
    """Tokens of an IPA text (without its brackets).

    offset  characters that stood before it, for positions in messages
    Raises BadInput for a character that is not IPA, for an IPA letter outside the inventory, and for a mark
    with no letter before it; the message names the character and its position. Also for marks that no speaker
    could make on their letter, with the reason.
    """
    known = alphabet()
    same = {**known.same, **known.same_in_a_transcription}
    characters = [
        (c, offset + i) for i, original in enumerate(text, 1) for meant in nfd(original) for c in same.get(meant, meant)
    ]
    tokens: list[Token] = []
    i = 0
    while i < len(characters):
        character, position = characters[i]
        sign = known.phrase.get(character)
        if sign is not None and sign.token == "stress":
            tokens.append(Token("stress", character, level=sign.level, position=position))
        elif sign is not None and sign.token != "none":
            tokens.append(Token(sign.token, character, position=position))
        elif character.isspace():
            if tokens and tokens[-1].kind != "space":
                tokens.append(Token("space", " ", position=position))
        elif character in known.marks or character in known.pitch or character in known.ties:
            raise BadInput(f"{named_character(character)} at position {position} has no sound before it")
        elif sign is None and unicodedata.category(character) != "Cf":
            token, used = _sound(characters, i)
            tokens.append(token)
            i += used
            continue
        i += 1
    return _rhotic(tokens)


def _sound(characters: list[tuple[str, int]], start: int) -> tuple[Token, int]:
    known, written = alphabet(), spellings()
    longest = max(map(len, written))
    position = characters[start][1]
    best: tuple[str, str] | None = None
    used = 0
    spelled = ""
    end = start
    while end < len(characters) and len(spelled) < longest:
        character = characters[end][0]
        end += 1
        if character in known.ties:
            continue
        spelled += character
        if spelled in written:
            best, used = written[spelled], end - start
        elif spelled in known.letters and best is None:
            used = end - start
    if best is None:
        character = characters[start][0]
        if used:
            raise BadInput(
                f"{named_character(character)} at position {position} is IPA but not in the English inventory"
            )
        hint = nearest(character, [key for key in written if len(key) == 1]) if character.isascii() else ""
        raise BadInput(f"{named_character(character)} at position {position} is not an IPA symbol{hint}")
    letter, key = best
    marks = ""
    at = start + used
    while at < len(characters) and characters[at][0] in (known.marks.keys() | known.pitch | known.ties):
        character, where = characters[at]
        if character not in known.ties:
            marks += character
        elif at + 1 == len(characters) or unicodedata.category(characters[at + 1][0]) not in ("Ll", "Lo"):
            raise BadInput(f"the tie bar at position {where} joins '{letter}' to nothing; write t͡ʃ or leave it out")
        at += 1
    return _marked(letter, key, marks, position), at - start


def _marked(letter: str, key: str, marks: str, position: int) -> Token:
    known = alphabet()
    phone = phones()[key]
    said = (known.marks[mark][0] for mark in marks if mark in known.marks)
    own = phone.features
    makeable(replace(own, symbol=nfd(letter + marks), marks=tuple(dict.fromkeys((*own.marks, *said)))))
    features: set[str] = set()
    for mark in marks:
        features |= known.features_of.get(mark, frozenset())
    if {"devoiced", "partly_devoiced"} & features:
        features -= {"partly_devoiced"} if not (phone.is_obstruent and phone.voiced) else {"devoiced"}
    if "aspirated" in features:
        features.discard("weakly_aspirated")
    if key == "l" and any(known.marks.get(mark, ("",))[0].startswith("velarized") for mark in marks):
        key = "ɫ"
    features |= phones()[key].shows
    for printed in known.printed:
        if printed.on_descender != printed.mark:
            sign = printed.on_descender if letter[-1] in known.descenders else printed.mark
            marks = marks.replace(printed.mark, sign).replace(printed.on_descender, sign)
    return Token("sound", nfd(letter + marks), key, frozenset(features), position=position)


def _rhotic(tokens: list[Token]) -> tuple[Token, ...]:
    """A central vowel and ɹ that no vowel follows are one r-coloured vowel: ɜɹ is ɝ, əɹ is ɚ."""
    whole = {parts[0]: letter for letter, parts in alphabet().whole.items() if parts[1:] == "\u02de"}
    found: list[Token] = []
    for i, token in enumerate(tokens):
        before = found[-1] if found else None
        following = tokens[i + 1] if i + 1 < len(tokens) else None
        before_vowel = following is not None and following.kind == "sound" and phones()[following.key].is_vowel
        if token.text == "ɹ" and before is not None and before.text in whole and not before_vowel:
            key = whole[before.text]
            found[-1] = replace(before, text=key, key=key)
        else:
            found.append(token)
    return tuple(found)
