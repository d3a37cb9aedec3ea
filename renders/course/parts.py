"""One sound or word of a lesson: its pictures, film, captions and learner page, written into the folder."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from renders.course import captions
from renders.course.failures import trying
from renders.course.lesson_files import PartFiles, PictureFiles
from renders.course.lesson_table import lesson_table
from renders.course.narrow import tall_strip
from renders.course.plan import LessonSound, LessonWord
from renders.files.sound_file import write_heard
from renders.films import film
from renders.films.pacing import playback_of
from renders.films.shot import Shot
from renders.ink import painter
from renders.page import build
from renders.page.subject import Item, Subject
from renders.paper.picture import Picture
from renders.stills import still, strip
from renders.stills.look import StillLook
from renders.wording.teller import Teller
from vocaltract.motion.phases import Course
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import Speech, say, say_alone

_FILM_FILES = (("mp4", "films"), ("vtt", "films"), ("png", "posters"))


@dataclass(frozen=True)
class LessonPart:
    """One sound or word to be drawn, with its timeline and the moment that shows it best."""

    item: LessonSound | LessonWord
    shown: Timeline
    playback: Playback
    key_s: float

    @property
    def called(self) -> str:
        """The sound in brackets or the text."""
        return f"[{self.item.entry.symbol}]" if isinstance(self.item, LessonSound) else f"'{self.item.text}'"


def part_of(item: LessonSound | LessonWord, shot: Shot, speech: Speech) -> LessonPart:
    """A sound or word said in a way, with the clock of its film and the moment that shows it best."""
    if isinstance(item, LessonSound):
        shown = say_alone(item.entry, speech.speaker)
        key_s = still.key_time_s(shown)
    else:
        shown = say(item.text, speech)
        span = shown.spans[item.shown[0].position]
        key_s = still.key_time_s(replace(shown, spans=(span,)))
    return LessonPart(item, shown, playback_of(shown, shot), key_s)


def draw_part(
    part: LessonPart, folder: Path, shot: Shot, failed: list[str], drawn: Callable[[int], None]
) -> PartFiles:
    """The pictures, film, captions and page of one sound or word, written; `drawn` is called with frames drawn.

    What fails is put to ``failed``.
    """
    slug, called = part.item.slug, part.called
    made = PartFiles(cues=captions.cues(part.shown, part.playback, shot.rate, shot.wording))
    if isinstance(part.item, LessonSound):
        files = picture_paths("stills", slug)
        with trying(f"side view of {called}", failed, paths_in(folder, files)):
            look = StillLook(shot.look, language=shot.wording)
            picture = still.still_picture(part.item.entry, part.shown, look)
            made = replace(made, still=saved(picture, folder, files, shot))
    files, tall = picture_paths("strips", slug), f"strips/{slug}-tall.png"
    with trying(f"strip of {called}", failed, [*paths_in(folder, files), folder / tall]):
        picture = strip.strip_picture(part.shown, shot.look, shot.wording)
        painter.save(tall_strip(part.shown, shot.look, shot.wording), folder / tall, shot.look)
        made = replace(made, strip=replace(saved(picture, folder, files, shot), tall=tall))
    files = {kind: f"{place}/{slug}.{kind}" for kind, place in _FILM_FILES}
    with trying(f"film of {called}", failed, paths_in(folder, files)):
        film.film(part.shown, shot).save(folder / files["mp4"], progress=lambda done, _: drawn(done))
        text = captions.webvtt(captions.joined(made.cues, lesson_table().captions.least_s), shot.wording)
        (folder / files["vtt"]).write_text(text, encoding="utf-8", newline="\n")
        _write_poster(part, folder / files["png"], shot)
        made = replace(made, film=files["mp4"], captions=files["vtt"], poster=files["png"], vtt=text)
    file = f"sounds/{slug}.mp3"
    with trying(f"sound of {called}", failed, [folder / file]):
        write_heard(part.shown, folder / file, shot.hearing)
        made = replace(made, sound=file)
    file = f"practice/{slug}.html"
    with trying(f"practice page of {called}", failed, [folder / file]):
        write_learner_page(Subject((_item(part),)), folder / file, shot)
        made = replace(made, practice=file)
    return replace(made, pictograms=_pictograms(part))


def _item(part: LessonPart) -> Item:
    item = part.item
    if isinstance(item, LessonSound):
        return Item(f"[{item.entry.symbol}]", part.shown, 0, True)
    return Item(item.text, part.shown, item.shown[0].position)


def _pictograms(part: LessonPart) -> frozenset[str]:
    """The kinds of pictograms that a film and a strip show; a burst is too short for every frame to meet it."""
    teller, step_s = Teller(Course(part.shown)), lesson_table().films.state_step_s
    states = (teller.at(float(time_s)) for time_s in np.arange(0.0, part.shown.duration_s, step_s))
    return frozenset(row.icon for now in states for row in (now.contact, now.air, now.voice))


def write_learner_page(subject: Subject, path: Path, shot: Shot) -> None:
    """The learner page of a subject, in the language of the films."""
    path.write_text(build.page(subject, shot.language), encoding="utf-8", newline="\n")


def saved(picture: Picture, folder: Path, files: Mapping[str, str], shot: Shot) -> PictureFiles:
    """A picture, written to its paths inside the folder."""
    for path in paths_in(folder, files):
        painter.save(picture, path, shot.look)
    size = round(picture.width), round(picture.height)
    return PictureFiles(files, picture.description, size)


def picture_paths(place: str, slug: str) -> dict[str, str]:
    """Paths of a picture in its two kinds."""
    return {kind: f"{place}/{slug}.{kind}" for kind in ("svg", "png")}


def paths_in(folder: Path, files: Mapping[str, str]) -> list[Path]:
    """Paths inside a folder."""
    return [folder / path for path in files.values()]


def _write_poster(part: LessonPart, path: Path, shot: Shot) -> None:
    """The frame of the film that shows the sound best."""
    from PIL import Image

    still_time = Playback(np.array([0.0, 1.0]), np.full(2, part.key_s), part.playback.dwells)
    drawn = next(film.film(part.shown, shot, still_time).frames())
    Image.fromarray(drawn[..., :3]).save(path, optimize=True)
