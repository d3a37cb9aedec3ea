"""One moment ready to be drawn: what the organs are, what air and voice do, and how far their marks have moved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from articulators.curves import Array
from articulators.section import Section
from renders.marks.contact_lines import contact_line
from renders.marks.dimensions import dimensions
from vocaltract.airway.channel import Channel
from vocaltract.airway.limits import seam
from vocaltract.airway.passage import Airway
from vocaltract.motion.instant import Instant
from vocaltract.motion.timeline import Timeline


@dataclass(frozen=True, eq=False)
class Moment:
    """One moment of a timeline.

    section, airway, channel   organs, air spaces and the way between them; neighbours of equal posture share them
    batch, number              the sections that were worked out together, and which of them this is
    instant     air, voice and contact       film_s  its time in the film, in seconds
    travel_mm   how far the arrowheads of the air have come
    drift       0..1: phase of the marks of vibration
    """

    section: Section
    airway: Airway
    channel: Channel
    batch: Section
    number: int
    instant: Instant
    film_s: float
    travel_mm: float
    drift: float

    @property
    def time_s(self) -> float:
        """Its time in the timeline, in seconds."""
        return self.instant.time_s

    @cached_property
    def seam(self) -> int | None:
        """The gridline at which the midline is shut, None where it is open."""
        return seam(self.channel)

    @property
    def beside_tongue(self) -> bool:
        """Whether air passes beside the tongue: the midline is shut, the mouth is not."""
        return self.instant.sides_open and self.seam is not None and not self.instant.closures

    @cached_property
    def contacts(self) -> Mapping[str, Array]:
        """Lines (n, 2) in mm along which organs touch, by organ: of closures that hold, and of a lateral's midline."""
        organs = self.instant.organs
        if self.instant.sides_open:
            organs = tuple(dict.fromkeys((*organs, "coronal", "dorsal")))
        lines = {organ: contact_line(self.section, organ) for organ in organs}
        return {organ: line for organ, line in lines.items() if line is not None}


def travel_mm(timeline: Timeline, times_s: Array) -> Array:
    """How far (n,) arrowheads have come at times (n,): they go with the volume of air that has passed."""
    step = 0.001
    grid = np.arange(0, timeline.duration_s, step)
    along = timeline.moment(grid)
    volume = np.concatenate([[0.0], np.cumsum(np.maximum(along.mouth_ml_s + along.nose_ml_s, 0) * step)])
    return np.interp(times_s, np.append(grid, grid[-1] + step), volume) * dimensions().flow.travel_mm_per_ml


def drift(film_s: Array) -> Array:
    """Phase (n,) 0..1 of the marks of vibration at times (n,) of a film: steady, so that it can be followed."""
    return np.asarray(film_s) * dimensions().voice.drift_hz % 1.0
