"""The curves of an utterance in time: lips, tongue, velum, folds and mouth pressure, each with its scale."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index
from renders.tracks.layout import tracks_layout
from vocaltract.motion.timeline import Timeline

PA_PER_CMH2O = 98.0665  # by definition


@dataclass(frozen=True, eq=False)
class Track:
    """One curve: its name, what it measures and in which unit, values (n,), and colours of line and ground.

    `least` is the least height of the scale; `shut` are the stretches in which the place is closed.
    """

    name: str
    what: str
    values: Array
    least: float
    line: str
    ground: str
    shut: tuple[tuple[float, float], ...] = ()


def tracks(timeline: Timeline, times_s: Array) -> tuple[Track, ...]:
    """The curves of the figure at times (n,), from the lips to the lungs."""
    moment = timeline.moment(times_s)

    def closed(organ: str) -> tuple[tuple[float, float], ...]:
        return tuple((c.start_s, c.end_s) for c in timeline.closures if c.organ == organ)

    folds = np.asarray(timeline.posture(times_s).values[:, part_index("glottis_mm")])
    glottal = tuple(span.hold_s for span in timeline.spans if span.entry.symbol == "ʔ")
    moved, look = ("mover_line", "mover"), tracks_layout().scale
    pressure = np.asarray(moment.pressure_pa) / PA_PER_CMH2O
    return (
        Track("lips", "opening, mm", np.asarray(moment.lips_mm), look.distance_mm, *moved, closed("lips")),
        Track(
            "tongue tip", "distance, mm", np.asarray(moment.coronal_mm), look.distance_mm, *moved, closed("coronal")
        ),
        Track("tongue body", "distance, mm", np.asarray(moment.dorsal_mm), look.distance_mm, *moved, closed("dorsal")),
        Track("velum", "opening to the nose, mm", np.asarray(moment.port_mm), look.opening_mm, *moved),
        Track("glottis", "folds apart, mm", folds, look.opening_mm, *moved, glottal),
        Track("mouth pressure", "cmH₂O", pressure, look.pressure_cmh2o, "air", "air"),
    )


def scale_of(highest: float, least: float) -> tuple[float, float]:
    """Top of a scale and the distance of its lines, round numbers that leave room above the curve."""
    look = tracks_layout().scale
    need = max(look.room * highest, least)
    step = next(s for s in look.steps if look.lines * s >= need)
    return step * math.ceil(need / step), step
