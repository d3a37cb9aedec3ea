"""Parts of a lesson: numbers typed, pieces of HTML escaped, failures named or raised, pictures for a telephone."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from articulators.errors import BadInput, SurroundingsError
from articulators.records import parsed, text_of
from renders.course import cards, failures, markup, narrow, parts
from renders.course.lesson_files import PartFiles, PictureFiles
from renders.course.lesson_table import LessonTable, lesson_table
from renders.course.plan import plan_lesson
from renders.films.shot import Shot
from renders.pairs.layout import pair_layout
from renders.paper.picture import Layer, Picture
from renders.paper.style import load
from renders.wording.languages import language_of
from tests.planted import Planted, planted
from tests.test_renders.test_course.page_reader import Page
from vocaltract.phonetics.speakers import speaker_of
from vocaltract.speech import USUAL, Speech, say

TEXT = text_of("renders.course", "lesson.toml")
ENGLISH = language_of("en")
HOSTILE = '<img src=x onerror="alert(1)">'


@pytest.mark.parametrize("fault", list(planted(TEXT)), ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, LessonTable, "lesson.toml")
    assert fault.said in str(caught.value)


def test_texts_cannot_become_markup() -> None:
    made = PictureFiles({"svg": "a.svg", "png": "a.png"}, HOSTILE, (160, 66))
    pieces = [
        markup.ipa(HOSTILE), markup.page_section("look", HOSTILE, HOSTILE, ""), markup.missing_note(HOSTILE, ENGLISH),
        markup.picture(made, "strip", ENGLISH), markup.take([("a.png", HOSTILE)], ENGLISH),
        markup.english(HOSTILE, ENGLISH), markup.english(HOSTILE, language_of("es")),
    ]  # fmt: skip
    for piece in pieces:
        page = Page(piece)
        assert page.faults == []
        assert not [image for image in page.all("img") if "onerror" in image]
    assert Page(markup.english("desk", language_of("es"))).all("span") == [{"lang": "en"}]
    assert markup.minus(-5) == "\u22125"


def test_a_card_says_what_was_not_made() -> None:
    word = plan_lesson("t", "d", ["two"]).words[0]
    page = Page(cards.word_card(word, PartFiles(), Shot(size=(320, 180), fps=10)))
    assert page.faults == []
    said = "".join(page.text["p"])
    assert said.count("Not made") == 2  # its film and its strip


@pytest.mark.parametrize(("speed", "said"), [(0.5, "half speed"), (1.0, "natural speed"), (0.3, "0.3 times natural")])
def test_speeds_are_named(speed: float, said: str) -> None:
    assert said in cards.speed_words(speed, ENGLISH)


def test_a_failure_is_named_and_its_files_go(tmp_path: Path) -> None:
    file, failed = tmp_path / "half.png", []
    with failures.trying("side view of [t]", failed, [file]):
        file.write_bytes(b"half")
        raise SurroundingsError("no encoder")
    assert failed == ["side view of [t] (no encoder)"] and not file.exists()


@pytest.mark.parametrize("number", failures.HOPELESS)
def test_what_every_file_would_meet_is_raised(number: int) -> None:
    with pytest.raises(OSError), failures.trying("film", []):
        raise OSError(number, "the disk")
    with failures.trying("film", named := []):
        raise OSError(errno.ENAMETOOLONG, "this file alone")
    assert len(named) == 1


def test_a_word_is_shown_where_its_sound_is_made() -> None:
    plan = plan_lesson("t", "d", ["two"])
    part = parts.part_of(plan.words[0], Shot(size=(320, 180), fps=10), USUAL)
    start, end = part.shown.spans[0].hold_s
    assert start < part.key_s < end and part.called == "'two'"
    # the folds are apart in the breath after t, and vibrate in the vowel (any handbook)
    assert {"breath", "wave"} <= parts._pictograms(part)


def test_pictures_for_a_telephone_are_narrow_and_hold_every_card() -> None:
    strip = narrow.tall_strip(say("ticket"), load("light"), ENGLISH)
    assert strip.width < 500 < strip.height
    assert sum(layer.name == "card" for layer in strip.layers) <= lesson_table().narrow.most_moments
    page = pair_layout().picture
    wide = Picture(page.width_px, page.height_px, "paper", (Layer("cards", ()),), "title", "about")
    pair = narrow.tall_pair(wide)
    assert pair.width < 600 and pair.height > 3 * page.card_px[1]
    assert (pair.title, pair.description) == ("title", "about")


def test_a_part_is_said_by_the_speaker_of_the_lesson() -> None:
    plan, woman = plan_lesson("t", "d", ["two"]), Speech(speaker=speaker_of("woman"))
    said = [parts.part_of(item, Shot(size=(320, 180), fps=10), woman) for item in (plan.sounds[0], plan.words[0])]
    assert [part.shown.speaker.name for part in said] == ["woman", "woman"]
