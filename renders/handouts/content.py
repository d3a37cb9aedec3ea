"""What a handout and slides say, as plain values: made from a lesson, set by `handout` and `slides`."""

from __future__ import annotations

import hashlib
import itertools
from dataclasses import dataclass

from renders.handouts.dialogues import Dialogue
from renders.wording.languages import Language

MOST_PAIRS, MOST_WORDS = 6, 8


@dataclass(frozen=True, slots=True)
class TaughtSound:
    """A sound: its letters ("th"), its symbol, a word that has it, how it is done and what is felt, in a language."""

    letters: str
    symbol: str
    example: str
    actions: tuple[str, ...]
    feel: str = ""


@dataclass(frozen=True, slots=True)
class MarkedWord:
    """A word parted before, at and after the letters of its sound, and its transcription."""

    parts: tuple[str, str, str]
    ipa: str = ""

    @property
    def text(self) -> str:
        """The whole word."""
        return "".join(self.parts)


@dataclass(frozen=True, slots=True)
class WordGroup:
    """Words with a sound in one place: the sound's letters, the place ("initial"), the words."""

    letters: str
    place: str
    words: tuple[MarkedWord, ...]


@dataclass(frozen=True, slots=True)
class SheetPicture:
    """A picture as PNG, and what it shows in words."""

    png: bytes
    alt: str


@dataclass(frozen=True)
class Handout:
    """All that a handout and slides say.

    pairs     minimal pairs of the sounds, at most six are set; none: there is no listening task, and no key
    groups    words by sound and place, at most eight of each are set
    film      where the practice film is, a relative or whole address; "" for none
    """

    sounds: tuple[TaughtSound, ...]
    language: Language
    picture: SheetPicture | None = None
    pairs: tuple[tuple[str, str], ...] = ()
    groups: tuple[WordGroup, ...] = ()
    dialogue: Dialogue | None = None
    film: str = ""

    @property
    def title(self) -> str:
        """The letters of its sounds."""
        letters = [sound.letters for sound in self.sounds]
        if len(letters) == 1:
            return self.language.text("handout.title_one", a=letters[0])
        first = self.language.texts.language.comma.join(letters[:-1])
        return self.language.text("handout.title", a=first, b=letters[-1])

    def answers(self) -> tuple[int, ...]:
        """Which word of each pair is to be said, 0 or 1: half of each, in an order that cannot be guessed."""
        pairs = self.pairs[:MOST_PAIRS]
        seed = "|".join(f"{a} {b}" for a, b in pairs)
        half = [i % 2 for i in range(len(pairs))]
        for attempt in range(64):
            order = sorted(range(len(pairs)), key=lambda i: hashlib.sha256(f"{attempt}|{seed}|{i}".encode()).digest())
            found = tuple(half[i] for i in order)
            turns = sum(a != b for a, b in itertools.pairwise(found))
            if len(found) < 4 or 2 <= turns <= len(found) - 3:
                return found
        return tuple(half)
