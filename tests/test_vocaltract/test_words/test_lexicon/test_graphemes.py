"""Letters of sounds, against spellings that any teacher would give (common practice, no source)."""

from __future__ import annotations

from itertools import pairwise

import pytest

from vocaltract.words.lexicon.dictionary import lookup
from vocaltract.words.lexicon.graphemes import letter_spans
from vocaltract.words.text.transcribe import read


@pytest.mark.parametrize(
    ("word", "letters"),
    [
        ("check", "ch e ck"),
        ("phone", "ph o n"),
        ("guest", "gu e s t"),
        ("key", "k ey"),
        ("box", "b o x x"),
        ("luggage", "l u gg a ge"),
        ("desk", "d e s k"),
        ("elevator", "e l e v a t or"),
    ],
)
def test_letters_of_sounds(word: str, letters: str) -> None:
    spans = letter_spans(word, lookup(word)[0].phones)
    said = [word[slice(*span)] if span else "-" for span in spans]
    expected = letters.split()
    # a silent e may go with the consonant before it
    assert [s.removesuffix("e") or s for s in said] == [e.removesuffix("e") or e for e in expected]


@pytest.mark.parametrize("text", ["front desk", "backpack", "hot tub", "did you check in", "minibar"])
def test_spans_rise_and_lie_in_their_word(text: str) -> None:
    utterance = read(text)
    for word in range(len(utterance.words)):
        spans = [s.spelling for s in utterance.sounds if s.word == word and s.spelling]
        assert spans
        assert all(a[0] <= b[0] for a, b in pairwise(spans))
        assert all(0 <= a < b <= len(utterance.words[word]) for a, b in spans)


def test_ipa_has_no_letters() -> None:
    assert all(s.spelling is None for s in read("[tʰaʊ]").sounds)
