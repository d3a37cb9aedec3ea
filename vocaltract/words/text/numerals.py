"""Digits to words. The cardinal and ordinal names come from the library `inflect`, which is imported only here."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

from articulators.errors import BadInput

LONGEST_NUMBER = 12
"""Digits. Longer numbers are refused (our choice: nobody says them in one breath)."""
PATTERN = re.compile(
    r"[$£€]?[0-9][0-9,]*(?:(?P<time>:[0-5][0-9])(?![0-9])|\.[0-9]+)?"
    r"(?:(?P<ordinal>st|nd|rd|th)\b)?(?P<group>(?:-[0-9]+)*)"
)
_TELEPHONE = 7
"""Digits from which groups joined by hyphens are a telephone number (the shortest American one)."""
_MONEY = {"$": ("dollar", "cent"), "£": ("pound", "penny"), "€": ("euro", "cent")}
_ONES = "oh one two three four five six seven eight nine".split()


@lru_cache(maxsize=1)
def _engine() -> Any:
    import inflect

    return inflect.engine()


def _cardinal(number: str) -> str:
    words: str = _engine().number_to_words(int(number), andword="", comma="")
    return words


def _digits(number: str) -> str:
    return " ".join(_ONES[int(digit)] for digit in number)


def words_of_number(written: str, position: int, named: bool = False) -> str:
    """The words of a number as it is said, hyphens as in writing: "305" is "three hundred five".

    written   what `PATTERN` matched; thousands may be parted by commas
    position  where it stands in the text, from 1, for messages
    named     whether it names a room, a gate or the like
    Four digits without a comma are said in pairs (room 1204: twelve oh four; 1995: nineteen ninety-five), and so are
    three that name a room (110: one ten; 204: two oh four); clock times as times, a number with a leading nought digit
    by digit; so are groups joined by hyphens of seven digits or more, a comma between them (555-0123), while shorter
    ones are a range (10-15: ten to fifteen).
    Raises BadInput, one line, for a number that is too long or not written in one of these ways.
    """
    whole = written.lower()
    digits = re.sub("[^0-9]", "", whole)
    if len(digits) > LONGEST_NUMBER:
        raise BadInput(f"the number at position {position} has {len(digits)} digits; at most {LONGEST_NUMBER} are read")
    if "," in whole and not re.fullmatch(r"[$£€]?[0-9]{1,3}(,[0-9]{3})+(\.[0-9]+)?", whole):
        raise BadInput(f"'{written}' at position {position}: a comma parts groups of three digits, as in 1,250")
    if whole[0] in _MONEY:
        return _money(whole, position)
    plain = whole.replace(",", "")
    if ":" in plain:
        return _time(plain)
    if "-" in plain:
        spell, between = (_digits, ", ") if len(digits) >= _TELEPHONE else (_cardinal, " to ")
        return between.join(spell(part) for part in plain.split("-"))
    if plain.endswith(("st", "nd", "rd", "th")):
        ordinal: str = _engine().ordinal(_cardinal(plain[:-2]))
        return ordinal
    if "." in plain:
        before, after = plain.split(".")
        return f"{_cardinal(before)} point {_digits(after)}"
    if plain.startswith("0") and len(plain) > 1:
        return _digits(plain)
    if "," in whole:
        return _cardinal(plain)
    if named and len(plain) == 3:
        return _with_pair(plain[0], plain[1:])
    return _in_pairs(plain) if len(plain) == 4 else _cardinal(plain)


def _in_pairs(number: str) -> str:
    if number.endswith("000") or number.startswith("200"):
        return _cardinal(number)
    return _with_pair(number[:2], number[2:])


def _with_pair(first: str, last: str) -> str:
    """A number whose last two digits are said by themselves."""
    if last == "00":
        return f"{_cardinal(first)} hundred"
    return f"{_cardinal(first)} {_digits(last) if last[0] == '0' else _cardinal(last)}"


def _time(written: str) -> str:
    hour, minute = written.split(":")
    if minute == "00":
        return f"{_cardinal(hour)} o'clock"
    return f"{_cardinal(hour)} {_digits(minute) if minute[0] == '0' else _cardinal(minute)}"


def _money(written: str, position: int) -> str:
    unit, part = _MONEY[written[0]]
    before, _, after = written[1:].replace(",", "").partition(".")
    if not re.fullmatch(r"[0-9]*", after) or not before.isdigit():
        raise BadInput(f"'{written}' at position {position} cannot be read as a sum; write it as $12 or $12.50")
    said = f"{_cardinal(before)} {unit if int(before) == 1 else unit + 's'}"
    if not after.strip("0"):
        return said
    if len(after) != 2:
        raise BadInput(f"'{written}' at position {position} cannot be read as a sum; write it as $12 or $12.50")
    cents = {"cent": "cents", "penny": "pence"}[part] if int(after) != 1 else part
    return f"{said} {_cardinal(after)} {cents}"
