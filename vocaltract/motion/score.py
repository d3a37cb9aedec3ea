"""The gestural score of a timeline: which articulator moves when, and for which sound; measured on the movement."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index
from vocaltract.airway.air import speech_air
from vocaltract.motion.limits import motion_limits
from vocaltract.motion.schedule import Span
from vocaltract.motion.stops import ORGAN, STEP_S, Run, stretches
from vocaltract.motion.timeline import Timeline
from vocaltract.motion.timing import timing
from vocaltract.phonetics.inventory import organ

ARTICULATORS = ("lips", "tongue tip", "tongue body", "velum", "glottis")
READY_S = 0.05
"""How long before and after speech a movement still belongs to it; beyond that the mouth rests."""
FULL_SHARE = 0.9
"""A movement counts as full while it is at least this share of its greatest extent."""


@dataclass(frozen=True, slots=True)
class Gesture:
    """One movement of one articulator for a sound, in seconds: begun, fully there, left, over.

    what   "closes", "taps", "narrows", "nears", "shapes" (a vowel), "rounds", "lowers" (velum), "opens" (glottis)
    index  of the sound in the utterance that asks for it
    """

    articulator: str
    what: str
    index: int
    symbol: str
    start_s: float
    full_s: float
    leave_s: float
    end_s: float


def gestural_score(timeline: Timeline) -> tuple[Gesture, ...]:
    """All gestures by the time at which they begin, on the timeline's own clock."""
    found = [*_of_the_mouth(timeline), *_rounding(timeline), *_velum(timeline), *_glottis(timeline)]
    return tuple(sorted(found, key=lambda g: (g.start_s, ARTICULATORS.index(g.articulator))))


def _made(span: Span, articulator: str, what: str, times: tuple[float, ...]) -> Gesture:
    start, full, leave, end = times
    return Gesture(articulator, what, span.index, span.sound.symbol, min(start, full), full, leave, max(leave, end))


def _of_the_mouth(timeline: Timeline) -> Iterator[Gesture]:
    for span in timeline.spans:
        name = organ(span.entry)
        if span.entry.kind == "vowel":
            yield _made(span, "tongue body", "shapes", (span.start_s, *span.hold_s, span.end_s))
        elif name:
            manner = span.entry.manner
            what = "nears" if "approximant" in manner else "narrows"
            if span.entry.closes:
                what = "taps" if manner == "tap" else "closes"
            start, end = _around(timeline, name, span)
            yield _made(span, ORGAN[name], what, (start, *span.hold_s, end))


def _around(timeline: Timeline, name: str, span: Span) -> Run:
    """When the movement to a narrowing begins and the movement away from it ends: at the widest beside it."""
    reach = timing().score.approach_s
    before = np.arange(span.hold_s[0], max(span.hold_s[0] - reach, 0.0), -STEP_S)
    after = np.arange(span.hold_s[1], min(span.hold_s[1] + reach, timeline.duration_s), STEP_S)
    ends = []
    for times in (before, after):
        gaps = np.asarray(getattr(timeline.moment(times), f"{name}_mm"))
        falls = np.flatnonzero(np.diff(gaps) < 0)
        rising = gaps[: falls[0] + 1] if len(falls) else gaps
        ends.append(float(times[np.argmax(rising >= FULL_SHARE * rising.max())]) if len(rising) else float(times[0]))
    return ends[0], ends[1]


def _extent(
    timeline: Timeline, articulator: str, what: str, extent: Array, least: float, asks: Callable[[Span], bool]
) -> Iterator[Gesture]:
    """A gesture for each stretch in which an extent (n,) at steps of STEP_S is at least so great."""
    times = np.arange(len(extent)) * STEP_S
    begin, over = timeline.speech_s
    spoken = (times >= begin - READY_S) & (times <= over + READY_S)
    for start, end in stretches(times, spoken & (extent >= least)):
        inside = (times >= start) & (times <= end)
        asking = [s for s in timeline.spans if asks(s) and s.start_s < end and s.end_s > start]
        if not asking:
            continue
        full = times[inside & (extent >= FULL_SHARE * extent[inside].max())]
        chosen = max(asking, key=lambda s: min(s.end_s, end) - max(s.start_s, start))
        yield _made(chosen, articulator, what, (start, float(full[0]), float(full[-1]), end))


def _part(timeline: Timeline, name: str) -> Array:
    times = np.arange(0.0, timeline.duration_s, STEP_S)
    return np.asarray(timeline.posture(times).values[:, part_index(name)])


def _rounding(timeline: Timeline) -> Iterator[Gesture]:
    def asks(span: Span) -> bool:
        return span.entry.rounded or span.entry.place in ("postalveolar", "labial-velar")

    yield from _extent(timeline, "lips", "rounds", _part(timeline, "rounded"), motion_limits().lips.rounded_from, asks)


def _velum(timeline: Timeline) -> Iterator[Gesture]:
    def asks(span: Span) -> bool:
        return span.entry.manner == "nasal" or ("nasalised" in span.sound.features and not span.sound.is_vowel)

    times = np.arange(0.0, timeline.duration_s, STEP_S)
    port = np.asarray(timeline.moment(times).port_mm)
    yield from _extent(timeline, "velum", "lowers", port, motion_limits().port.open_mm, asks)


def _glottis(timeline: Timeline) -> Iterator[Gesture]:
    def asks(span: Span) -> bool:
        return not span.entry.voiced and span.entry.symbol != "ʔ"

    least = speech_air().glottis.voicing_gap_mm
    yield from _extent(timeline, "glottis", "opens", _part(timeline, "glottis_mm"), least, asks)
    for span in timeline.spans:
        if span.entry.symbol == "ʔ":
            yield _made(span, "glottis", "closes", (span.start_s, *span.hold_s, span.end_s))
