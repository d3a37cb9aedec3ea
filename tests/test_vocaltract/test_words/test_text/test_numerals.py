"""Digits as they are said: common practice of American English, no source."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.words.text.numerals import PATTERN, words_of_number


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("305", "three hundred five"),
        ("1204", "twelve oh four"),
        ("1995", "nineteen ninety-five"),
        ("2000", "two thousand"),
        ("1,250", "one thousand two hundred fifty"),
        ("7:30", "seven thirty"),
        ("11:00", "eleven o'clock"),
        ("2nd", "second"),
        ("21st", "twenty-first"),
        ("10-15", "ten to fifteen"),
        ("555-0123", "five five five, oh one two three"),
        ("3.5", "three point five"),
        ("007", "oh oh seven"),
        ("$12.50", "twelve dollars fifty cents"),
        ("$1", "one dollar"),
        ("€20", "twenty euros"),
    ],
)
def test_numbers_in_words(written: str, said: str) -> None:
    found = PATTERN.match(written)
    assert found is not None and found[0] == written
    assert words_of_number(written, 1) == said


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("110", "one ten"),
        ("204", "two oh four"),
        ("305", "three oh five"),
        ("300", "three hundred"),
        ("412", "four twelve"),
        ("1004", "ten oh four"),
        ("12", "twelve"),
    ],
)
def test_rooms_in_words(written: str, said: str) -> None:
    """As rooms are called at an American front desk (common practice, no source)."""
    assert words_of_number(written, 1, named=True) == said


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("1" * 13, "the number at position 4 has 13 digits; at most 12 are read"),
        ("12,50", "'12,50' at position 4: a comma parts groups of three digits, as in 1,250"),
        ("$12.5", "'$12.5' at position 4 cannot be read as a sum; write it as $12 or $12.50"),
    ],
)
def test_what_is_no_number_is_told(written: str, told: str) -> None:
    with pytest.raises(BadInput) as caught:
        words_of_number(written, 4)
    assert str(caught.value) == told
