"""Written text cut into words and thought groups, with one clear line for whatever cannot be read."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from articulators.errors import BadInput
from vocaltract.words.ipa import described, is_ipa_only

LONGEST_TEXT = 200
"""Characters. Longer texts make films too long to teach with (our choice, no source)."""

_BREAKS = frozenset(".,;:!?()\u2013\u2014\u2026")
_QUOTES = frozenset('"\u201c\u201d\u201e\u00ab\u00bb`\u2018')
_APOSTROPHES = "'\u2019"


@dataclass(frozen=True, slots=True)
class Written:
    """One word as written, and the running number of its thought group."""

    text: str
    group: int


def check_length(text: str) -> None:
    """Raises BadInput for an empty or too long text."""
    if not text.strip():
        raise BadInput("the text is empty; give a word, a phrase, or IPA between [ ]")
    if len(text) > LONGEST_TEXT:
        raise BadInput(f"the text has {len(text)} characters; at most {LONGEST_TEXT} are allowed")


def words_of(text: str) -> tuple[Written, ...]:
    """Words of an English text in order.

    Punctuation and line ends part thought groups; quotation marks are passed over; a hyphen stays in a word.
    Raises BadInput for letters of another alphabet, IPA outside brackets, digits, other symbols, and for a
    text without words; the message names the character and its position, counted from 1.
    """
    found: list[Written] = []
    word = ""
    group = 0

    def close(new_group: bool = False) -> None:
        nonlocal word, group
        cleaned = word.strip("-" + _APOSTROPHES)
        if cleaned:
            found.append(Written(cleaned, group))
        word = ""
        if new_group and found:
            group = found[-1].group + 1

    for position, character in enumerate(text, 1):
        if character in _BREAKS or character in "\n\r\u2028\u2029":
            close(new_group=True)
        elif character.isspace() or character in _QUOTES:
            close()
        elif character in _APOSTROPHES or character in "-\u2010\u2011":
            word += "'" if character in _APOSTROPHES else "-"
            if word.endswith("--"):
                close(new_group=True)
        elif unicodedata.combining(character) and word:
            word += character
        else:
            _check(character, position, text)
            word += character
    close()
    if not found:
        raise BadInput(
            f"{shown(text)} has no word in it, only punctuation; give a word, a phrase, or IPA between [ ]"
        )
    return tuple(found)


def _check(character: str, position: int, text: str) -> None:
    if character.isdecimal() or character.isnumeric():
        raise BadInput(
            f"'{character}' at position {position} is a digit; write numbers as words (two, twenty)"
        )
    if is_ipa_only(character):
        raise BadInput(f"{described(character)} at position {position} is IPA; put IPA between [ ] or / /")
    if character.isalpha():
        if unicodedata.name(character, "").startswith("LATIN "):
            return
        mixed = "mixed alphabets: " if any("a" <= other.lower() <= "z" for other in text) else ""
        raise BadInput(
            f"{mixed}{described(character)} at position {position} is not a letter of the Latin alphabet; "
            "write the words in Latin letters"
        )
    if character in "[]/":
        raise BadInput(f"'{character}' at position {position}: IPA must fill the whole text, as [tu] or /tu/")
    raise BadInput(
        f"{described(character)} at position {position} cannot be read; use letters, or IPA between [ ]"
    )


def shown(text: str) -> str:
    """A text inside a one-line message: quoted, control characters escaped, cut after 40 characters."""
    return repr(text if len(text) <= 40 else text[:39] + "\u2026")
