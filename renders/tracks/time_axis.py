"""An axis of time: from seconds to px, and how often it is marked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from articulators.curves import Array

EVERY = (1, 2, 5, 10, 20, 50, 100)  # of so many ticks one may be named


@dataclass(frozen=True)
class TimeAxis:
    """Seconds from start_s to end_s between left and right in px."""

    start_s: float
    end_s: float
    left: float
    right: float

    @property
    def px_per_s(self) -> float:
        """How long a second is."""
        return (self.right - self.left) / (self.end_s - self.start_s)

    def x(self, times_s: Array | float) -> Array:
        """Times (...,) in px; outside the axis they lie outside it."""
        share = (np.asarray(times_s) - self.start_s) / (self.end_s - self.start_s)
        return self.left + share * (self.right - self.left)

    def at(self, time_s: float) -> float:
        """One time in px."""
        return float(self.x(time_s))

    def within(self, start_s: float, end_s: float) -> tuple[float, float]:
        """A stretch in px, cut to the axis."""
        start, end = np.clip(self.x(np.array([start_s, end_s])), self.left, self.right)
        return float(start), float(end)


def named_every(tick_px: float, room_px: float) -> int:
    """Of so many ticks one is named, so that each name has its room; EVERY's last where none has."""
    return next((n for n in EVERY[:-1] if n * tick_px >= room_px), EVERY[-1])
