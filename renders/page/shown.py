"""Which timelines a page shows for the texts that were given, and which sound of each is in question."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from articulators.errors import BadInput
from vocaltract.motion.timeline import Timeline
from vocaltract.pairs.chosen import Said, Told, told
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say, say_alone
from vocaltract.words.text.transcribe import read

MOST_SOUNDS = 60  # of one text: what a page on a phone can hold and a learner can follow
MOST_LETTERS = 400  # of a text that is not read at all
SHOWN_LETTERS = 40


@dataclass(frozen=True)
class Shown:
    """One half of a page.

    name      what it is called: the word, or the sound in brackets     timeline  what it does
    focus     number of the sound in question                            is_sound  a sound was asked for, not a text
    """

    name: str
    timeline: Timeline
    focus: int
    is_sound: bool = False


@dataclass(frozen=True)
class Pair:
    """What a page shows: one half, or two and how they were found."""

    halves: tuple[Shown, ...]
    told: Told | None = None


def shown(texts: Sequence[str]) -> Pair:
    """One or two texts as timelines. Two names of sounds are shown in a minimal pair of words where there is one.

    BadInput for no text or more than two, for the same one twice, and for what cannot be read or is too long.
    """
    if not 1 <= len(texts) <= 2:
        raise BadInput(f"{len(texts)} texts were given; a page shows one, or two side by side (put a phrase in quotes)")
    for text in texts:
        _check_length(text)
    if len(texts) == 1:
        return Pair((_single(texts[0]),))
    two = told(texts[0], texts[1])
    return Pair((_half(two.first, two), _half(two.second, two)), two)


def _single(text: str) -> Shown:
    try:
        entry = sound(text)
    except BadInput:
        return Shown(_short(text), say(text), 0)
    return Shown(f"[{entry.symbol}]", say_alone(entry), 0, True)


def _half(said: Said, two: Told) -> Shown:
    alone = said.timeline.alone
    name = f"[{said.entry.symbol}]" if alone or not said.word else _short(said.word)
    return Shown(name, said.timeline, said.index, not two.texts)


def _short(text: str) -> str:
    # marks that turn the direction of a line, or that nobody sees, are not shown
    seen = "".join(char for char in text if unicodedata.category(char) not in ("Cf", "Cc") or char.isspace())
    bare = " ".join(seen.split())
    return bare if len(bare) <= SHOWN_LETTERS else bare[: SHOWN_LETTERS - 1] + "\u2026"


def _check_length(text: str) -> None:
    """Told before anything is calculated: a long text would take minutes and make a page that no phone holds."""
    given = f"'{_short(text)}'"
    if len(text) > MOST_LETTERS:
        raise BadInput(f"{given} has {len(text)} letters; a page takes up to {MOST_LETTERS} a text, give a shorter one")
    try:
        count = len(read(text).sounds)
    except BadInput:
        return  # a sound's name, or told by what reads it next
    if count > MOST_SOUNDS:
        raise BadInput(f"{given} has {count} sounds; a page takes up to {MOST_SOUNDS} a text, give a shorter one")
