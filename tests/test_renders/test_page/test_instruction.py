"""What a page tells first, and when it opens. Articulations: P. Ladefoged & K. Johnson (from memory)."""

from __future__ import annotations

import pytest

from renders.page.instruction import differ_most_s, instructions
from renders.page.subject import subject_of
from renders.wording.languages import language_of

PAIRS = {
    ("light", "right"): (("l", "sides"), ("r", "Round")),
    ("vest", "west"): (("v", "upper teeth"), ("w", "Round")),
    ("seat", "sit"): (("ea", "high"), ("i", "loose")),
    ("two", "do"): (("t", "puff"), ("d", "voice")),
    ("thank", "sank"): (("th", "teeth"), ("s", "groove")),
}


@pytest.mark.parametrize("pair", PAIRS, ids=" ".join)
def test_each_word_has_an_instruction_in_its_own_letters(pair: tuple[str, str]) -> None:
    told = instructions(subject_of(pair))
    for word, one, (letters, part) in zip(pair, told, PAIRS[pair], strict=True):
        said = " ".join(language_of("en").say(action) for action in one.actions)
        assert "".join(one.word) == word and one.word[1] == letters
        assert part in said and 1 <= len(one.actions) <= 2


@pytest.mark.parametrize("language", ["en", "es", "zh"])
def test_instructions_are_there_in_every_language(language: str) -> None:
    for one in instructions(subject_of(("light", "right"))):
        assert all(language_of(language).say(action) for action in one.actions)


def test_what_is_done_alike_in_both_is_not_told() -> None:
    first, second = instructions(subject_of(("seat", "sit")))
    assert set(first.actions).isdisjoint(second.actions)


def test_one_text_has_no_instruction() -> None:
    assert instructions(subject_of(("ticket",))) == ()


def test_two_stops_that_differ_in_their_puff_differ_most_after_the_release() -> None:
    """Initial t and d differ in when the voice starts (L. Lisker & A. Abramson 1964)."""
    subject = subject_of(("two", "do"))
    releases = tuple(float(item.timeline.spans[0].release_s or 0.0) for item in subject.items)
    at = differ_most_s(subject, (releases[0], releases[1]))
    assert 0.0 < at < 0.1
    first, second = (item.timeline.moment(zero + at) for item, zero in zip(subject.items, releases, strict=True))
    assert float(first.mouth_ml_s) > 2 * float(second.mouth_ml_s)


def test_two_vowels_differ_most_while_they_are_held() -> None:
    subject = subject_of(("seat", "sit"))
    spans = [item.timeline.spans[1] for item in subject.items]
    zeros = (spans[0].hold_s[0], spans[1].hold_s[0])
    at = differ_most_s(subject, zeros)
    assert 0.0 <= at <= max(span.hold_s[1] - span.hold_s[0] for span in spans) + 0.011


@pytest.mark.parametrize("pair", [("light", "right"), ("vest", "west"), ("thank", "sank")], ids=" ".join)
def test_a_page_opens_while_both_sounds_in_question_are_said(pair: tuple[str, str]) -> None:
    """What stands above the picture must be what is heard and drawn; consonants lined up at the vowel after them."""
    subject = subject_of(pair)
    zeros = tuple(float(item.timeline.spans[0].hold_s[1]) for item in subject.items)
    at = differ_most_s(subject, (zeros[0], zeros[1]))
    for item, zero in zip(subject.items, zeros, strict=True):
        span = item.timeline.span_at(zero + at)
        assert span is not None and span.index == item.focus and span.hold_s[0] < zero + at < span.hold_s[1]


def test_where_sounds_are_not_held_together_it_is_the_middle_of_the_first() -> None:
    subject = subject_of(("light", "right"))
    begin, end = subject.items[0].timeline.spans[0].hold_s
    assert differ_most_s(subject, (0.0, -10.0)) == pytest.approx((begin + end) / 2)
