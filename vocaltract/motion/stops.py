"""Events of stops, measured on the simulated mouth and voice: shut, let go, and when voice starts for what follows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from articulators.curves import Array, Bools
from vocaltract.motion.closures import runs
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import organ

STEP_S = 0.001
"""How closely events are looked for, here and wherever two timelines are compared."""


@dataclass(frozen=True, slots=True)
class StopEvent:
    """One stop, in seconds.

    index             of its sound in the utterance, `symbol` as printed
    organ             what shuts: "lips", "tongue tip", "tongue body" or "glottis"
    closure_s         when contact is made
    release_s         when it is let go; None: held
    voicing_onset_s   when voice starts for what follows; None: it does not. Where voice goes on through the hold, it
                      starts in it and comes before `release_s`
    """

    index: int
    symbol: str
    organ: str
    closure_s: float
    release_s: float | None
    voicing_onset_s: float | None

    @property
    def voice_onset_time_s(self) -> float | None:
        """From the release to the voice; negative where voice leads; None where there is no release or no voice."""
        if self.release_s is None or self.voicing_onset_s is None:
            return None
        return self.voicing_onset_s - self.release_s


ORGAN = {"lips": "lips", "coronal": "tongue tip", "dorsal": "tongue body"}
Run = tuple[float, float]


def stretches(times_s: Array, on: Bools) -> list[Run]:
    """First and last time of every stretch in which something holds."""
    return [(float(times_s[first]), float(times_s[last])) for first, last in runs(on)]


def stop_events(timeline: Timeline) -> tuple[StopEvent, ...]:
    """Plosives, affricates, clicks and glottal stops by the time of their closure, on the timeline's own clock.

    A tap is no stop.
    """
    times = np.arange(0.0, timeline.duration_s, STEP_S)
    voice = stretches(times, timeline.moment(times).voicing > 0)
    found = []
    for span in timeline.spans:
        glottal = span.entry.manner == "plosive" and span.entry.place == "glottal"
        if not (span.entry.is_stop or glottal):
            continue
        release = None if span.release == "none" else span.release_s
        if glottal and "unreleased" not in span.sound.features:
            release = span.hold_s[1]
        onset = None if release is None else _onset(timeline, span, release, voice)
        where = "glottis" if glottal else ORGAN[organ(span.entry)]
        found.append(StopEvent(span.index, span.sound.symbol, where, span.hold_s[0], release, onset))
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
