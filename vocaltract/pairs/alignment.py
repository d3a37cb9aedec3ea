"""Which sounds of two utterances answer each other, so that words and phrases can be compared sound by sound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vocaltract.phonetics.inventory import entry_of
from vocaltract.words.utterance import Sound

# What it costs to let one sound answer another, or none (UNANSWERED). Only their order matters: the same sound
# before another form of it, that before another sound of its class, and a vowel never answers a consonant.
SAME, FORM, CLASS, UNANSWERED, NEVER = 0.0, 0.25, 0.9, 0.8, 9.0
LIKENESS = 0.1  # less for each of place, manner and voicing that two consonants share


@dataclass(frozen=True, slots=True)
class Match:
    """Numbers of two sounds that answer each other; None where the other utterance has nothing there."""

    first: int | None
    second: int | None


def aligned(a: Sequence[Sound], b: Sequence[Sound]) -> tuple[Match, ...]:
    """The cheapest way to let the sounds of a answer those of b, in order (Needleman & Wunsch 1970, from memory)."""
    cost = np.zeros((len(a) + 1, len(b) + 1))
    cost[:, 0], cost[0, :] = UNANSWERED * np.arange(len(a) + 1), UNANSWERED * np.arange(len(b) + 1)
    apart = np.array([[_apart(x, y) for y in b] for x in a]).reshape(len(a), len(b))
    for i in range(1, len(a) + 1):
        for j in range(1, len(b) + 1):
            cost[i, j] = min(
                cost[i - 1, j - 1] + apart[i - 1, j - 1], cost[i - 1, j] + UNANSWERED, cost[i, j - 1] + UNANSWERED
            )
    found: list[Match] = []
    i, j = len(a), len(b)
    while i or j:
        if i and j and np.isclose(cost[i, j], cost[i - 1, j - 1] + apart[i - 1, j - 1]):
            i, j = i - 1, j - 1
            found.append(Match(i, j))
        elif i and np.isclose(cost[i, j], cost[i - 1, j] + UNANSWERED):
            i -= 1
            found.append(Match(i, None))
        else:
            j -= 1
            found.append(Match(None, j))
    return tuple(reversed(found))


def unlike(matches: Sequence[Match], a: Sequence[Sound], b: Sequence[Sound]) -> tuple[Match, ...]:
    """The matches whose sounds differ, the weightiest kind of difference only.

    Other phonemes (or none) count before other shapes of one phoneme, those before another printed symbol.
    """
    for key in ("phoneme", "target", "symbol"):
        found = [
            m for m in matches
            if m.first is None or m.second is None or getattr(a[m.first], key) != getattr(b[m.second], key)
        ]  # fmt: skip
        if found:
            return tuple(found)
    return ()


def _apart(x: Sound, y: Sound) -> float:
    if x.phoneme == y.phoneme:
        return SAME if x.target == y.target else FORM
    if x.target == y.target:
        return FORM
    if ("nucleus" in x.features) != ("nucleus" in y.features):
        return NEVER
    one, other = entry_of(x.target), entry_of(y.target)
    shared = (one.place == other.place) + (one.manner == other.manner) + (one.voiced == other.voiced)
    return CLASS - LIKENESS * shared
