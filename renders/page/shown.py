"""Which timelines a page shows for the texts that were given, and which sound of each is in question."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from articulators.errors import BadInput
from renders.film import timeline_of_sound, timeline_of_text
from renders.pair_words import Said, chosen
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry, sound

LONGEST_S = 12.0  # of one text: what a page on a phone can hold and a learner can follow


@dataclass(frozen=True)
class Shown:
    """One half of a page.

    name      what it is called: the word, or the sound in brackets     timeline  what it does
    focus     number of the sound in question                            position  where that sound stands in its word
    is_sound  a sound was asked for, not a text
    """

    name: str
    timeline: Timeline
    focus: int
    position: str
    is_sound: bool = False


def shown(texts: Sequence[str]) -> tuple[Shown, ...]:
    """One or two texts as timelines. Two names of sounds are shown in a minimal pair of words where there is one.

    BadInput for no text or more than two, for the same one twice, and for what cannot be read or is too long.
    """
    if not 1 <= len(texts) <= 2:
        raise BadInput(f"{len(texts)} texts were given; a page shows one, or two side by side (quote a phrase)")
    entries = [_sound_of(text) for text in texts]
    if len(texts) == 1:
        entry = entries[0]
        alone = timeline_of_sound(entry) if entry is not None else timeline_of_text(texts[0])
        return (_checked(Shown(_name(texts[0], entry), alone, 0, "alone", entry is not None)),)
    _differ(texts, entries)
    if entries[0] is not None and entries[1] is not None:
        a, b, position = chosen(entries[0], entries[1])
        return _of_sound(a, position), _of_sound(b, position)
    made = [
        timeline_of_sound(entry) if bracketed(text) and entry is not None else timeline_of_text(text)
        for text, entry in zip(texts, entries, strict=True)
    ]
    focus, where = _first_difference(made[0], made[1])
    return tuple(
        _checked(Shown(_name(text, None), timeline, at, where))
        for text, timeline, at in zip(texts, made, focus, strict=True)
    )


def bracketed(text: str) -> bool:
    """Whether a text stands in [ ]."""
    bare = text.strip()
    return len(bare) > 2 and (bare[0], bare[-1]) == ("[", "]")


def _sound_of(text: str) -> SoundEntry | None:
    try:
        return sound(text)
    except BadInput:
        return None


def _name(text: str, entry: SoundEntry | None) -> str:
    return f"[{entry.symbol}]" if entry is not None else " ".join(text.split())


def _differ(texts: Sequence[str], entries: Sequence[SoundEntry | None]) -> None:
    one, other = (unicodedata.normalize("NFD", " ".join(text.split())).casefold() for text in texts)
    same_sound = entries[0] is not None and entries[0] == entries[1]
    if one == other or same_sound:
        raise BadInput(f"'{texts[0]}' and '{texts[1]}' are the same; give one of them, or two that differ")


def _of_sound(said: Said, position: str) -> Shown:
    name = said.word or f"[{said.entry.symbol}]"
    return _checked(Shown(name, said.timeline, said.index, position, True))


def _checked(half: Shown) -> Shown:
    lasts = half.timeline.duration_s
    if lasts > LONGEST_S:
        name = half.name if len(half.name) <= 40 else half.name[:40] + "\u2026"
        raise BadInput(f"'{name}' lasts {lasts:.0f} s; a page takes up to {LONGEST_S:.0f} s a text: give a shorter one")
    return half


def _first_difference(a: Timeline, b: Timeline) -> tuple[tuple[int, int], str]:
    """The first sounds that differ, and where they stand; the first sounds where none does."""
    keys = [[s.sound.phoneme for s in t.spans] for t in (a, b)]
    if keys[0] == keys[1]:
        keys = [[s.sound.symbol for s in t.spans] for t in (a, b)]
    blocks = SequenceMatcher(None, keys[0], keys[1], autojunk=False).get_opcodes()
    at = next(((i, j) for kind, i, _, j, _ in blocks if kind != "equal"), (0, 0))
    i, j = min(at[0], len(keys[0]) - 1), min(at[1], len(keys[1]) - 1)
    return (i, j), _position(a, i)


def _position(timeline: Timeline, index: int) -> str:
    if timeline.alone:
        return "alone"
    sounds = timeline.utterance.sounds
    word = sounds[index].word
    first = index == 0 or sounds[index - 1].word != word
    last = index == len(sounds) - 1 or sounds[index + 1].word != word
    return "initial" if first else "final" if last else "medial"


def differing(a: Timeline, b: Timeline) -> int:
    """How many stretches of sounds differ between two timelines; 1 for a minimal pair."""
    keys = [[s.sound.phoneme for s in t.spans] for t in (a, b)]
    return sum(op[0] != "equal" for op in SequenceMatcher(None, keys[0], keys[1], autojunk=False).get_opcodes())


def shared(a: Timeline, b: Timeline) -> int:
    """How many kinds of sounds both have."""
    return len({s.sound.phoneme for s in a.spans} & {s.sound.phoneme for s in b.spans})
