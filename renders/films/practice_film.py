"""Practice films: listen, listen slowly, say it, see how, say it, say it first; the pauses are the learner's.

Each clip is drawn and encoded once and then copied; a pause is one frame that stands still.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput
from renders.files.encode import IN_FLIGHT, encode
from renders.files.formats import Encoding
from renders.files.outputs import Progress
from renders.files.spliced import ClipUse, spliced
from renders.files.writer import Frame
from renders.films.film import Reel, reel
from renders.films.pacing import playback_of
from renders.films.practice_card import CardText, practice_card
from renders.films.practice_table import practice_table
from renders.films.shot import Shot
from renders.ink import forked
from renders.ink.painter import Raster
from renders.wording.line import Line, Series, line
from renders.wording.steps import how_to
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.hearing import HEARD_RATE_HZ
from vocaltract.speech import USUAL, Speech, say

_ENDING = ".mp4"


@dataclass(frozen=True, slots=True)
class PracticeItem:
    """A word or phrase to be practised, and which of its sounds its steps are about."""

    text: str
    sound: int = 0


@dataclass(frozen=True, slots=True)
class Scene:
    """A stretch of a practice film, in seconds of film: what the learner is asked to do, the word, and what is shown.

    heard  whether the word is said in it; lines: what a card says, for captions
    """

    start_s: float
    end_s: float
    prompt: Line
    word: str
    heard: bool
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Plan:
    pieces: tuple[ClipUse, ...]
    scenes: tuple[Scene, ...]


@dataclass(frozen=True)
class PracticeFilm:
    """A practice film of words; it is drawn when it is saved.

    BadInput for no words, more than eight, a word twice, and a sound that a word has not.
    """

    items: tuple[PracticeItem, ...]
    shot: Shot
    speech: Speech = USUAL

    def __post_init__(self) -> None:
        most = practice_table().speeds.most_words
        if not 1 <= len(self.items) <= most:
            raise BadInput(f"a practice film of {len(self.items)} words is not possible; allowed: 1 to {most}")
        texts = [item.text for item in self.items]
        for text in texts:
            if texts.count(text) > 1:
                raise BadInput(f"'{text}' stands twice in one practice film; give each word once")
        for item in self.items:
            count = len(self.timeline(item).spans)
            if not 0 <= item.sound < count:
                raise BadInput(f"'{item.text}' has no sound {item.sound}; allowed: 0 to {count - 1}")
        self.shot.encoding(f"film{_ENDING}")

    @property
    def scenes(self) -> tuple[Scene, ...]:
        """The stretches of the film, one after the other, without gaps."""
        return self._plan.scenes

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return self._plan.scenes[-1].end_s

    @property
    def title(self) -> str:
        """What it is called."""
        return self.shot.wording.say(self.title_line)

    @property
    def title_line(self) -> Line:
        """The same before any language."""
        return line("practice_film.title", words=Series(tuple(item.text for item in self.items)))

    def as_bytes(self, progress: Progress | None = None) -> bytes:
        """The film as an MP4. `progress(done, total)` is called as clips are made."""
        encoding = self._encoding
        wanted = {piece.clip: piece for piece in self._plan.pieces}
        clips: dict[str, bytes] = {}
        sounds: dict[str, Array] = {}
        for done, name in enumerate(wanted):
            if progress is not None:
                progress(done, len(wanted))
            clips[name], sounds[name] = self._clip(name, encoding)
        heard = []
        for piece in self._plan.pieces:
            samples = round(piece.lasts_frames / encoding.fps * HEARD_RATE_HZ)
            wave = sounds[piece.clip][:samples]
            heard.append(np.pad(wave, (0, samples - len(wave))))
        return spliced(self._plan.pieces, clips, encoding, np.concatenate(heard))

    def timeline(self, item: PracticeItem) -> Timeline:
        """What is said of a word."""
        return say(item.text, self.speech)

    @property
    def _encoding(self) -> Encoding:
        return self.shot.encoding(f"film{_ENDING}")

    @cached_property
    def _plan(self) -> _Plan:
        return _planned(self)

    def _reel(self, name: str) -> Reel:
        kind, number = name.split()
        item = self.items[int(number)]
        timeline = self.timeline(item)
        shot = replace(self.shot, speed=_slow(item.text) if kind == "slow" else 1.0)
        heard = shot.sound != "none"
        return reel(timeline, shot, playback_of(timeline, shot), float(self._encoding.fps), heard)

    def _clip(self, name: str, encoding: Encoding) -> tuple[bytes, Array]:
        with tempfile.TemporaryDirectory() as room:
            path = Path(room, f"clip{_ENDING}")
            if name.split()[0] in ("natural", "slow"):
                made = self._reel(name)
                with forked.forked_frames(made.draw, made.count, encoding.size, IN_FLIGHT) as frames:
                    encode(frames, path, encoding)
                return path.read_bytes(), np.zeros(0) if made.heard is None else made.heard()
            encode(self._card(name), path, encoding)
            return path.read_bytes(), np.zeros(0)

    def _card(self, name: str) -> Iterator[Frame]:
        raster = Raster(*self.shot.size, self.shot.look)
        pixels = np.zeros((self.shot.size[1], self.shot.size[0], 4), dtype=np.uint8)
        yield raster.into(practice_card(self.card_text(name), self.shot.look, self.shot.size), pixels)

    def card_text(self, name: str) -> CardText:
        """What stands on a card, by its name: "title 0", "how 2" (of the third word), "turn 2" or "first 2"."""
        kind, number = name.split()
        say_it = self.shot.wording.text
        if kind == "title":
            return CardText("", self.title, last=say_it("practice_film.note"))
        item = self.items[int(number)]
        timeline = self.timeline(item)
        ipa = timeline.utterance.transcription
        if kind != "how":
            prompt = say_it("practice_film.your_turn" if kind == "turn" else "practice_film.first")
            return CardText(prompt, item.text, ipa)
        told = how_to(timeline, item.sound)
        rows = tuple((str(n), self.shot.wording.say(action)) for n, action in enumerate(told.actions, start=1))
        feel = "" if told.feel is None else self.shot.wording.say(told.feel)
        return CardText(say_it("practice_film.how"), item.text, ipa, rows, feel)


def practice_film(
    words: Sequence[str | PracticeItem], shot: Shot | None = None, speech: Speech = USUAL
) -> PracticeFilm:
    """The practice film of words or phrases, at most eight, in this order; see `PracticeFilm`."""
    items = tuple(PracticeItem(word) if isinstance(word, str) else word for word in words)
    return PracticeFilm(items, shot or Shot(), speech)


def _slow(text: str) -> float:
    speeds = practice_table().speeds
    return speeds.phrase if len(text.split()) > 1 else speeds.word


def _planned(film: PracticeFilm) -> _Plan:
    fps = film._encoding.fps
    waits, pieces, scenes, at = practice_table().waits, [], [], 0

    def add(clip: str, frames: int, still_s: float, prompt: str, word: str) -> None:
        nonlocal at
        piece = ClipUse(clip, frames, round(still_s * fps))
        lines: tuple[str, ...] = ()
        if clip.startswith(("title", "how")):
            text = film.card_text(clip)
            lines = (*(step for _, step in text.steps), *([text.last] if text.last else []))
        start, at = at, at + piece.lasts_frames
        heard = clip.startswith(("natural", "slow"))
        said = Line(f"practice_film.{prompt}") if word else film.title_line
        pieces.append(piece)
        scenes.append(Scene(float(start / fps), float(at / fps), said, word, heard, lines))

    def card(clip: str, seconds: float, prompt: str, word: str) -> None:
        frames = max(1, round(seconds * fps))
        add(clip, 1, float((frames - 1) / fps), prompt, word)

    card("title 0", waits.title_s, "title", "")
    for number, item in enumerate(film.items):
        timeline = film.timeline(item)
        natural_s = timeline.speech_s[1] - timeline.speech_s[0]
        speed = _slow(item.text)
        slow_s = natural_s / speed
        counts = {
            kind: len(playback_of(timeline, replace(film.shot, speed=s)).frame_times_s(float(fps)))
            for kind, s in (("natural", 1.0), ("slow", speed))
        }

        def say_it(kind: str, prompt: str, still_s: float = 0.0, n: int = number, word: str = item.text,
                   of: dict[str, int] = counts) -> None:  # fmt: skip
            add(f"{kind} {n}", of[kind], still_s, prompt, word)

        say_it("natural", "listen", waits.after_s)
        say_it("slow", "slow")
        card(f"turn {number}", waits.after_slow_s(slow_s), "your_turn", item.text)
        card(f"how {number}", waits.how_s, "how", item.text)
        say_it("slow", "again")
        say_it("natural", "listen")
        card(f"turn {number}", waits.after_natural_s(natural_s), "your_turn", item.text)
        card(f"first {number}", waits.after_natural_s(natural_s), "first", item.text)
        say_it("natural", "answer", waits.after_s)
    return _Plan(tuple(pieces), tuple(scenes))
