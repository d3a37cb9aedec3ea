"""Written text cut into words and thought groups, with one clear line for whatever cannot be read."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from articulators.errors import BadInput
from articulators.records import Record, rows
from vocaltract.ipa.transcription import is_ipa_only, named_character
from vocaltract.words.text.grammar import is_a
from vocaltract.words.text.numerals import PATTERN, words_of_number

LONGEST_TEXT = 200
"""Characters. Longer texts make films too long to teach with (our choice, no source)."""

_BREAKS = frozenset(".,;:!?()\u2013\u2014\u2026\n\r\u2028\u2029")
_QUOTES = frozenset('"\u201c\u201d\u201e\u00ab\u00bb`\u2018')
_APOSTROPHES = "'\u2019"
_HYPHENS = "-\u2010\u2011"
_INITIALS = re.compile(r"(?:[A-Za-z]\.){2,}[A-Za-z]?(?![A-Za-z])")
_CHOICE = re.compile(r"/([0-9]{1,2}|[A-Za-z]+)(?![\w/])")


@dataclass(frozen=True, slots=True)
class Written:
    """One word as written.

    text      the word, or one word of a number ("305" gives three)
    group     running number of its thought group
    position  where it begins in the text, from 1
    choice    reading asked for, "2" or "verb" in record/2 and record/verb; else empty
    letters   whether it is to be said letter by letter (V.I.P.)
    read_as   the first word of a number: what was written and what is read, for a note; else empty
    ending    the marks that end its thought group after it, as "?" or ","; else empty
    """

    text: str
    group: int
    position: int
    choice: str = ""
    letters: bool = False
    read_as: str = ""
    ending: str = ""


class Abbreviation(Record, frozen=True):
    """A row of data/abbreviations.tsv; ``before``: "name" where it is one only before a capital letter."""

    written: str
    spoken: str
    before: Literal["any", "name"]


@cache
def _abbreviations() -> dict[str, tuple[str, bool]]:
    listed = rows("vocaltract.words", "abbreviations.tsv", Abbreviation)
    return {row.written: (row.spoken, row.before == "name") for row in listed}


@cache
def _abbreviation() -> re.Pattern[str]:
    longer = [written for written in _abbreviations() if len(written) > 1]
    ends = ("" if written.endswith(".") else r"(?![\w/])" for written in longer)
    return re.compile("|".join(re.escape(written) + end for written, end in zip(longer, ends, strict=True)), re.I)


def is_invisible(character: str) -> bool:
    """Whether a character has no shape of its own: zero-width, text direction and soft hyphens are passed over."""
    return unicodedata.category(character) == "Cf"


def check_length(text: str) -> None:
    """Raises BadInput for an empty or too long text."""
    if not "".join(c for c in text if not is_invisible(c)).strip():
        raise BadInput("the text is empty; give a word, a phrase, or IPA between [ ]")
    if len(text) > LONGEST_TEXT:
        raise BadInput(f"the text has {len(text)} characters; at most {LONGEST_TEXT} are allowed")


def words_of(text: str) -> tuple[Written, ...]:
    """Words of an English text in order.

    Punctuation and line ends part thought groups; quotation marks and characters without a shape are passed over;
    a hyphen stays in a word; digits, $ and a few signs become words; V.I.P. is one word of letters, and the full
    stop of Mr. and the like ends nothing; record/2 asks for a reading.
    Raises BadInput for letters of another alphabet, IPA outside brackets, other symbols, and for a text without
    words; the message names the character and its position, counted from 1.
    """
    return _Cutter(text).cut()


class _Cutter:
    """One pass over a text; what has been found so far."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.found: list[Written] = []
        self.word = ""
        self.begun = 1
        self.group = 0

    def cut(self) -> tuple[Written, ...]:
        """The words, in order."""
        at = 0
        while at < len(self.text):
            at = self._special(at) or self._character(at)
        self._close()
        if not self.found:
            raise BadInput(
                f"{quoted_text(self.text)} has no word in it, only punctuation; "
                "give a word, a phrase, or IPA between [ ]"
            )
        return tuple(self.found)

    def _close(self, new_group: bool = False) -> None:
        cleaned = self.word.strip("-" + _APOSTROPHES)
        if cleaned:
            self.found.append(Written(cleaned, self.group, self.begun))
        self.word = ""
        if new_group and self.found:
            self.group = self.found[-1].group + 1

    def _end_group(self, mark: str) -> None:
        self._close(new_group=True)
        if self.found:
            self.found[-1] = replace(self.found[-1], ending=self.found[-1].ending + mark)

    def _special(self, at: int) -> int:
        """The place after a number, initials, an abbreviation, a sign or a reading that begins here, or 0."""
        fresh = not self.word.strip("-")
        if number := PATTERN.match(self.text, at):
            return self._number(number)
        if fresh and (initials := _INITIALS.match(self.text, at)):
            self._add(initials[0].replace(".", ""), at, letters=True)
            return initials.end()
        if fresh and (short := _abbreviation().match(self.text, at)):
            spoken, before_name = _abbreviations()[short[0].lower()]
            rest = self.text[short.end() :].lstrip()
            if not before_name or rest[:1].isupper():
                self._add(spoken, at, letters=spoken.isupper())
                return short.end()
        if self.text[at] == "#" and self.text[at + 1 : at + 2].isdecimal():
            self._add("number", at)
            return at + 1
        sign = _abbreviations().get(self.text[at])
        if sign:
            self._add(sign[0], at)
            return at + 1
        if not fresh and (choice := _CHOICE.match(self.text, at)):
            self._close()
            self.found[-1] = replace(self.found[-1], choice=choice[1].lower())
            return choice.end()
        return 0

    def _add(self, words: str, at: int, letters: bool = False, read_as: str = "") -> None:
        self._close()
        for n, group in enumerate(words.split(", ")):
            if n:
                self._end_group(",")
            for word in group.split():
                self.found.append(Written(word, self.group, at + 1, letters=letters, read_as=read_as))
                read_as = ""

    def _number(self, number: re.Match[str]) -> int:
        written, end = number[0].rstrip(","), number.end() - len(number[0]) + len(number[0].rstrip(","))
        following = self.text[end : end + 2]
        if following[:1] in ("s", "/") or following == "'s":
            raise BadInput(
                f"'{written}{following.rstrip()}' at position {number.start() + 1} cannot be read as a number; "
                "write it in words"
            )
        self._close()
        named = bool(self.found) and is_a(self.found[-1].text.lower(), "numbered")
        spoken = words_of_number(written, number.start() + 1, named)
        self._add(spoken, number.start(), read_as=f"'{written}' is read as '{spoken}'")
        return end

    def _character(self, at: int) -> int:
        character = self.text[at]
        if character in _BREAKS:
            self._end_group(character.strip())
        elif character.isspace() or character in _QUOTES:
            self._close()
        elif character in _APOSTROPHES or character in _HYPHENS:
            self.word += "'" if character in _APOSTROPHES else "-"
            if self.word.endswith("--"):
                self._close(new_group=True)
        elif not is_invisible(character):
            self._letter(character, at + 1)
        return at + 1

    def _letter(self, character: str, position: int) -> None:
        if not (unicodedata.combining(character) and self.word):
            if _check(character, position, self.text):
                self._close(new_group=True)
                return
            if not self.word:
                self.begun = position
        self.word += character


def _check(character: str, position: int, text: str) -> bool:
    """Whether a character that is no English letter ends a thought group; BadInput where it is not even that."""
    if character.isdecimal() or character.isnumeric():
        raise BadInput(f"'{character}' at position {position} is a digit of another kind; use the digits 0 to 9")
    if is_ipa_only(character):
        raise BadInput(f"{named_character(character)} at position {position} is IPA; put IPA between [ ] or / /")
    if character.isalpha():
        if "a" <= unicodedata.normalize("NFD", character)[0].lower() <= "z":
            return False
        if unicodedata.name(character, "").startswith("LATIN "):
            raise BadInput(f"{named_character(character)} at position {position} is not a letter of English")
        mixed = "mixed alphabets: " if any("a" <= other.lower() <= "z" for other in text) else ""
        raise BadInput(
            f"{mixed}{named_character(character)} at position {position} is not a letter of the Latin alphabet; "
            "write the words in Latin letters"
        )
    if character in "[]/":
        raise BadInput(f"'{character}' at position {position}: IPA must fill the whole text, as [tu] or /tu/")
    if not character.isascii() and unicodedata.category(character).startswith("P"):
        return True
    raise BadInput(
        f"{named_character(character)} at position {position} cannot be read; use letters, or IPA between [ ]"
    )


def quoted_text(text: str) -> str:
    """A text inside a one-line message: quoted, control characters escaped, cut after 40 characters."""
    return repr(text if len(text) <= 40 else text[:39] + "\u2026")
