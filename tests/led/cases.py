"""Recordings beside the text that is said in them, and beside other texts."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from articulators.errors import BadInput
from tests.led.voices import LONG, SHORT, recorded
from vocaltract.recording.aligned import found_sounds
from vocaltract.recording.fit import signs
from vocaltract.recording.phones import listened_words
from vocaltract.words.text.transcribe import read

LEAST_APART = 2
"""Sounds in which another text differs: of minimal pairs nothing is said."""


@dataclass(frozen=True)
class Case:
    """A text said in a voice, taken for a text; the signs of it, None where its sounds are not found at all."""

    said: str
    taken: str
    voice: str
    signs: dict[str, float] | None


def cases(voices: tuple[str, ...], others: int, seed: int, texts: tuple[str, ...] = SHORT + LONG) -> Iterator[Case]:
    """Every text in every voice taken for itself and for some others."""
    chosen = random.Random(seed)
    for said in texts:
        for voice in voices:
            different = [text for text in SHORT + LONG if apart(text, said) >= LEAST_APART]
            for taken in (said, *chosen.sample(different, others)):
                yield Case(said, taken, voice, _signs(said, taken, voice))


def _signs(said: str, taken: str, voice: str) -> dict[str, float] | None:
    recording, utterance = recorded(said, voice), read(taken)
    try:
        return signs(utterance, found_sounds(utterance, recording), recording)
    except BadInput:
        return None


def apart(one: str, other: str) -> int:
    """In how many phones two texts differ."""
    a, b = ([phone for word in listened_words(read(text)) for phone in word.phones] for text in (one, other))
    row = list(range(len(b) + 1))
    for i, first in enumerate(a, 1):
        before, row[0] = row[:], i
        for j, second in enumerate(b, 1):
            row[j] = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (first != second))
    return row[-1]
