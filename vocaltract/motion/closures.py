"""Closures as they really are: measured on the sections of the movement, not taken from the plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from articulators.curves import Array, Bools
from vocaltract.airway.air import Organ
from vocaltract.airway.gaps import Gaps
from vocaltract.ipa.symbol import places_shut
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.phonetics.inventory import SoundEntry, organ

ORGANS: tuple[Organ, ...] = ("lips", "coronal", "dorsal")


@dataclass(frozen=True, slots=True)
class Closure:
    """Mouth or throat shut by one organ ("lips", "coronal", "dorsal") from `start_s` to `end_s`, for sounds `indices`.

    Lips also against the teeth, coronal also against the upper lip, dorsal also root or epiglottis on the throat wall.
    """

    organ: Organ
    start_s: float
    end_s: float
    indices: tuple[int, ...]


@lru_cache(maxsize=512)
def organs(entry: SoundEntry) -> tuple[str, ...]:
    """The organs that shut in a sound: one, or two for a click or a double articulation."""
    if entry.kind != "ipa":
        return (organ(entry),)
    return tuple(dict.fromkeys(organ(replace(entry, place=place)) for place in places_shut(entry.symbol)))


def runs(shut: Bools) -> list[tuple[int, int]]:
    """First and last index of every run of True in a row of booleans."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], shut, [False]]).astype(int)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def closures(
    plan: Schedule, times_s: Array, found: Gaps, gaps_at: Callable[[Array], Gaps], steps: int = 5
) -> tuple[Closure, ...]:
    """Closures of the plan's sounds, found on a grid and then narrowed by bisection to grid step / 2**steps.

    A contact that no sound of the utterance asks for (lips at rest) is not a closure.
    """
    out: list[tuple[Organ, int, int]] = []
    for name in ORGANS:
        for first, last in runs(found.shut(name)):
            within = times_s[max(first - 1, 0)], times_s[min(last + 1, len(times_s) - 1)]
            if _asked(plan, name, *within):
                out.append((name, first, last))
    if not out:
        return ()
    edges = np.array(
        [[times_s[max(a - 1, 0)], times_s[a]] for _, a, _ in out]
        + [[times_s[min(b + 1, len(times_s) - 1)], times_s[b]] for _, _, b in out]
    )
    names = [o for o, _, _ in out] * 2
    for _ in range(steps):
        middle = edges.mean(axis=1)
        now = gaps_at(middle)
        by_organ = {name: now.shut(name) for name in ORGANS}
        shut = np.array([by_organ[n][i] for i, n in enumerate(names)])
        edges[shut, 1] = middle[shut]
        edges[~shut, 0] = middle[~shut]
    start, end = edges[: len(out), 1], edges[len(out) :, 1]
    closed = []
    for i, (name, _, _) in enumerate(out):
        meant = _asked(plan, name, start[i], end[i])
        if meant:
            # lips that rest together become a closure when speech begins
            begins = (
                max(float(start[i]), plan.speech_s[0])
                if meant[0] == 0 and start[i] < 0.3 * plan.speech_s[0]
                else float(start[i])
            )
            closed.append(Closure(name, begins, float(end[i]), meant))
    return tuple(sorted(closed, key=lambda c: c.start_s))


def _asked(plan: Schedule, name: Organ, start_s: float, end_s: float) -> tuple[int, ...]:
    """Sounds that shut with the organ and are held at some time between two."""
    return tuple(
        s.index
        for s in plan.spans
        if s.entry.closes and name in organs(s.entry) and s.hold_s[0] < end_s and s.hold_s[1] > start_s
    )


def settled(plan: Schedule, closed: tuple[Closure, ...]) -> tuple[Span, ...]:
    """The plan's spans with holds and releases moved to where contact was really made and broken."""
    spans = list(plan.spans)
    for i, span in enumerate(spans):
        mine = [c for c in closed if i in c.indices]
        if not mine or not span.entry.closes:
            continue
        # two closures at once: both hold from the later start to the earlier end
        first, last = all(c.indices[0] == i for c in mine), all(c.indices[-1] == i for c in mine)
        start = max(c.start_s for c in mine) if first else span.hold_s[0]
        end = min(c.end_s for c in mine) if last else span.hold_s[1]
        release, voice = span.release_s, span.voice_s
        if span.release in ("oral", "lateral") and release is not None and last:
            voice = None if voice is None else voice + end - release
            release = end
        spans[i] = replace(span, hold_s=(start, max(end, start)), release_s=release, voice_s=voice)
    return tuple(spans)
