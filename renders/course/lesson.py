"""The lesson folder: stills, comparison, strips, films with captions and a page, built whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from articulators.errors import SurroundingsError, TractError
from renders.course import captions
from renders.course.index_page import Drawn, Made, page
from renders.course.narrow import tall_pair, tall_strip
from renders.course.plan import LessonPlan, LessonSound, LessonWord, lesson_table, plan_lesson
from renders.files.outputs import fresh_folder
from renders.films import film
from renders.films.pacing import playback_of
from renders.films.shot import Shot
from renders.ink import painter
from renders.page import build
from renders.page.subject import Item, Subject, subject_of
from renders.pairs.compared import compared_sounds
from renders.pairs.look import PairLook
from renders.pairs.picture import pair_picture
from renders.paper.picture import Picture
from renders.paper.typeface import bundled_files
from renders.stills import still, strip
from renders.stills.look import StillLook
from renders.wording.teller import state
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import say, say_alone

PICTOGRAM_STEP_S = 0.002
_FILM_FILES = (("mp4", "films"), ("vtt", "films"), ("png", "posters"))
FOLDERS = ("stills", "pair", "strips", "films", "posters", "practice", "fonts")
# failures of the disk that every later file would meet too
HOPELESS = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO)
SHOT = Shot()
"""How the films of a lesson are made where nothing else is asked for."""

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Part:
    """One sound or word to be drawn, with its timeline and the moment that shows it best."""

    item: LessonSound | LessonWord
    shown: Timeline
    playback: Playback
    key_s: float

    @property
    def called(self) -> str:
        """The sound in brackets or the text."""
        return f"[{self.item.entry.symbol}]" if isinstance(self.item, LessonSound) else f"'{self.item.text}'"


@dataclass(frozen=True)
class Lesson:
    """A lesson on two sounds: what it teaches, and how its films are made."""

    plan: LessonPlan
    shot: Shot

    @property
    def words(self) -> tuple[str, ...]:
        """The words that it shows, in teaching order."""
        return tuple(word.text for word in self.plan.words)

    def save(
        self, folder: str | os.PathLike[str], *, force: bool = False, progress: Progress | None = None
    ) -> dict[str, Any]:
        """Write the folder, whole or not at all.

        force     into a folder that holds something: files of the same name are replaced, others stay
        progress  called with frames drawn and frames in all
        Returns what was made: words, files, notes, and `failed`, the parts that could not be made (the rest of the
        folder is whole). BadInput for a folder that is not empty; SurroundingsError where the disk fails.
        """
        with fresh_folder(folder, force) as made:
            for name in FOLDERS:
                (made / name).mkdir()
            failed = _build(self.plan, made, self.shot, progress)
            files = sorted(p.relative_to(made).as_posix() for p in made.rglob("*") if p.is_file())
        return {"words": list(self.words), "files": files, "notes": list(self.plan.notes), "failed": failed}


def write_lesson(
    a: str,
    b: str,
    out: Path,
    *,
    words: Sequence[str] = (),
    shot: Shot = SHOT,
    force: bool = False,
    progress: Progress | None = None,
) -> dict[str, Any]:
    """Write the folder that teaches two sounds.

    words  words or phrases; none: six are chosen
    shot   how its films are made; its style and language are those of all pictures and pages
    See `Lesson.save`. BadInput before anything is written.
    """
    return lesson(a, b, words, shot).save(out, force=force, progress=progress)


def lesson(a: str, b: str, words: Sequence[str] = (), shot: Shot = SHOT) -> Lesson:
    """The lesson on two sounds, planned. BadInput as `plan.plan_lesson`, and for films that MP4 cannot hold."""
    shot.encoding("film.mp4")
    return Lesson(plan_lesson(a, b, words), shot)


def _build(plan: LessonPlan, folder: Path, shot: Shot, progress: Progress | None) -> list[str]:
    """Everything but the folder itself; gives the parts that failed."""
    failed: list[str] = []
    items: list[LessonSound | LessonWord] = [*plan.sounds, *plan.words]
    parts = [_part(item, shot) for item in items]
    counts = [len(part.playback.frame_times_s(shot.rate)) for part in parts]
    made: dict[str, Made] = {}
    before = 0
    for part, count in zip(parts, counts, strict=True):
        drawn = _told(progress, before, sum(counts))
        made[part.item.slug] = _draw(part, folder, shot, failed, drawn)
        drawn(count)
        before += count
    a, b = (s.entry for s in plan.sounds)
    pair: Drawn | None = None
    files, tall = _two_kinds("pair", plan.slug), f"pair/{plan.slug}-tall.png"
    with _trying(f"comparison of {a.symbol} and {b.symbol}", failed, [*_in(folder, files), folder / tall]):
        picture = pair_picture(compared_sounds(a, b), PairLook(shot.look, shot.wording))
        painter.save(tall_pair(picture), folder / tall, shot.look)
        pair = replace(_saved(picture, folder, files, shot), tall=tall)
    practice = ""
    file = f"practice/{plan.slug}.html"
    with _trying(f"practice page of {a.symbol} and {b.symbol}", failed, [folder / file]):
        _write_page(subject_of((a.symbol, b.symbol)), folder / file, shot)
        practice = file
    if len(failed) > len(parts) and not any(m.film or m.strip for m in made.values()):
        raise SurroundingsError(f"nothing could be made: {failed[0]}")
    for name, data in bundled_files().items():
        (folder / "fonts" / name).write_bytes(data)
    (folder / "index.html").write_text(
        page(plan, made, pair, shot, practice), encoding="utf-8", newline="\n"
    )
    return failed


def _part(item: LessonSound | LessonWord, shot: Shot) -> Part:
    if isinstance(item, LessonSound):
        shown = say_alone(item.entry)
        key_s = still.key_time_s(shown)
    else:
        shown = say(item.text)
        span = shown.spans[item.shown[0].position]
        key_s = still.key_time_s(replace(shown, spans=(span,)))
    return Part(item, shown, playback_of(shown, shot), key_s)


def _told(progress: Progress | None, before: int, total: int) -> Callable[[int], None]:
    def told(done: int) -> None:
        if progress is not None:
            progress(before + done, total)

    return told


@contextlib.contextmanager
def _trying(what: str, failed: list[str], files: Iterable[Path] = ()) -> Iterator[None]:
    """A part that fails is named and its files are taken away; what would stop every other part is raised."""
    try:
        yield
    except Exception as error:
        for file in files:
            file.unlink(missing_ok=True)
        cause = error if isinstance(error, OSError) else error.__cause__ or error.__context__
        if isinstance(cause, OSError) and cause.errno in HOPELESS:
            raise
        if sys.flags.dev_mode and not isinstance(error, TractError):
            raise
        failed.append(f"{what} ({' '.join(str(error).split()) or type(error).__name__})")


def _draw(
    part: Part, folder: Path, shot: Shot, failed: list[str], drawn: Callable[[int], None]
) -> Made:
    """The pictures, film and captions of one sound or word."""
    slug, called = part.item.slug, part.called
    made = Made(cues=captions.cues(part.shown, part.playback, shot.rate, shot.wording))
    if isinstance(part.item, LessonSound):
        files = _two_kinds("stills", slug)
        with _trying(f"side view of {called}", failed, _in(folder, files)):
            look = StillLook(shot.look, language=shot.wording)
            picture = still.still_picture(part.item.entry, part.shown, look)
            made = replace(made, still=_saved(picture, folder, files, shot))
    files, tall = _two_kinds("strips", slug), f"strips/{slug}-tall.png"
    with _trying(f"strip of {called}", failed, [*_in(folder, files), folder / tall]):
        picture = strip.strip_picture(part.shown, shot.look, shot.wording)
        painter.save(tall_strip(part.shown, shot.look, shot.wording), folder / tall, shot.look)
        made = replace(made, strip=replace(_saved(picture, folder, files, shot), tall=tall))
    files = {kind: f"{place}/{slug}.{kind}" for kind, place in _FILM_FILES}
    with _trying(f"film of {called}", failed, _in(folder, files)):
        film.film(part.shown, shot).save(folder / files["mp4"], progress=lambda done, _: drawn(done))
        text = captions.webvtt(captions.joined(made.cues, lesson_table().captions.least_s), shot.wording)
        (folder / files["vtt"]).write_text(text, encoding="utf-8", newline="\n")
        _write_poster(part, folder / files["png"], shot)
        made = replace(made, film=files["mp4"], captions=files["vtt"], poster=files["png"], vtt=text)
    file = f"practice/{slug}.html"
    with _trying(f"practice page of {called}", failed, [folder / file]):
        _write_page(Subject((_item(part),)), folder / file, shot)
        made = replace(made, practice=file)
    return replace(made, pictograms=_pictograms(part))


def _item(part: Part) -> Item:
    item = part.item
    if isinstance(item, LessonSound):
        return Item(f"[{item.entry.symbol}]", part.shown, 0, True)
    return Item(item.text, part.shown, item.shown[0].position)


def _write_page(subject: Subject, path: Path, shot: Shot) -> None:
    path.write_text(build.page(subject, shot.language), encoding="utf-8", newline="\n")


def _saved(picture: Picture, folder: Path, files: Mapping[str, str], shot: Shot) -> Drawn:
    for path in _in(folder, files):
        painter.save(picture, path, shot.look)
    size = round(picture.width), round(picture.height)
    return Drawn(files, picture.description, size)


def _pictograms(part: Part) -> frozenset[str]:
    """The kinds of pictograms that a film and a strip show; a burst is too short for every frame to meet it."""
    states = (state(part.shown, float(t)) for t in np.arange(0.0, part.shown.duration_s, PICTOGRAM_STEP_S))
    return frozenset(row.icon for now in states for row in (now.contact, now.air, now.voice))


def _two_kinds(place: str, slug: str) -> dict[str, str]:
    return {kind: f"{place}/{slug}.{kind}" for kind in ("svg", "png")}


def _in(folder: Path, files: Mapping[str, str]) -> list[Path]:
    return [folder / path for path in files.values()]


def _write_poster(part: Part, path: Path, shot: Shot) -> None:
    """The frame of the film that shows the sound best."""
    from PIL import Image

    still_time = Playback(np.array([0.0, 1.0]), np.full(2, part.key_s), part.playback.dwells)
    drawn = next(film.film(part.shown, shot, still_time).frames())
    Image.fromarray(drawn[..., :3]).save(path, optimize=True)
