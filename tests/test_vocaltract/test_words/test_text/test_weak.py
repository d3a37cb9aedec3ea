"""Weak forms by grammar: Cruttenden; Wells, Longman Pronunciation Dictionary; both from memory."""

from __future__ import annotations

import pytest

from vocaltract.words.text.orthography import words_of
from vocaltract.words.text.reading import said_words
from vocaltract.words.text.weak import is_function_word, weakened


def phones(text: str) -> list[str]:
    return [" ".join(one.pronunciation.phones) for one in weakened(said_words(words_of(text), None))]


@pytest.mark.parametrize(
    ("text", "place", "said"),
    [
        ("the key", 0, "DH AH0"),
        ("the elevator", 0, "DH IY0"),
        ("to record", 0, "T AH0"),
        ("tea and coffee", 1, "AH0 N"),
        # main verb against auxiliary
        ("I have a key", 1, "HH AE1 V"),
        ("I have lost my key", 1, "HH AH0 V"),
        ("have you checked in", 0, "HH AH0 V"),
        ("you have to sign", 1, "HH AE1 F"),
        ("she has to call", 1, "HH AE1 S"),
        ("I used to work", 1, "Y UW1 S"),
        ("the key is used to open it", 3, "Y UW1 Z D"),
        ("what do you need", 1, "D AH0"),
        ("do it today", 0, "D UW1"),
        ("I do my best", 1, "D UW1"),
        # stranded and final
        ("what is it for", 3, "F AO1 R"),
        ("where are you from", 3, "F R AH1 M"),
        ("Do they have to", 3, "T UW1"),
        ("yes I can", 2, "K AE1 N"),
        ("how are you", 1, "AA1 R"),
        ("where is it", 1, "IH1 Z"),
        ("where are you from", 1, "ER0"),
        # that: relative or demonstrative; there: a place or none
        ("the key that you left", 2, "DH AH0 T"),
        ("spell that name", 1, "DH AE1 T"),
        ("is there a key", 1, "DH ER0"),
        ("we are there", 2, "DH EH1 R"),
        # particles keep their vowel, prepositions do not bear a stress
        ("hold on a minute", 1, "AA1 N"),
        ("it is on the left", 2, "AA0 N"),
        # contractions
        ("I'll call", 0, "AA0 L"),
        ("it's late", 0, "IH0 T S"),
        ("I can't help", 1, "K AE1 N T"),
    ],
)
def test_forms(text: str, place: int, said: str) -> None:
    assert phones(text)[place] == said


def test_what_stands_out_or_was_chosen_stays_strong() -> None:
    assert phones("I CAN help")[1] == "K AE1 N"
    assert phones("a towel")[0] == "AH0"
    assert phones("a/1 towel")[0] == "EY1"


def test_function_words_are_those_with_a_weak_form() -> None:
    assert is_function_word("the") and not is_function_word("towel")
