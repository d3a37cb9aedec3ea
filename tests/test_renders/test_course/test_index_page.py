"""The page of a lesson: escaped, well-formed, readable, with captions. Sources beside the checks."""

from __future__ import annotations

import base64
import re

from renders.course import key_marks
from renders.course.captions import Cue
from renders.course.index_page import COLOUR_ROLES
from renders.course.index_page import lesson_page as page_of_lesson
from renders.course.lesson_files import PartFiles
from renders.course.lesson_table import lesson_table
from renders.course.plan import plan_lesson
from renders.films.shot import Shot
from renders.paper.contrast import ratio, srgb
from renders.paper.icons import PICTOGRAMS
from renders.paper.style import load
from renders.wording.languages import language_of
from tests.test_renders.test_course.page_reader import Page

TINY = Shot(size=(320, 180), fps=10)


def test_the_reader_of_pages_sees_faults() -> None:
    assert Page("<p><b>x</p></b>").faults
    assert Page("<div>").faults
    assert Page('<img alt="a" alt="b">').faults
    assert not Page('<p>a<br>b</p><img alt="">').faults


def test_what_a_coach_types_is_escaped() -> None:
    plan = plan_lesson("t", "d", ["[tu]", "don't"])
    made = {item.slug: PartFiles(film="a.mp4", cues=(Cue(0, 1, -5, "t", "<b> & \"q\""),)) for item in plan.words}
    made |= {s.slug: PartFiles() for s in plan.sounds}
    text = page_of_lesson(plan, made, None, TINY)
    page = Page(text)
    assert page.faults == []
    assert "<b> &" not in text
    assert "<b> & \"q\"" in "".join(page.text["span"])
    assert "Not made" in "".join(page.text["p"])


def test_without_a_learner_page_the_film_is_shown_with_its_captions() -> None:
    # WCAG 2.2 (from memory): 1.2.2 captions, 1.4.2 nothing starts by itself
    plan = plan_lesson("t", "d", ["two"])
    films = {"film": "a.mp4", "poster": "a.png", "captions": "a.vtt", "vtt": "WEBVTT\n"}
    made = {item.slug: PartFiles(**films) for item in (*plan.sounds, *plan.words)}  # type: ignore[arg-type]
    page = Page(page_of_lesson(plan, made, None, TINY))
    assert page.faults == []
    assert len(page.all("video")) == 3
    for video in page.all("video"):
        assert {"controls", "playsinline", "poster", "aria-label"} <= set(video)
        assert "autoplay" not in video
        assert video["preload"] == "none"
    for track in page.all("track"):
        assert track["kind"] == "captions"
        assert base64.b64decode(str(track["src"]).partition("base64,")[2]).decode() == films["vtt"]


def test_every_pictogram_has_a_meaning_and_a_drawing() -> None:
    assert set(lesson_table().pictograms) == set(PICTOGRAMS) == set(language_of().rows("lesson_pictogram"))
    drawings = {kind: key_marks.pictogram(kind) for kind in PICTOGRAMS}
    assert all("<path d=" in text for text in drawings.values())
    assert len(set(drawings.values())) == len(PICTOGRAMS)
    roles = {role for text in drawings.values() for role in re.findall(r"var\(--(\w+)\)", text)}
    assert roles <= set(COLOUR_ROLES)


def test_page_colours_are_readable() -> None:
    # WCAG 2.2 SC 1.4.3, least 4.5:1 for text; the pairs that the style sheet sets
    for style in ("light", "dark", "print"):
        colours = load(style).colours
        for front, ground in [
            ("ink", "paper"), ("ink", "panel"), ("ink2", "paper"), ("ink2", "panel"), ("air", "paper"),
            ("air", "panel"), ("on_focus", "focus"),
        ]:  # fmt: skip
            assert ratio(srgb(colours[front]), srgb(colours[ground])) >= 4.5, (style, front, ground)
