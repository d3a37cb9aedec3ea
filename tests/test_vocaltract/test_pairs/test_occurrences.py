"""Where two sounds are said for a comparison: texts as given, minimal pairs, or sounds by themselves."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from tests.spoken import said
from vocaltract.pairs.occurrences import compare, example_occurrences, position_of
from vocaltract.phonetics.inventory import entries
from vocaltract.phonetics.speakers import speaker_of


@pytest.mark.parametrize(
    ("word", "number", "where"),
    [("desk", 0, "initial"), ("map", 2, "final"), ("stay", 1, "cluster"), ("lobby", 2, "medial")],
)
def test_the_position_in_a_word_is_named(word: str, number: int, where: str) -> None:
    """Common practice: initial and final beside a vowel, in a cluster beside another consonant."""
    assert position_of(said(word).utterance, number) == where


def test_two_sounds_are_said_in_a_minimal_pair_that_holds_them() -> None:
    """What a minimal pair is: any textbook of phonology."""
    first, second, where = example_occurrences(entries()["l"], entries()["ɹ"])
    assert where == "initial" and first.word != second.word
    assert [one.span.sound.target for one in (first, second)] == ["l", "ɹ"]
    rest = [[s.target for i, s in enumerate(one.timeline.sounds) if i != one.index] for one in (first, second)]
    assert rest[0] == rest[1]


def test_texts_keep_their_words_and_say_what_else_differs() -> None:
    two = compare("ticket", "desk")
    assert two.texts == ("ticket", "desk") and two.position == "initial" and two.others
    assert (two.first.entry.symbol, two.second.entry.symbol) == ("t", "d")


def test_a_sound_that_one_text_alone_has_is_told_apart() -> None:
    assert compare("stay", "say").extra == 0
    assert compare("say", "stay").extra == 1
    assert compare("late", "date").extra is None


@pytest.mark.parametrize(("a", "b"), [("t", "t"), ("key", "key")])
def test_what_is_said_the_same_is_refused(a: str, b: str) -> None:
    with pytest.raises(BadInput):
        compare(a, b)


@pytest.mark.parametrize(("a", "b"), [("l", "r"), ("t", "n"), ("ticket", "desk"), ("h", "[ʔ]"), ("l", "desk")])
def test_both_are_said_by_the_speaker_asked_for(a: str, b: str) -> None:
    found = compare(a, b, speaker="woman")
    assert found.first.timeline.speaker is found.second.timeline.speaker is speaker_of("woman")
