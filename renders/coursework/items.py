"""The items of a course: for each lesson its sounds, words, comparison and page; for the course its index."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import msgspec

from articulators.errors import BadInput, SurroundingsError
from renders.course.lesson import FOLDERS
from renders.course.lesson_files import PartFiles, PictureFiles
from renders.course.narrow import tall_pair
from renders.course.parts import draw_part, picture_paths, saved, write_learner_page
from renders.coursework.contents import contents, part
from renders.coursework.course_index import MAP, chart_files, index_files
from renders.coursework.lesson_html import lesson_html
from renders.coursework.plan_file import CoursePlan
from renders.ink import painter
from renders.lesson_items.item import HIDDEN, Files, LessonItem
from renders.lesson_items.planned import PlannedLesson
from renders.page.subject import subject_of
from renders.pairs.compared import compared_sounds
from renders.pairs.look import PairLook
from renders.pairs.picture import pair_picture
from renders.paper.typeface import bundled_files
from vocaltract.naming.named import name_of

PAIR = "pair"
_TITLES = ("title", "words", "sounds", "kind", "letters", "recordings", "rights")


def course_items(plan: CoursePlan) -> tuple[LessonItem, ...]:
    """All items, those that read others last. BadInput for a word that does not fit its lesson."""
    made = [item for lesson in plan.lessons for item in lesson_items(lesson)]
    about = {"title": plan.title, "language": plan.language, "style": plan.style, "speaker": plan.speaker}
    lessons = [[lesson.name, lesson.title, *lesson.sounds] for lesson in plan.lessons]
    chart = LessonItem("sound chart", about, partial(chart_files, plan.style, plan.language, plan.speaker))
    index = LessonItem(
        "index", {**about, "audience": plan.audience, "lessons": lessons}, partial(index_files, plan), (MAP,)
    )
    return (*made, chart, index)


def lesson_items(lesson: PlannedLesson) -> tuple[LessonItem, ...]:
    """The items of one lesson: one a sound or word, so that its film, strip and sound share a timeline."""
    try:
        held, common = contents(lesson), lesson.inputs(*_TITLES)
    except BadInput as error:
        raise BadInput(f"lesson '{lesson.name}': {error}") from None
    made, records = [], []
    for number, slug in enumerate(held.slugs):
        words = held.words[number - len(held.sounds)] if number >= len(held.sounds) else None
        what = [lesson.sounds[number]] if words is None else [words[1].text, words[1].said, *words[1].emphasis]
        inputs = {**common, "part": slug, "of": what, "shown": repr(words[0].shown) if words else ""}
        made.append(LessonItem(f"{lesson.name}: {slug}", inputs, partial(part_files, lesson, number)))
        records.append(_record(lesson, slug))
    if held.pair is not None:
        inputs = {**common, "pair": list(lesson.sounds)}
        made.append(LessonItem(f"{lesson.name}: {PAIR}", inputs, partial(pair_files, lesson)))
        records.append(_record(lesson, PAIR))
    page = LessonItem(f"{lesson.name}: page", lesson.inputs(), partial(page_files, lesson), tuple(records))
    return (*made, page)


def part_files(lesson: PlannedLesson, number: int, _: Files) -> Files:
    """The files of one sound or word, and what the page must know of them. SurroundingsError where one failed."""
    here, failed = part(lesson, number), list[str]()

    def draw(folder: Path) -> PartFiles:
        return draw_part(here, folder, lesson.shot, failed, lambda done: None)

    return _gathered(lesson, here.item.slug, draw, failed)


def pair_files(lesson: PlannedLesson, _: Files) -> Files:
    """The comparison of two sounds, and the learner page of both."""
    plan, shot = contents(lesson).pair, lesson.shot
    assert plan is not None
    a, b = (sound.entry for sound in plan.sounds)

    def draw(folder: Path) -> PartFiles:
        files, tall = picture_paths("pair", plan.slug), f"pair/{plan.slug}-tall.png"
        picture = pair_picture(compared_sounds(a, b, lesson.speech()), PairLook(shot.look, shot.wording))
        painter.save(tall_pair(picture), folder / tall, shot.look)
        made: PictureFiles = replace(saved(picture, folder, files, shot), tall=tall)
        page = f"practice/{plan.slug}.html"
        write_learner_page(subject_of((name_of(a), name_of(b)), lesson.speech()), folder / page, shot)
        return PartFiles(still=made, practice=page)

    return _gathered(lesson, PAIR, draw, [])


def page_files(lesson: PlannedLesson, given: Files) -> Files:
    """The page of the lesson, with what was made of its parts."""
    records = {name.rpartition("/")[2].removesuffix(".json"): data for name, data in given.items()}
    made = {name: msgspec.json.decode(data, type=PartFiles) for name, data in records.items()}
    files = {f"lessons/{lesson.name}/fonts/{name}": data for name, data in bundled_files().items()}
    return {**files, f"lessons/{lesson.name}/index.html": lesson_html(lesson, made, made.get(PAIR)).encode()}


def _record(lesson: PlannedLesson, slug: str) -> str:
    return f"{HIDDEN}/parts/{lesson.name}/{slug}.json"


def _gathered(lesson: PlannedLesson, slug: str, draw: Callable[[Path], PartFiles], failed: list[str]) -> Files:
    """What is drawn into a folder, as bytes."""
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        for name in FOLDERS:
            (folder / name).mkdir()
        made = draw(folder)
        if failed:
            raise SurroundingsError("; ".join(failed))
        files = {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}
    found = {f"lessons/{lesson.name}/{name}": data for name, data in files.items()}
    return {**found, _record(lesson, slug): msgspec.json.encode(made, order="sorted")}
