"""The burst in a still picture: only as long as a burst really lasts."""

from __future__ import annotations

from dataclasses import replace

from renders.marks.state import last_released
from renders.sideview.moments import Moment
from renders.wording.limits import limits
from vocaltract.motion.timeline import Timeline


def brief_burst(timeline: Timeline, shown: Moment) -> Moment:
    """The moment without the spikes of a burst where the last release is longer ago than a burst lasts."""
    span = last_released(timeline, shown.time_s)
    if span is not None and shown.time_s - float(span.release_s or 0.0) <= limits().burst.burst_ms / 1000:
        return shown
    return replace(shown, state=replace(shown.state, burst=0.0))
