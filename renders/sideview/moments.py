"""Moments of a timeline ready to be drawn: sections, air spaces and marks for a run of times, a few at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from articulators.contact import Shapes
from articulators.curves import Array, Bools
from articulators.posture import Posture
from articulators.section import Section, section
from renders.anatomy import layers as anatomy
from renders.anatomy.plate_pen import PlatePen
from renders.marks import air as marks
from renders.marks.contact_lines import contacts
from renders.marks.state import MarkState, mark_states
from renders.paper.picture import Layer
from renders.paper.style import Style
from renders.paper.view import View
from vocaltract.airway.channel import Channel, channel
from vocaltract.airway.passage import Airway, air_between, passages
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


@dataclass(frozen=True)
class Moment:
    """One moment: speech and film time in seconds, the section, its air spaces and channel, the marks' numbers.

    Neighbouring moments of equal posture share one section object.
    """

    time_s: float
    film_s: float
    section: Section
    airway: Airway
    channel: Channel
    state: MarkState

    @cached_property
    def contacts(self) -> dict[str, Array]:
        """Lines along which organs touch, by organ, as `contact_lines.contacts` finds them."""
        return contacts(self.section, self.state)


def moments(
    timeline: Timeline, times_s: Array, film_s: Array | None = None
) -> Iterator[Moment]:
    """Moments at speech times (n,), in order; memory does not grow with n."""
    times_s = np.atleast_1d(np.asarray(times_s, dtype=float))
    film_s = times_s if film_s is None else film_s
    states = mark_states(timeline, times_s, film_s)
    before, drawn = None, None
    for first in range(0, len(times_s), BATCH):
        at = slice(first, min(first + BATCH, len(times_s)))
        postures = timeline.posture(times_s[at])
        changes = np.ones(len(postures.values), dtype=bool)
        changes[1:] = np.any(postures.values[1:] != postures.values[:-1], axis=-1)
        changes[0] = before is None or bool(np.any(postures.values[0] != before))
        before = postures.values[-1]
        if changes.any():
            shown = section(timeline.head, Posture(postures.values[changes]))
            way = channel(shown)
        number = -1
        for i, changed in enumerate(changes):
            if changed:
                number += 1
                one = shown.at(number)
                drawn = (one, LateAirway(one), Channel(way.inner[number], way.outer[number], way.width_mm[number]))
            assert drawn is not None
            yield Moment(float(times_s[first + i]), float(film_s[first + i]), *drawn, states[first + i])


def moment(timeline: Timeline, time_s: float) -> Moment:
    """The moment at one speech time."""
    return next(moments(timeline, np.array([time_s])))


class Organs:
    """The organs drawn last, for films: moments that share a section share the drawing."""

    def __init__(self) -> None:
        self._of: tuple[Section | None, Any, Layer | None] = (None, None, None)
        self._pen: PlatePen | None = None

    def layer(self, moment: Moment, view: View, style: Style, tint: float) -> Layer:
        """`anatomy.moving_layer` of a moment."""
        section, says, layer = self._of
        if layer is None or section is not moment.section or says != (view, style, tint):
            if self._pen is None or (self._pen.view, self._pen.style) != (view, style):
                self._pen = PlatePen(view, style)
            layer = anatomy.moving_layer(moment.section, moment.airway, view, style, tint=tint, pen=self._pen)
            self._of = (moment.section, (view, style, tint), layer)
        return layer


def side_layers(
    moment: Moment, view: View, style: Style, air: bool = True, voice: bool = True, organs: Organs | None = None
) -> list[Layer]:
    """The moving layers of a side view; `anatomy.fixed_layer` goes beneath them. `organs`: one object for a film."""
    tint = marks.tint_of(moment.section, moment.channel, moment.state) if air else 0.0
    layers = [(organs or Organs()).layer(moment, view, style, tint)]
    if air:
        drawn = (moment.section, moment.channel, moment.airway, moment.state, view, style)
        layers.append(marks.air_layer(*drawn, tinted=True))
    layers.append(marks.contact_layer(moment.section, moment.state, view, style, moment.contacts))
    if voice:
        layers.append(marks.voice_layer(moment.section, moment.state, view, style))
    return layers
