"""What happens when in a timeline: gestures of each articulator, and the events of each stop.

All times are measured on the movement and on the simulated voice, in seconds from the start of speech, which is
0 on the clock of films and strips too; getting ready for the first sound comes before 0.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from articulators.posture import part_index
from renders.phases import gap_mm, numbers
from vocaltract.airway.breath import constants
from vocaltract.motion.schedule import Span, organ
from vocaltract.motion.timeline import Timeline

ARTICULATORS = ("lips", "tongue tip", "tongue body", "velum", "glottis")
_OF_ORGAN = {"lips": "lips", "coronal": "tongue tip", "dorsal": "tongue body"}
STEP_S = 0.001
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


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop: when it is shut, let go (None: held), and when voice starts for what follows (None: it does not).

    Where voice goes on through the hold, it starts in it: `voicing_onset_s` comes before `release_s` then.
    """

    index: int
    symbol: str
    organ: str
    closure_s: float
    release_s: float | None
    voicing_onset_s: float | None

    @property
    def voice_onset_time_s(self) -> float | None:
        """From the release to the voice; negative where voice leads."""
        if self.release_s is None or self.voicing_onset_s is None:
            return None
        return self.voicing_onset_s - self.release_s


Run = tuple[float, float]


def runs(times_s: np.ndarray, on: np.ndarray) -> list[Run]:
    """First and last time of every stretch in which something holds."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(int)))
    return [(float(times_s[a]), float(times_s[b - 1])) for a, b in zip(edges[::2], edges[1::2], strict=True)]


# Stops


def stops(timeline: Timeline) -> tuple[Stop, ...]:
    """Plosives, affricates, clicks and glottal stops in time order; a tap is no stop."""
    times = np.arange(0.0, timeline.duration_s, STEP_S)
    voice = runs(times, timeline.moment(times).voice >= numbers()["voiced_from"])
    begin = timeline.speech_s[0]
    found = []
    for span in timeline.spans:
        glottal = span.entry.manner == "plosive" and span.entry.place == "glottal"
        if not (span.entry.is_stop or glottal):
            continue
        release = None if span.release == "none" else span.release_s
        if glottal and "unreleased" not in span.sound.features:
            release = span.hold_s[1]
        onset = None if release is None else _onset(timeline, span, release, voice)
        where = "glottis" if glottal else _OF_ORGAN[organ(span.entry)]
        closure = span.hold_s[0] - begin
        found.append(
            Stop(
                span.index,
                span.sound.symbol,
                where,
                closure,
                None if release is None else release - begin,
                None if onset is None else onset - begin,
            )
        )
    return tuple(sorted(found, key=lambda stop: stop.closure_s))


def _onset(timeline: Timeline, span: Span, release: float, voice: list[Run]) -> float | None:
    """When the voice starts for the sound after a stop: in the hold, or after the release."""
    for start, end in voice:
        if start < release - STEP_S and end >= release - 2 * STEP_S:
            return max(start, span.hold_s[0])
    if span.index in timeline.utterance.pauses_after or span.index + 1 == len(timeline.spans):
        limit = span.end_s if span.entry.voiced else release
    else:
        following = timeline.spans[span.index + 1]
        limit = following.end_s if following.entry.voiced else span.end_s
    return next((start for start, _ in voice if release - 2 * STEP_S <= start < limit), None)


# Gestures


def gestures(timeline: Timeline) -> tuple[Gesture, ...]:
    """All gestures by the time at which they begin."""
    found = [*_of_the_mouth(timeline), *_rounding(timeline), *_velum(timeline), *_glottis(timeline)]
    return tuple(sorted(found, key=lambda g: (g.start_s, ARTICULATORS.index(g.articulator))))


def _made(timeline: Timeline, span: Span, articulator: str, what: str, times: tuple[float, ...]) -> Gesture:
    start, full, leave, end = (time - timeline.speech_s[0] for time in times)
    return Gesture(articulator, what, span.index, span.sound.symbol, min(start, full), full, leave, max(leave, end))


def _of_the_mouth(timeline: Timeline) -> Iterator[Gesture]:
    for span in timeline.spans:
        name = organ(span.entry)
        if span.entry.kind == "vowel":
            yield _made(timeline, span, "tongue body", "shapes", (span.start_s, *span.hold_s, span.end_s))
        elif name:
            manner = span.entry.manner
            what = "nears" if "approximant" in manner else "narrows"
            if span.entry.closes:
                what = "taps" if manner == "tap" else "closes"
            start, end = _around(timeline, name, span)
            yield _made(timeline, span, _OF_ORGAN[name], what, (start, *span.hold_s, end))


def _around(timeline: Timeline, name: str, span: Span) -> Run:
    """When the movement to a narrowing begins and the movement away from it ends: at the widest beside it."""
    reach = numbers()["approach_s"]
    before = np.arange(span.hold_s[0], max(span.hold_s[0] - reach, 0.0), -STEP_S)
    after = np.arange(span.hold_s[1], min(span.hold_s[1] + reach, timeline.duration_s), STEP_S)
    ends = []
    for times in (before, after):
        gaps = gap_mm(timeline, name, times)
        falls = np.flatnonzero(np.diff(gaps) < 0)
        rising = gaps[: falls[0] + 1] if len(falls) else gaps
        ends.append(float(times[np.argmax(rising >= FULL_SHARE * rising.max())]) if len(rising) else float(times[0]))
    return ends[0], ends[1]


def _extent(
    timeline: Timeline, articulator: str, what: str, extent: np.ndarray, least: float, asks: Callable[[Span], bool]
) -> Iterator[Gesture]:
    """A gesture for each stretch in which an extent (n,) at steps of STEP_S is at least so great."""
    times = np.arange(len(extent)) * STEP_S
    begin, over = timeline.speech_s
    spoken = (times >= begin - READY_S) & (times <= over + READY_S)
    for start, end in runs(times, spoken & (extent >= least)):
        inside = (times >= start) & (times <= end)
        asking = [s for s in timeline.spans if asks(s) and s.start_s < end and s.end_s > start]
        if not asking:
            continue
        full = times[inside & (extent >= FULL_SHARE * extent[inside].max())]
        chosen = max(asking, key=lambda s: min(s.end_s, end) - max(s.start_s, start))
        yield _made(timeline, chosen, articulator, what, (start, float(full[0]), float(full[-1]), end))


def _part(timeline: Timeline, name: str) -> np.ndarray:
    times = np.arange(0.0, timeline.duration_s, STEP_S)
    return np.asarray(timeline.posture(times).values[:, part_index(name)])


def _rounding(timeline: Timeline) -> Iterator[Gesture]:
    def asks(span: Span) -> bool:
        return span.entry.rounded or span.entry.place in ("postalveolar", "labial-velar")

    yield from _extent(timeline, "lips", "rounds", _part(timeline, "rounded"), numbers()["rounded_from"], asks)


def _velum(timeline: Timeline) -> Iterator[Gesture]:
    def asks(span: Span) -> bool:
        return span.entry.manner == "nasal" or ("nasalised" in span.sound.features and not span.sound.is_vowel)

    times = np.arange(0.0, timeline.duration_s, STEP_S)
    port = np.asarray(timeline.moment(times).port_mm)
    yield from _extent(timeline, "velum", "lowers", port, numbers()["port_open_mm"], asks)


def _glottis(timeline: Timeline) -> Iterator[Gesture]:
    def asks(span: Span) -> bool:
        return not span.entry.voiced and span.entry.symbol != "ʔ"

    least = constants()["glottis"]["voicing_gap_mm"]
    yield from _extent(timeline, "glottis", "opens", _part(timeline, "glottis_mm"), least, asks)
    for span in timeline.spans:
        if span.entry.symbol == "ʔ":
            yield _made(timeline, span, "glottis", "closes", (span.start_s, *span.hold_s, span.end_s))
