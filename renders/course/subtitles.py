"""Captions as SubRip, those of practice films, and transcripts: a film as text for who cannot see or hear it."""

from __future__ import annotations

from collections.abc import Sequence

from renders.course.captions import Cue
from renders.films.practice_film import PracticeFilm
from renders.wording.languages import Language


def subrip(found: Sequence[Cue]) -> str:
    """The text of a SubRip file (.srt): number, times, text. Source of the form: common practice, no source."""
    blocks = []
    for number, cue in enumerate(found, start=1):
        blocks.append(f"{number}\n{_stamp(cue.start_s)} --> {_stamp(cue.end_s)}\n{cue.text}")
    return "\n\n".join(blocks) + "\n"


def practice_cues(film: PracticeFilm) -> tuple[Cue, ...]:
    """One cue for each stretch of a practice film, from its first frame to its end."""
    language, found = film.shot.wording, []
    for scene in film.scenes:
        prompt = language.say(scene.prompt)
        first = language.text("practice_film.says", prompt=prompt, word=scene.word) if scene.word else prompt
        found.append(Cue(scene.start_s, scene.end_s, 0, "", "\n".join([first, *scene.lines])))
    return tuple(found)


def transcript(title: str, found: Sequence[Cue], language: Language) -> str:
    """A film as plain text: its title, then each cue with the minute and second at which it begins."""
    lines = [language.text("practice_film.transcript", title=title), ""]
    for cue in found:
        minutes, seconds = divmod(int(cue.start_s + 1e-6), 60)
        said = f"{cue.symbol} – {cue.text}" if cue.symbol else cue.text
        lines.append(f"{minutes}:{seconds:02d}  " + said.replace("\n", " "))
    return "\n".join([*lines, "", language.text("practice_film.note")]) + "\n"


def _stamp(seconds: float) -> str:
    thousandths = int(seconds * 1000 + 1e-6)
    minutes, rest = divmod(thousandths, 60_000)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{rest // 1000:02d},{rest % 1000:03d}"
