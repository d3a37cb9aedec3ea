"""The numbers of one instant of a timeline that texts are made from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from articulators.head import Head
from articulators.posture import posture_from
from articulators.section import section
from vocaltract.airway.gaps import gaps
from vocaltract.motion.closures import Closure
from vocaltract.motion.phases import numbers
from vocaltract.motion.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Instant:
    """Closures, air, voice and gaps at one time; pressure also a little before and after it. Units as in `Moment`."""

    time_s: float
    closed: tuple[Closure, ...]
    pressure: float
    before: float
    after: float
    mouth: float
    nose: float
    voice: float
    folds_mm: float
    lips_mm: float
    coronal_mm: float
    dorsal_mm: float
    port_mm: float
    rounded: float
    spread: float


def instant(timeline: Timeline, time_s: float) -> Instant:
    """The numbers at a time in seconds; at the instant of a release the closure is over."""
    look = numbers()["look_s"]
    m = timeline.moment(np.array([time_s - look, time_s, time_s + look]))
    posture = timeline.posture(np.array([time_s]))
    return Instant(
        time_s=time_s,
        closed=tuple(c for c in timeline.closures if c.start_s <= time_s < c.end_s),
        pressure=float(m.pressure_share[1]),
        before=float(m.pressure_share[0]),
        after=float(m.pressure_share[2]),
        mouth=float(m.mouth_ml_s[1]),
        nose=float(m.nose_ml_s[1]),
        voice=float(m.voice[1]),
        folds_mm=float(posture["glottis_mm"][0]),
        lips_mm=float(m.lips_mm[1]),
        coronal_mm=float(m.coronal_mm[1]),
        dorsal_mm=float(m.dorsal_mm[1]),
        port_mm=float(m.port_mm[1]),
        rounded=float(posture["rounded"][0]),
        spread=float(posture["spread"][0]),
    )


@lru_cache(maxsize=64)
def throat_mm(head: Head, values: tuple[float, ...]) -> float:
    """The gap in mm between tongue root and throat wall in a posture."""
    return float(gaps(section(head, posture_from(np.array([values])))).throat[0])


@lru_cache(maxsize=64)
def throat_gap_mm(head: Head, values: tuple[float, ...]) -> float:
    """The narrowest gap in mm of the throat in a posture: of tongue root or epiglottis to the throat wall."""
    found = gaps(section(head, posture_from(np.array([values]))))
    return float(np.minimum(found.throat, found.leaf)[0])
