"""The page of a planned lesson: as that of `lesson` for a contrast of two sounds, else its sounds and words."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from string import Template

from renders.course.cards import sound_card, speed_words, word_card
from renders.course.index_page import key_of_marks, lesson_page, page_colours, page_footer
from renders.course.lesson_files import PartFiles
from renders.course.markup import asset, english, page_section
from renders.coursework.contents import contents
from renders.lesson_items.planned import PlannedLesson

_ABSENT = PartFiles()


def lesson_html(lesson: PlannedLesson, made: Mapping[str, PartFiles], pair: PartFiles | None) -> str:
    """The page, with the parts that were made by their names; what was not made is told in its place."""
    held, shot = contents(lesson), lesson.shot
    parts = {slug: made.get(slug, _ABSENT) for slug in held.slugs}
    if held.pair is not None:
        files = _ABSENT if pair is None else pair
        return lesson_page(held.pair, parts, files.still, shot, files.practice or "", lesson.rights)
    language = shot.wording

    def words(key: str, **blanks: str) -> str:
        return language.text(f"lesson.{key}", **blanks)

    sounds = "\n".join(sound_card(sound, parts[sound.slug], shot) for sound in held.sounds)
    cards = "\n".join(word_card(word, parts[word.slug], shot) for word, _ in held.words)
    notes = "\n".join(
        f"<li>{english(word.text, language)}: {escape(planned.note)}</li>"
        for word, planned in held.words
        if planned.note
    )
    html = [
        *([page_section("alone", words("alone"), "", sounds)] if sounds else []),
        page_section("words", lesson.title, "", cards + (f"\n<ul>{notes}</ul>" if notes else "")),
        page_section("key", words("key"), words("key_note"), key_of_marks(parts.values(), language)),
    ]
    links = [(f"card-{word.slug}", word.text) for word, _ in held.words] + [("key", words("key"))]
    speed = speed_words(shot.speed, language)
    return Template(asset("page.html")).substitute(
        language=language.tag, title=escape(f"{lesson.title} · {words('kind')}"), colours=page_colours(shot.style),
        styles=asset("page.css"), script=asset("page.js"), skip=escape(words("skip")), kind=escape(words("kind")),
        heading=escape(lesson.title), lead="", how_title=escape(words("how_title")),
        how="\n".join(f"<li>{escape(words(step, speed=speed))}</li>" for step in ("how_1", "how_2", "how_3")),
        contents_title=escape(words("contents")),
        contents="\n".join(f'<li><a href="#{name}">{escape(text)}</a></li>' for name, text in links),
        main="\n".join(html), footer=page_footer(language, lesson.rights),
    )  # fmt: skip
