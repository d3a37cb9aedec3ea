"""The lesson folder: stills, comparison, strips, films with captions and a page, built whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from articulators.errors import SurroundingsError
from renders.course.failures import trying
from renders.course.index_page import lesson_page
from renders.course.lesson_files import PartFiles, PictureFiles
from renders.course.narrow import tall_pair
from renders.course.parts import draw_part, part_of, paths_in, picture_paths, saved, write_learner_page
from renders.course.plan import LessonPlan, plan_lesson
from renders.course.recordings import RecordingsFolder, recording_names
from renders.files.outputs import Progress, fresh_folder
from renders.films.shot import Shot
from renders.ink import painter
from renders.page.subject import subject_of
from renders.pairs.compared import compared_sounds
from renders.pairs.look import PairLook
from renders.pairs.picture import pair_picture
from renders.paper.typeface import bundled_files
from vocaltract.naming.named import name_of
from vocaltract.recording.lead import UNJUDGED
from vocaltract.speech import USUAL, Speech

FOLDERS = ("stills", "pair", "strips", "films", "posters", "sounds", "practice", "fonts")
SHOT = Shot()
"""How the films of a lesson are made where nothing else is asked for."""


@dataclass(frozen=True)
class Lesson:
    """A lesson on two sounds: what it teaches, how its films are made, how it is spoken, and who has recorded it."""

    plan: LessonPlan
    shot: Shot
    speech: Speech = USUAL
    recordings: RecordingsFolder | None = None

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
        with fresh_folder(folder, force, FOLDERS) as made:
            failed, told = _build(self, made, progress)
            files = sorted(p.relative_to(made).as_posix() for p in made.rglob("*") if p.is_file())
        notes = [*self.plan.notes, *told]
        report: dict[str, Any] = {"words": list(self.words), "files": files, "notes": notes, "failed": failed}
        if self.recordings is not None:
            notes += self.recordings.missing(self.words)
            report["voice"] = self.recordings.rights
        return report


def write_lesson(
    a: str, b: str, out: Path, *, force: bool = False, progress: Progress | None = None, **settings: Any
) -> dict[str, Any]:
    """Write the folder that teaches two sounds; settings as of `lesson`.

    See `Lesson.save`. BadInput before anything is written.
    """
    return lesson(a, b, **settings).save(out, force=force, progress=progress)


def lesson(
    a: str, b: str, words: Sequence[str] = (), shot: Shot = SHOT, speech: Speech = USUAL,
    recordings: RecordingsFolder | None = None,
) -> Lesson:  # fmt: skip
    """The lesson on two sounds, planned.

    words   words or phrases; none: six are chosen
    shot    how its films are made; its style and language are those of all pictures and pages
    speech  how its texts are said, and by whom
    recordings  of its words by a person, who leads them; what is not there is said by the model
    BadInput as `plan.plan_lesson`, and for films that MP4 cannot hold."""
    shot.encoding("film.mp4")
    return Lesson(plan_lesson(a, b, words), shot, speech, recordings)


def _build(lesson: Lesson, folder: Path, progress: Progress | None) -> tuple[list[str], list[str]]:
    """Everything but the folder itself; gives the parts that failed, and what is told of recordings."""
    plan, shot, speech = lesson.plan, lesson.shot, lesson.speech
    failed: list[str] = []
    parts = [part_of(item, shot, speech) for item in plan.sounds]
    told: list[str] = []
    names = recording_names([word.text for word in plan.words])
    for word, name in zip(plan.words, names, strict=True):
        led = None if lesson.recordings is None else lesson.recordings.recording(name)
        parts.append(part_of(word, shot, speech if led is None else replace(speech, recording=led)))
        if led is not None:
            told += [f"{word.text}: {note}" for note in parts[-1].shown.utterance.notes if note != UNJUDGED]
    counts = [len(part.playback.frame_times_s(shot.rate)) for part in parts]
    made: dict[str, PartFiles] = {}
    before = 0
    for part, count in zip(parts, counts, strict=True):
        drawn = _counted(progress, before, sum(counts))
        made[part.item.slug] = draw_part(part, folder, shot, failed, drawn)
        drawn(count)
        before += count
    a, b = (s.entry for s in plan.sounds)
    pair: PictureFiles | None = None
    files, tall = picture_paths("pair", plan.slug), f"pair/{plan.slug}-tall.png"
    with trying(f"comparison of {a.symbol} and {b.symbol}", failed, [*paths_in(folder, files), folder / tall]):
        picture = pair_picture(compared_sounds(a, b, speech), PairLook(shot.look, shot.wording))
        painter.save(tall_pair(picture), folder / tall, shot.look)
        pair = replace(saved(picture, folder, files, shot), tall=tall)
    practice = ""
    file = f"practice/{plan.slug}.html"
    with trying(f"practice page of {a.symbol} and {b.symbol}", failed, [folder / file]):
        write_learner_page(subject_of((name_of(a), name_of(b)), speech), folder / file, shot)
        practice = file
    if len(failed) > len(parts) and not any(m.film or m.strip for m in made.values()):
        raise SurroundingsError(f"nothing could be made: {failed[0]}")
    for name, data in bundled_files().items():
        (folder / "fonts" / name).write_bytes(data)
    rights = "" if lesson.recordings is None else lesson.recordings.rights
    page = lesson_page(plan, made, pair, shot, practice, rights)
    (folder / "index.html").write_text(page, encoding="utf-8", newline="\n")
    return failed, told


def _counted(progress: Progress | None, before: int, total: int) -> Callable[[int], None]:
    """Progress of one part, counted within the whole."""

    def drawn(done: int) -> None:
        if progress is not None:
            progress(before + done, total)

    return drawn
