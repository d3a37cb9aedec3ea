"""Moments of a timeline ready to be drawn, for a run of times, a few at a time."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import numpy as np

from articulators.contact import Shapes
from articulators.curves import Array, Bools
from articulators.posture import Posture
from articulators.section import Section, section
from renders.anatomy.enlarged import drawn_section
from renders.marks.moment import Moment, drift, travel_mm
from vocaltract.airway.channel import Channel, channel
from vocaltract.airway.passage import Airway, air_between, passages
from vocaltract.motion.instant import instants
from vocaltract.motion.phases import Course
from vocaltract.motion.timeline import Timeline

BATCH = 24  # moments computed together: enough to share work, few enough that films stream


class LateAirway(Airway):
    """The air spaces of one section, found when something asks for them: few pictures need them."""

    def __init__(self, section: Section) -> None:
        object.__setattr__(self, "_section", section)

    @cached_property
    def shapes(self) -> Shapes:
        return air_between(self._section)  # type: ignore[attr-defined]

    @cached_property
    def _passages(self) -> tuple[Bools, Bools]:
        return passages(self._section, self.shapes)  # type: ignore[attr-defined]

    mouth = property(lambda self: self._passages[0])
    nose = property(lambda self: self._passages[1])


def moments(timeline: Timeline, times_s: Array, film_s: Array | None = None) -> Iterator[Moment]:
    """Moments at speech times (n,), in order, shown at film times (n,); memory does not grow with n.

    Neighbouring moments of equal posture share one section object.
    """
    times_s = np.atleast_1d(np.asarray(times_s, dtype=float))
    film_s = times_s if film_s is None else film_s
    course, travel, phase = Course(timeline), travel_mm(timeline, times_s), drift(film_s)
    before, organs = None, None
    for first in range(0, len(times_s), BATCH):
        at = slice(first, min(first + BATCH, len(times_s)))
        postures = timeline.posture(times_s[at])
        changes = np.ones(len(postures.values), dtype=bool)
        changes[1:] = np.any(postures.values[1:] != postures.values[:-1], axis=-1)
        changes[0] = before is None or bool(np.any(postures.values[0] != before))
        before = postures.values[-1]
        if changes.any():
            shown = drawn_section(section(timeline.head, Posture(postures.values[changes])))
            way = channel(shown)
        number = -1
        for i, (changed, instant) in enumerate(zip(changes, instants(course, times_s[at]), strict=True)):
            if changed:
                number += 1
                one = shown.at(number)
                walls = Channel(way.inner[number], way.outer[number], way.width_mm[number])
                organs = (one, LateAirway(one), walls, shown, number)
            assert organs is not None
            at_film = float(film_s[first + i]), float(travel[first + i]), float(phase[first + i])
            yield Moment(*organs, instant, *at_film)


def moment(timeline: Timeline, time_s: float) -> Moment:
    """The moment at one speech time."""
    return next(moments(timeline, np.array([time_s])))
