"""Written text cut into words and thought groups: common practice of English spelling, no source."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.words.text.orthography import LONGEST_TEXT, check_length, is_invisible, quoted_text, words_of


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Good morning, sir.", [("Good", 0), ("morning", 0), ("sir", 1)]),
        ("the front-desk key", [("the", 0), ("front-desk", 0), ("key", 0)]),
        ("Mr. Gray's key", [("mister", 0), ("Gray's", 0), ("key", 0)]),
        ("room 305", [("room", 0), ("three", 0), ("oh", 0), ("five", 0)]),
        ("'towel' \u2013 please", [("towel", 0), ("please", 1)]),
        ("to\u00adwel", [("towel", 0)]),
        ("hot \u2014 bath", [("hot", 0), ("bath", 1)]),
    ],
)
def test_words_and_thought_groups(text: str, words: list[tuple[str, int]]) -> None:
    assert [(word.text, word.group) for word in words_of(text)] == words


def test_what_is_asked_for_goes_with_its_word() -> None:
    first, second = words_of("record/verb V.I.P.")
    assert (first.text, first.choice) == ("record", "verb")
    assert (second.text, second.letters, second.position) == ("VIP", True, 13)
    assert words_of("room 12")[1].read_as == "'12' is read as 'twelve'"


def test_lengths_and_what_is_shown_of_a_text() -> None:
    check_length("a" * LONGEST_TEXT)
    with pytest.raises(BadInput, match="201 characters; at most 200"):
        check_length("a" * (LONGEST_TEXT + 1))
    assert is_invisible("\u200b") and not is_invisible(" ")
    assert quoted_text("key\n") == "'key\\n'" and len(quoted_text("k" * 90)) == 42
