"""The plan file of a course: TOML, read as typed records, every fault told with its line."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any

from articulators.errors import BadInput, nearest
from articulators.given_file import text_given
from articulators.records import Record, record, toml_values
from renders.lesson_items.planned import LessonKind, LetterStyle, PlannedLesson, PlannedWord
from vocaltract.naming.named import named

VERSION = 1
MOST_SOUNDS = 4
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_RESERVED = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))})
_LONGEST_NAME = 60


class Override(Record, frozen=True):
    """What is kept for one word: a transcription in brackets, words that stand out, what the coach says of it."""

    transcription: str = ""
    emphasis: tuple[str, ...] = ()
    note: str = ""


class LessonRecord(Record, frozen=True):
    """A lesson of the file."""

    name: str
    title: str
    kind: LessonKind
    sounds: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


class PlanRecord(Record, frozen=True):
    """The file."""

    version: int
    title: str
    lesson: tuple[LessonRecord, ...]
    audience: str = ""
    language: str = "en"
    letters: LetterStyle = "plain"
    style: str = "light"
    speaker: str = "man"
    size: tuple[int, int] = (1280, 720)
    fps: float = 30.0
    speed: float = 0.5
    recordings: str = ""
    rights: str = ""
    word: Mapping[str, Override] = {}


class CoursePlan(Record, frozen=True):
    """A course: its title, whom it is for, its lessons in order."""

    title: str
    audience: str
    language: str
    style: str
    speaker: str
    lessons: tuple[PlannedLesson, ...]


def example_plan() -> str:
    """The text of a plan to begin with: six lessons for a hotel's front desk."""
    return resources.files("renders.coursework").joinpath("data", "front_desk.toml").read_text(encoding="utf-8")


def course_plan(file: str | os.PathLike[str]) -> CoursePlan:
    """The plan in a file. BadInput names file, line, key, value, what is allowed and the nearest match."""
    text, name = text_given(file, "plan"), Path(file).name
    values = toml_values(text, name)
    _check_version(values, name)
    try:
        return _plan(record(values, PlanRecord, f"{name}"))
    except BadInput as error:
        raise BadInput(_with_line(str(error), text, name)) from None


def _check_version(values: Mapping[str, Any], name: str) -> None:
    version = values.get("version")
    if version != VERSION:
        said = "has no version" if version is None else f"has version {version!r}"
        raise BadInput(f"{name} {said}; this program reads version {VERSION}: write 'version = {VERSION}' first in it, "
                       "then see what 'vocaltract plan check' says")  # fmt: skip


def _plan(read: PlanRecord) -> CoursePlan:
    if not read.lesson:
        raise BadInput("lesson: there is none; a plan has at least one [[lesson]]")
    names = [one.name.casefold() for one in read.lesson]
    used = {text.casefold() for one in read.lesson for text in one.words}
    lessons = []
    for number, one in enumerate(read.lesson, 1):
        where = f"lesson[{number}]"
        _check_name(one.name, f"{where}.name")
        if names.index(one.name.casefold()) != number - 1:
            raise BadInput(f"{where}.name: '{one.name}' is the name of an earlier lesson; each has its own")
        _check_content(one, where)
        words = tuple(_word(text, read.word) for text in one.words)
        lessons.append(
            PlannedLesson(
                one.name, one.title, one.kind, one.sounds, words, read.language, read.letters, read.style, read.size,
                read.fps, read.speed, read.speaker, read.recordings, read.rights,
            )
        )  # fmt: skip
    for text in read.word:
        if text.casefold() not in used:
            raise BadInput(f"word.{text}: no lesson has the word '{text}'{nearest(text, used)}")
    _ = lessons[0].shot, lessons[0].speech()  # an unknown style, language, size or speaker is told here
    return CoursePlan(
        title=read.title, audience=read.audience, language=read.language, style=read.style, speaker=read.speaker,
        lessons=tuple(lessons),
    )  # fmt: skip


def _check_name(name: str, where: str) -> None:
    if not _NAME.fullmatch(name) or len(name) > _LONGEST_NAME:
        raise BadInput(f"{where}: '{name}' cannot name a folder everywhere; allowed: up to {_LONGEST_NAME} small "
                       "letters, digits and single hyphens, such as 'l-and-r'")  # fmt: skip
    if name in _RESERVED:
        raise BadInput(f"{where}: '{name}' is reserved on some systems; give another, such as '{name}-lesson'")


def _check_content(one: LessonRecord, where: str) -> None:
    fewest, most = {"contrast": (2, MOST_SOUNDS), "states": (1, 1)}.get(one.kind, (0, 0))
    if not fewest <= len(one.sounds) <= most:
        allowed = f"{fewest} to {most}" if most > fewest else str(most)
        raise BadInput(f"{where}.sounds: {len(one.sounds)} sounds in a lesson of kind '{one.kind}'; allowed: {allowed}")
    symbols: list[str] = []
    for name in one.sounds:
        try:
            symbols.append(named(name).symbol)
        except BadInput as error:
            raise BadInput(f"{where}.sounds: {error}") from None
    if len(set(symbols)) < len(symbols):
        raise BadInput(f"{where}.sounds: one sound is named twice: {', '.join(one.sounds)}")
    if not one.words and (one.kind, len(one.sounds)) != ("contrast", 2):
        raise BadInput(f"{where}.words: there are none; only a contrast of two sounds has its words chosen")
    folded = [text.casefold() for text in one.words]
    for text in one.words:
        if not text.strip():
            raise BadInput(f"{where}.words: an empty word; give a word or phrase")
        if folded.count(text.casefold()) > 1:
            raise BadInput(f"{where}.words: '{text}' stands twice; keep one")


def _word(text: str, overrides: Mapping[str, Override]) -> PlannedWord:
    kept = next((o for key, o in overrides.items() if key.casefold() == text.casefold()), Override())
    return PlannedWord(text, kept.transcription or text, kept.emphasis, kept.note)


def _with_line(message: str, text: str, name: str) -> str:
    """The message with the line that it is about, where that can be told."""
    told = message.removeprefix(f"{name}: ")
    path = re.match(r"([^\s:]+)", told)
    line = None if path is None else _line_of(path[1], told, text)
    return f"{name}, line {line}: {told}" if line else f"{name}: {told}"


def _line_of(path: str, message: str, text: str) -> int | None:
    lines = text.splitlines()
    found = re.match(r"lesson\[(\d+)\](?:\.(\w+))?", path)
    start, key = 0, path
    if found:
        heads = [i for i, row in enumerate(lines) if row.strip().startswith("[[lesson]]")]
        if len(heads) < int(found[1]):
            return None
        start, key = heads[int(found[1]) - 1], found[2] or ""
    unknown = re.search(r"key '([^']+)' is (?:unknown|missing)", message)
    key = unknown[1] if unknown else key
    for i in range(start + bool(found), len(lines)):
        if found and lines[i].startswith("["):
            break
        if key and re.match(rf"\s*\"?{re.escape(key)}\"?\s*=", lines[i]):
            return i + 1
    if path.startswith("word."):
        return next((i + 1 for i, row in enumerate(lines) if path[5:] in row and row.startswith("[word")), None)
    return start + 1 if found else None
