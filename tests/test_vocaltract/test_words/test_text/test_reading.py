"""How words are read: letters, readings and weak forms (Cruttenden, from memory; else common practice, no source)."""

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
        ("the key", ["DH AH0", "K IY1"]),
        ("the elevator", ["DH IY0", "EH1 L AH0 V EY2 T ER0"]),
        ("the TV", ["DH AH0", "T IY2 V IY1"]),
        ("to record", ["T AH0", "R AH0 K AO1 R D"]),
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
