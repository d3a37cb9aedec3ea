"""All sounds of English solved for a speaker, so that what is drawn later waits for nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from articulators.errors import BadInput
from vocaltract.phonetics.postures import english_keys, posture
from vocaltract.phonetics.speaker import Speaker


@dataclass(frozen=True)
class SolvedSounds:
    """How many sounds a speaker's head makes, and what is wrong with those that it does not, by symbol."""

    solved: int
    faults: dict[str, str]


def solve_english(speaker: Speaker, progress: Callable[[int, int], None] | None = None) -> SolvedSounds:
    """Solve every sound of English for a speaker and keep it; ``progress`` is called with (done, total)."""
    keys = english_keys()
    faults: dict[str, str] = {}
    for done, key in enumerate(keys, 1):
        try:
            posture(key, speaker)
        except BadInput as error:
            faults[key] = str(error)
        if progress is not None:
            progress(done, len(keys))
    return SolvedSounds(len(keys) - len(faults), faults)
