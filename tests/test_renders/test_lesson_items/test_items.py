"""Keys of items change with what they are made from, and with nothing else."""

from __future__ import annotations

import pickle

import pytest

from articulators.errors import BadInput
from renders.lesson_items.item import Files, LessonItem
from renders.lesson_items.planned import PlannedLesson, PlannedWord


def nothing(_: Files) -> Files:
    """Makes no file."""
    return {}


def test_key_follows_inputs_and_files_read() -> None:
    one, other = LessonItem("desk", {"a": 1}, nothing), LessonItem("desk", {"a": 2}, nothing)
    assert one.key() == LessonItem("desk", {"a": 1}, nothing).key() == pickle.loads(pickle.dumps(one)).key()
    assert len({one.key(), other.key(), one.key({"f": b"1"}), one.key({"f": b"2"})}) == 4


def test_a_lesson_says_how_its_words_are_said() -> None:
    lesson = PlannedLesson("phrases", "Phrases", "phrases", words=(PlannedWord("front desk", "front desk", ("desk",)),))
    assert lesson.speech(lesson.words[0]).emphasis == ("desk",)
    assert "title" not in lesson.inputs("title")
    with pytest.raises(BadInput, match="language"):
        _ = PlannedLesson("a", "A", "words", language="xx").shot
