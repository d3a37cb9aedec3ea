"""Moments of a timeline ready to be drawn: sections, air spaces and marks for a run of times, a few at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from articulators.section import Section, section
from renders import anatomy, marks
from renders.markstate import MarkState, mark_states
from renders.picture import Layer
from renders.style import Style
from renders.view import View
from vocaltract.airway.channel import Channel, channel
from vocaltract.airway.passage import Airway, airway
from vocaltract.motion.timeline import Timeline

BATCH = 24  # moments computed together: enough to share work, few enough that films stream


@dataclass(frozen=True)
class Moment:
    """One moment: speech and film time in seconds, the section, its air spaces and channel, the marks' numbers."""

    time_s: float
    film_s: float
    section: Section
    airway: Airway
    channel: Channel
    state: MarkState


def moments(
    timeline: Timeline, times_s: NDArray[np.floating[Any]], film_s: NDArray[np.floating[Any]] | None = None
) -> Iterator[Moment]:
    """Moments at speech times (n,), in order; memory does not grow with n."""
    times_s = np.atleast_1d(np.asarray(times_s, dtype=float))
    film_s = times_s if film_s is None else film_s
    states = mark_states(timeline, times_s, film_s)
    for first in range(0, len(times_s), BATCH):
        at = slice(first, min(first + BATCH, len(times_s)))
        shown = section(timeline.head, timeline.posture(times_s[at]))
        air, way = airway(shown), channel(shown)
        for i in range(at.stop - first):
            yield Moment(
                float(times_s[first + i]),
                float(film_s[first + i]),
                shown.at(i),
                replace(air, shapes=air.shapes[i], mouth=air.mouth[i], nose=air.nose[i]),
                Channel(way.inner[i], way.outer[i], way.width_mm[i]),
                states[first + i],
            )


def moment(timeline: Timeline, time_s: float) -> Moment:
    """The moment at one speech time."""
    return next(moments(timeline, np.array([time_s])))


def side_layers(moment: Moment, view: View, style: Style, air: bool = True, voice: bool = True) -> list[Layer]:
    """The moving layers of a side view; `anatomy.fixed_layer` goes beneath them."""
    tint = marks.tint_of(moment.section, moment.channel, moment.state) if air else 0.0
    layers = [anatomy.moving_layer(moment.section, moment.airway, view, style, tint=tint)]
    if air:
        drawn = (moment.section, moment.channel, moment.airway, moment.state, view, style)
        layers.append(marks.air_layer(*drawn, tinted=True))
    layers.append(marks.contact_layer(moment.section, moment.state, view, style))
    if voice:
        layers.append(marks.voice_layer(moment.section, moment.state, view, style))
    return layers
