"""What is handed on of a word; outside: none, the places of words in a text."""

from __future__ import annotations

from vocaltract.words.text.orthography import words_of
from vocaltract.words.text.reading import said_words
from vocaltract.words.text.spoken_word import thought_groups


def test_thought_groups_and_stress() -> None:
    said = said_words(words_of("Yes, a towel. Good night"), None)
    assert thought_groups(said) == [range(1), range(1, 3), range(3, 5)]
    assert said[2].stressed and said[2].word == "towel"
