"""When a sound closes, holds and opens, and which sound the mouth is making at a moment.

The phases of a stop, nasal or tap reach into its neighbours: the mouth starts to close before the sound and is
still opening after it. Their times are read from the movement, not planned.
"""

from __future__ import annotations

from functools import cache, partial

import numpy as np

from articulators.errors import BadInput
from vocaltract.motion.limits import motion_limits
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import organ

Phase = tuple[str, float, float]
GAP_OF = {"lips": "lips_mm", "coronal": "coronal_mm", "dorsal": "dorsal_mm"}


def gap_mm(timeline: Timeline, name: str, times_s: np.ndarray) -> np.ndarray:
    """Gap (n,) in mm of the organ "lips", "coronal" or "dorsal" at times (n,)."""
    return np.asarray(getattr(timeline.moment(times_s), GAP_OF[name]))


def span_of(timeline: Timeline, index: int) -> Span:
    """The sound of that number; BadInput where there is none."""
    if not 0 <= index < len(timeline.spans):
        raise BadInput(f"sound {index} is not in the utterance; allowed: 0 to {len(timeline.spans) - 1}")
    return timeline.spans[index]


def phases(timeline: Timeline, span_index: int) -> tuple[Phase, ...]:
    """(name, start, end) in seconds of a sound, each starting where the one before ends.

    A sound with a closure has "approach", "hold" and "release"; the approach is left out where the sound
    before already shut the mouth, the release where the closure is not let go. Any other sound is "steady".
    """
    span = span_of(timeline, span_index)
    if not span.entry.closes:
        return (("steady", span.start_s, span.end_s),)
    shut = span.hold_s[0]
    let_go = span.release_s if span.release_s is not None else max(span.hold_s[1], span.end_s)
    least = motion_limits().phase.shortest_s
    if _sides_open_next(timeline, span):
        # the tip stays for the lateral, but the mouth is shut no longer
        let_go = min(let_go, span.end_s)
    let_go = max(let_go, shut + least)
    found: list[Phase] = []
    begin = _approach_s(timeline, span)
    if shut - begin >= least:
        found.append(("approach", begin, shut))
    found.append(("hold", shut, let_go))
    if span.release_s is not None:
        found.append(("release", let_go, max(_opened_s(timeline, span, let_go), let_go + least)))
    return tuple(found)


def _sides_open_next(timeline: Timeline, span: Span) -> bool:
    after = timeline.spans[span.index + 1 : span.index + 2]
    return bool(after) and after[0].entry.manner == "lateral approximant" and organ(span.entry) == organ(after[0].entry)


def _shared(timeline: Timeline, span: Span) -> bool:
    """Whether the sound before made the closure of this one."""
    return any(span.index in c.indices and c.indices[0] != span.index for c in timeline.closures)


def _approach_s(timeline: Timeline, span: Span) -> float:
    shut = span.hold_s[0]
    if _shared(timeline, span):
        return shut
    floor = 0.0
    if span.index:
        before = timeline.spans[span.index - 1]
        floor = before.hold_s[0] if before.entry.closes and before.release_s is None else before.hold_s[1]
    times = np.arange(shut, max(shut - motion_limits().phase.approach_s, floor) - 5e-4, -0.001)
    return float(times[_widest(gap_mm(timeline, organ(span.entry), times))]) if len(times) else shut


def _opened_s(timeline: Timeline, span: Span, let_go: float) -> float:
    ceiling = max(span.end_s, let_go + motion_limits().phase.release_s)
    if span.index + 1 < len(timeline.spans):
        ceiling = max(timeline.spans[span.index + 1].hold_s[0], span.end_s)
    times = np.arange(let_go, min(let_go + motion_limits().phase.release_s, ceiling) + 5e-4, 0.001)
    if len(times) == 0:
        return max(let_go, span.end_s)
    return max(float(times[_widest(gap_mm(timeline, organ(span.entry), times))]), span.end_s)


def _widest(gaps: np.ndarray) -> int:
    """The first sample where a gap has all but reached its widest."""
    return int(np.argmax(gaps >= motion_limits().phase.let_go_share * gaps.max()))


class Course:
    """Which sound the mouth is making at the moments of one timeline; the phases of each sound are worked out once."""

    def __init__(self, timeline: Timeline) -> None:
        self.timeline = timeline
        self.phases = cache(partial(phases, timeline))

    def at(self, time_s: float) -> tuple[int | None, str]:
        """The sound and its phase; (None, "rest") before the first and after the last."""
        here = self.timeline.span_at(time_s)
        reach = motion_limits().phase.approach_s + motion_limits().phase.release_s
        found: dict[int, str] = {}
        for span in self.timeline.spans:
            if span.entry.closes and span.start_s - reach <= time_s <= span.end_s + reach:
                for name, start, end in self.phases(span.index):
                    if start <= time_s < end:
                        found[span.index] = name
        if here is not None and found.get(here.index) in ("hold", "release"):
            return here.index, found[here.index]
        for phase in ("hold", "release", "approach"):
            for index, name in found.items():
                if name == phase:
                    return index, phase
        if here is not None and here.entry.closes and time_s < here.hold_s[0]:
            return here.index, "approach"
        return (None, "rest") if here is None else (here.index, "steady")


def current(timeline: Timeline, time_s: float) -> tuple[int | None, str]:
    """The sound and its phase at one moment; for many moments of a timeline keep a `Course`."""
    return Course(timeline).at(time_s)
