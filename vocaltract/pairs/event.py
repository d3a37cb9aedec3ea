"""The moment that two timelines share: where the mouth shuts, where it lets go, or where the vowel starts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from articulators.errors import BadInput, nearest
from vocaltract.airway.limits import sides_open
from vocaltract.motion.closures import runs
from vocaltract.motion.stops import STEP_S
from vocaltract.motion.timeline import Timeline
from vocaltract.pairs.occurrences import Occurrence

AROUND_S = 0.2
EVENTS = ("closure", "release", "vowel")
NAMES = ("closure", "release", "vowel", "start", "hold_start", "hold_end")


@dataclass(frozen=True)
class Alignment:
    """What lies at 0: the time in s on either timeline, and which of NAMES it is ("start": of two vowels)."""

    zeros_s: tuple[float, float]
    name: str


def check_event(name: str) -> str:
    """One of EVENTS, or "" for what suits; BadInput for another."""
    if name not in ("", *EVENTS):
        raise BadInput(f"event '{name}' is unknown; allowed: {', '.join(EVENTS)}{nearest(name, EVENTS)}")
    return name


def alignment(said: Sequence[Occurrence], event: str = "") -> Alignment:
    """Both sounds aligned at an event of EVENTS; "" takes the one that suits: release, end of a hold, start of a vowel.

    A sound without closure or release has the start or the end of its hold there. "vowel" is the sound itself where
    it is one, else the first vowel after it, else the last before it. BadInput for an unknown event, or where a text
    has no vowel.
    """
    check_event(event)
    first, second = said
    vowels = all(s.entry.kind == "vowel" for s in said)
    if event == "vowel" or (not event and vowels):
        return Alignment((_vowel_s(first), _vowel_s(second)), "start" if vowels else "vowel")
    if event == "closure":
        shut = all(s.entry.closes for s in said)
        return Alignment((_hold_s(first, 0), _hold_s(second, 0)), "closure" if shut else "hold_start")
    if all(s.span.release_s is not None for s in said):
        return Alignment((first.span.release_s or 0.0, second.span.release_s or 0.0), "release")
    return Alignment((_hold_s(first, 1), _hold_s(second, 1)), "hold_end")


def contacts(timeline: Timeline, index: int) -> list[tuple[float, float]]:
    """From when to when in s a sound's organs touch; a lateral's count, though its sides stay open."""
    span = timeline.spans[index]
    found = [(c.start_s, c.end_s) for c in timeline.closures if index in c.indices]
    if "lateral" not in span.entry.manner:
        return found
    times = np.arange(max(span.start_s - AROUND_S, 0.0), min(span.end_s + AROUND_S, timeline.duration_s), STEP_S)
    sides = sides_open(timeline.posture(times)["sides_open"])
    for first, last in runs((timeline.moment(times).coronal_mm <= 0) & sides):
        if times[first] < span.end_s and times[last] > span.start_s:
            found.append((float(times[first]), float(times[last])))
    return found


def _hold_s(said: Occurrence, edge: int) -> float:
    """Where a hold begins or ends: at the contact where there is one."""
    touching = contacts(said.timeline, said.index) if said.entry.kind != "vowel" else []
    if touching:
        return touching[0][0] if edge == 0 else touching[-1][1]
    return said.span.start_s if said.entry.kind == "vowel" and edge == 0 else said.span.hold_s[edge]


def _vowel_s(said: Occurrence) -> float:
    spans = said.timeline.spans
    after = [s for s in spans[said.index :] if s.entry.kind == "vowel"]
    before = [s for s in spans[: said.index] if s.entry.kind == "vowel"]
    if not after and not before:
        text = said.word or said.entry.symbol
        raise BadInput(f"'{text}' has no vowel to align at; allowed: closure, release")
    return (after[0] if after else before[-1]).start_s
