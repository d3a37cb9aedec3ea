"""What a page is about: one item or two, with the sound in question. Bad texts: test_page_file."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from renders.page.settings import settings
from renders.page.subject import subject_of
from vocaltract.phonetics.speakers import speaker_of
from vocaltract.speech import Speech


def test_a_sound_is_shown_by_itself_and_a_text_as_it_is_said() -> None:
    (sound,) = subject_of(("t",)).items
    (word,) = subject_of(("ticket",)).items
    assert (sound.name, sound.is_sound, sound.timeline.alone) == ("[t]", True, True)
    assert (word.name, word.is_sound, word.timeline.alone) == ("ticket", False, False)
    assert subject_of(("t",)).told is None


def test_two_sounds_are_shown_in_words_where_english_has_a_minimal_pair() -> None:
    # source: two and do differ in their first consonant alone (any handbook of English phonetics)
    subject = subject_of(("t", "d"))
    assert [item.name for item in subject.items] == ["two", "do"]
    assert [item.timeline.spans[item.focus].sound.target for item in subject.items] == ["t", "d"]


def test_a_text_of_more_letters_than_are_shown_is_cut_in_its_name() -> None:
    most = settings().texts.shown_letters
    name = subject_of(("the front desk and the lobby and the pool bar",)).items[0].name
    assert len(name) == most and name.endswith("\u2026")


def test_the_limit_itself_is_allowed_and_one_letter_more_is_not() -> None:
    most = settings().texts.most_letters
    with pytest.raises(BadInput, match=f"{most + 1} letters"):
        subject_of(("a" * (most + 1),))
    with pytest.raises(BadInput) as caught:
        subject_of(("a" * most,))
    assert "letters; a page takes" not in str(caught.value)


@pytest.mark.parametrize("texts", [("t",), ("ticket",), ("t", "d"), ("ticket", "desk"), ("t", "desk")])
def test_all_of_a_page_is_said_by_the_speaker_asked_for(texts: tuple[str, ...]) -> None:
    woman = speaker_of("woman")
    assert all(item.timeline.speaker is woman for item in subject_of(texts, Speech(speaker=woman)).items)
