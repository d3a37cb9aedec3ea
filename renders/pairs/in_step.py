"""Two texts on one clock, whose zero is an event that both have."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from articulators.curves import Array
from renders.pairs.compared import ComparedPair
from renders.pairs.layout import pair_layout
from renders.wording.teller import Teller
from vocaltract.motion.phases import Course
from vocaltract.motion.playback import Playback
from vocaltract.pairs.event import Alignment, alignment


@dataclass(frozen=True)
class InStep:
    """Two texts on one clock: seconds from the shared event, from `start_s` to `end_s`."""

    pair: ComparedPair
    way: Alignment
    start_s: float
    end_s: float

    @cached_property
    def window_s(self) -> tuple[float, float]:
        """Seconds before and after the event that the tracks show: all that is said."""
        said = [(s.timeline.speech_s, zero) for s, zero in zip(self.pair.said, self.way.zeros_s, strict=True)]
        before = max(zero - speech[0] for speech, zero in said)
        after = max(speech[1] - zero for speech, zero in said)
        room = pair_layout().film
        return max(before, room.least_s) + room.margin_s / 2, max(after, room.least_s) + room.margin_s / 2

    @cached_property
    def tellers(self) -> tuple[Teller, Teller]:
        """What says the states of either text."""
        first, second = (Teller(Course(said.timeline)) for said in self.pair.said)
        return first, second

    def times_s(self, clock_s: Array, number: int) -> Array:
        """Times on one of the two timelines; outside it the mouth rests."""
        timeline = self.pair.said[number].timeline
        return np.clip(clock_s + self.way.zeros_s[number], 0.0, timeline.duration_s)

    def playback(self, number: int, speed: float) -> Playback:
        """How one of the two timelines is heard at a speed, from `start_s` to `end_s`; outside it nothing moves."""
        zero, whole_s = self.way.zeros_s[number], self.pair.said[number].timeline.duration_s
        first, last = self.start_s + zero, self.end_s + zero
        edges = np.unique(np.clip([first, 0.0, whole_s, last], first, last))
        return Playback((edges - first) / speed, np.clip(edges, 0.0, whole_s), False)


def in_step(pair: ComparedPair, event: str = "") -> InStep:
    """Two compared texts aligned at an event of `event.EVENTS`; "" takes the one that suits."""
    way = alignment(pair.said, event)
    said = list(zip(pair.said, way.zeros_s, strict=True))
    margin_s = pair_layout().film.margin_s
    start = min(s.timeline.speech_s[0] - zero for s, zero in said) - margin_s
    end = max(s.timeline.speech_s[1] - zero for s, zero in said) + margin_s
    return InStep(pair, way, start, end)


def event_frame(both: InStep, playback: Playback, fps: float) -> int:
    """Number of the frame nearest to the shared event."""
    clock = playback.frame_times_s(fps) + both.start_s
    return int(np.argmin(np.abs(clock)))
