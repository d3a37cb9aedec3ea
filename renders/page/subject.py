"""What a page is about: the timelines of the texts that were given, and which sound of each is in question."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from articulators.errors import BadInput
from renders.page.settings import settings
from vocaltract.motion.timeline import Timeline
from vocaltract.naming.named import named
from vocaltract.pairs.occurrences import Comparison, Occurrence, compare
from vocaltract.speech import USUAL, Speech, Speeches, both_ways, say, say_alone
from vocaltract.words.lexicon.dictionary import find
from vocaltract.words.text.transcribe import read


@dataclass(frozen=True)
class Item:
    """One of the one or two things that a page shows.

    name      what it is called: the word, or the sound in brackets     timeline  what it does
    focus     number of the sound in question                            is_sound  a sound was asked for, not a text
    """

    name: str
    timeline: Timeline
    focus: int
    is_sound: bool = False


@dataclass(frozen=True)
class Subject:
    """What a page shows: one item, or two and how they were found."""

    items: tuple[Item, ...]
    told: Comparison | None = None


def subject_of(texts: Sequence[str], speech: Speeches = USUAL) -> Subject:
    """One or two texts, said in a way, as timelines.

    Two names of sounds are shown in a minimal pair of words where there is one.
    BadInput for no text or more than two, for the same one twice, and for what cannot be read or is too long.
    """
    if not 1 <= len(texts) <= 2:
        raise BadInput(f"{len(texts)} texts were given; a page shows one, or two side by side (put a phrase in quotes)")
    for text in texts:
        _check_length(text)
    if len(texts) == 1:
        return Subject((_single(texts[0], both_ways(speech)[0]),))
    return subject_of_two(compare(texts[0], texts[1], speech))


def subject_of_timeline(timeline: Timeline) -> Subject:
    """One timeline as it is."""
    name = timeline.utterance.transcription if timeline.alone else _short(timeline.utterance.text)
    return Subject((Item(name, timeline, 0, timeline.alone),))


def subject_of_two(two: Comparison) -> Subject:
    """Two sounds where they are said."""
    return Subject((_item(two.first, two), _item(two.second, two)), two)


def _single(text: str, speech: Speech) -> Item:
    try:
        entry = named(text)
    except BadInput:
        return Item(_short(text), say(text, speech), 0)
    if " " not in text.strip() and len(text.strip()) > 1 and find(text.strip()):
        return Item(_short(text), say(text, speech), 0)  # what is a word as well as a sound's name (oh) is the word
    if speech.recording is not None:
        raise BadInput(f"a recording leads a word or a phrase; '{text}' is the name of a sound")
    return Item(f"[{entry.symbol}]", say_alone(entry, speech.speaker), 0, True)


def _item(said: Occurrence, two: Comparison) -> Item:
    alone = said.timeline.alone
    name = f"[{said.entry.symbol}]" if alone or not said.word else _short(said.word)
    return Item(name, said.timeline, said.index, not two.texts)


def _short(text: str) -> str:
    # marks that turn the direction of a line, or that nobody sees, are not shown
    seen = "".join(char for char in text if unicodedata.category(char) not in ("Cf", "Cc") or char.isspace())
    bare = " ".join(seen.split())
    most = settings().texts.shown_letters
    return bare if len(bare) <= most else bare[: most - 1] + "\u2026"


def _check_length(text: str) -> None:
    """Refused before anything is calculated: a long text would take minutes and make a page that no phone holds."""
    given, most = f"'{_short(text)}'", settings().texts
    if len(text) > most.most_letters:
        too_long = f"{given} has {len(text)} letters"
        raise BadInput(f"{too_long}; a page takes up to {most.most_letters} a text, give a shorter one")
    try:
        count = len(read(text).sounds)
    except BadInput:
        return  # a sound's name, or refused by what reads it next
    if count > most.most_sounds:
        raise BadInput(f"{given} has {count} sounds; a page takes up to {most.most_sounds} a text, give a shorter one")
