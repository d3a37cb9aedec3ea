"""A lesson as a course plans it: plain values that travel to any process."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Literal

from renders.films.shot import Shot
from vocaltract.speech import Speech

LessonKind = Literal["contrast", "states", "words", "teens", "tune", "phrases"]
LetterStyle = Literal["plain", "symbols"]


@dataclass(frozen=True, slots=True)
class PlannedWord:
    """A word or phrase as it is shown, and what is said for it: itself, or a transcription in brackets.

    emphasis  words of it that stand out      note  what the coach says of it, "" for nothing
    """

    text: str
    said: str
    emphasis: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class PlannedLesson:
    """A lesson of a course.

    name     its folder below ``lessons``      title  as learners read it
    sounds   names of two to four for a contrast, of one for its states, none else
    words    none: chosen for a contrast of two sounds
    language, style, size (px), fps, speed, speaker  how all in it is made
    letters  whether learners read letters or symbols
    recordings, rights  a folder of recordings, and whose voice it is; "" for none
    """

    name: str
    title: str
    kind: LessonKind
    sounds: tuple[str, ...] = ()
    words: tuple[PlannedWord, ...] = ()
    language: str = "en"
    letters: LetterStyle = "plain"
    style: str = "light"
    size: tuple[int, int] = (1280, 720)
    fps: float = 30.0
    speed: float = 0.5
    speaker: str = "man"
    recordings: str = ""
    rights: str = ""

    @property
    def shot(self) -> Shot:
        """How its films are made; BadInput for values that no film has."""
        return Shot(speed=self.speed, fps=self.fps, size=self.size, style=self.style, language=self.language)

    def speech(self, word: PlannedWord | None = None) -> Speech:
        """How a word of it is said; None: its sounds alone."""
        emphasis = () if word is None else word.emphasis
        return Speech(speaker=self.speaker, emphasis=emphasis)  # type: ignore[arg-type]

    def inputs(self, *without: str) -> dict[str, Any]:
        """All that it says, as plain values, but for some fields: what an item is made from."""
        return {name: value for name, value in asdict(self).items() if name not in without}
