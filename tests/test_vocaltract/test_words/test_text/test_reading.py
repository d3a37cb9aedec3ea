"""How words are read by themselves: letters and readings (common practice, no source)."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.words.text.orthography import words_of
from vocaltract.words.text.reading import said_words


def phones(text: str) -> list[str]:
    return [" ".join(one.pronunciation.phones) for one in said_words(words_of(text), None)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("the key", ["DH IY1", "K IY1"]),
        ("hot TV", ["HH AA1 T", "T IY2 V IY1"]),
        ("to record", ["T UW1", "R IH0 K AO1 R D"]),
        ("record/noun", ["R EH1 K ER0 D"]),
    ],
)
def test_words_are_said(text: str, said: list[str]) -> None:
    assert phones(text) == said


def test_a_reading_that_was_chosen_is_told() -> None:
    (one,) = said_words(words_of("record"), None)
    assert one.note.startswith("'record' is taken as noun, /ˈɹɛkɚd/; write record/verb for ")


def test_an_unknown_word_without_a_guesser_is_bad_input() -> None:
    with pytest.raises(BadInput, match=r"word 'towl' is not in the dictionary \(nearest: towel\)"):
        said_words(words_of("towl"), None)
