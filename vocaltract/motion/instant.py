"""The record of an instant of a timeline: what texts about it and pictures of it are made from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from articulators.curves import Array, fraction
from articulators.head import Head
from articulators.posture import posture_from
from articulators.section import section
from vocaltract.airway import limits as airway
from vocaltract.airway.gaps import gaps
from vocaltract.ipa.features import BELOW_THE_PORT
from vocaltract.motion import limits as decided
from vocaltract.motion.closures import Closure
from vocaltract.motion.limits import motion_limits
from vocaltract.motion.phases import Course
from vocaltract.motion.schedule import Span

FRICTION_IN_THROAT = BELOW_THE_PORT[:2]  # air that passes the folds alone does not hiss at a narrow place


@dataclass(frozen=True, slots=True)
class Instant:
    """One instant of a timeline.

    time_s          on the timeline's own clock
    span_index      the sound that the mouth is making, None at rest
    phase           "approach", "hold", "release", "steady" or "rest"
    closures        closures that hold; at the instant of a release the closure is over
    pressure_share  0..1 of lung pressure, above the folds; pressure_before, pressure_after: a little earlier and later
    mouth_ml_s, nose_ml_s, glottis_ml_s     flow out of the mouth, out of the nose, through the folds
    voice           0..1, faded; felt_throat, felt_contact: 0..1, vibration as a hand feels it on the throat, and as
                    lips and tongue feel it where the mouth is shut or narrow
    folds_mm, lips_mm, coronal_mm, dorsal_mm, port_mm    gaps: of the folds at their rear end, the lips, the front and
                    the back of the tongue, and the way to the nose
    rounded, spread     0..1, of the lips
    sides_open      air passes beside a tongue that touches in the midline
    narrow          the sound's narrowest gap is one through which air hisses when it flows fast enough
    friction        the air hisses there; breath: 0..1, how much of what leaves the mouth is air without voice
    glottal_catch   the folds are held together without voice and stop the air
    released        the stop that was let go of last, None where there is none; since_release_s: how long ago, inf then
    """

    time_s: float
    span_index: int | None
    phase: str
    closures: tuple[Closure, ...]
    pressure_share: float
    pressure_before: float
    pressure_after: float
    mouth_ml_s: float
    nose_ml_s: float
    glottis_ml_s: float
    voice: float
    felt_throat: float
    felt_contact: float
    folds_mm: float
    lips_mm: float
    coronal_mm: float
    dorsal_mm: float
    port_mm: float
    rounded: float
    spread: float
    sides_open: bool
    narrow: bool
    friction: bool
    breath: float
    glottal_catch: bool
    released: Span | None
    since_release_s: float

    @property
    def organs(self) -> tuple[str, ...]:
        """The organs that shut the mouth, each once, in the order in which they shut it."""
        return tuple(dict.fromkeys(c.organ for c in self.closures))

    @property
    def vibrates(self) -> bool:
        """Whether the folds vibrate."""
        return bool(decided.vibrates(self.voice))

    @property
    def folds_together(self) -> bool:
        """Whether the folds are near enough to vibrate."""
        return bool(decided.folds_together(self.folds_mm))

    @property
    def mouth_flows(self) -> bool:
        """Whether so much air leaves the mouth that it is spoken of and drawn."""
        return bool(decided.flows(self.mouth_ml_s))

    @property
    def nose_flows(self) -> bool:
        """Whether so much air leaves the nose that it is spoken of and drawn."""
        return bool(decided.flows(self.nose_ml_s))

    @property
    def builds_up(self) -> bool:
        """Whether a closure holds air under so much pressure that it is spoken of and drawn."""
        return bool(self.closures) and self.pressure_share >= motion_limits().pressure.shown_share

    @property
    def pressure_rises(self) -> bool:
        """Whether pressure is rising."""
        return self.pressure_after - self.pressure_before > motion_limits().pressure.rising_share

    @property
    def burst_lasts(self) -> bool:
        """Whether the burst of the last release still lasts."""
        return not self.closures and self.since_release_s <= motion_limits().burst.lasts_s

    @property
    def burst_shown(self) -> float:
        """0..1: how much of the burst of the last release is still shown where time runs slowly; half: it is said."""
        row = motion_limits().burst
        return 0.0 if self.closures else fraction(1 - (self.since_release_s - row.film_s) / row.fade_s)

    @property
    def burst(self) -> float:
        """0..1: strength of the burst as it is shown, set by the flow."""
        return self.burst_shown * fraction(self.mouth_ml_s / motion_limits().flow.full_ml_s)


def instant(course: Course, time_s: float) -> Instant:
    """The instant at a time in seconds."""
    return instants(course, np.array([time_s]))[0]


def instants(course: Course, times_s: Array) -> list[Instant]:
    """The instants at times (n,) in seconds, in that order; all that can be is worked out for all of them at once."""
    timeline, times_s = course.timeline, np.asarray(times_s, dtype=float)
    now, posture = timeline.moment(times_s), timeline.posture(times_s)
    look = motion_limits().pressure.compared_s
    before, after = (timeline.moment(times_s + step).pressure_share for step in (-look, look))
    sides = airway.sides_open(posture["sides_open"])
    together, vibrates = decided.folds_together(posture["glottis_mm"]), decided.vibrates(now.voice)
    row = motion_limits().breath
    unvoiced, blown = 1 - now.voice / row.voice_below, now.mouth_ml_s / row.full_ml_s
    breath = np.clip(unvoiced, 0, 1) * np.clip(blown, 0, 1)
    fast = decided.hisses(now.mouth_ml_s)
    least = airway.narrow(np.minimum.reduce([now.lips_mm, now.coronal_mm, now.dorsal_mm]))
    stops = [s for s in timeline.spans if s.entry.is_stop and s.release == "oral" and s.release_s is not None]
    found = []
    for i, time_s in enumerate(times_s.tolist()):
        index, phase = course.at(time_s)
        making = None if index is None else timeline.spans[index]
        said = timeline.span_at(time_s)
        narrow = bool(least[i])
        if making is not None and making.entry.place in FRICTION_IN_THROAT:
            narrow = bool(airway.narrow(throat_gap_mm(timeline.head, tuple(posture.values[i]))))
        released = max(
            (s for s in stops if float(s.release_s or 0.0) <= time_s), key=lambda s: s.release_s or 0.0, default=None
        )
        found.append(
            Instant(
                time_s=time_s,
                span_index=index,
                phase=phase,
                closures=tuple(c for c in timeline.closures if c.start_s <= time_s < c.end_s),
                pressure_share=float(now.pressure_share[i]),
                pressure_before=float(before[i]),
                pressure_after=float(after[i]),
                mouth_ml_s=float(now.mouth_ml_s[i]),
                nose_ml_s=float(now.nose_ml_s[i]),
                glottis_ml_s=float(now.glottis_ml_s[i]),
                voice=float(now.voice[i]),
                felt_throat=float(now.felt_throat[i]),
                felt_contact=float(now.felt_contact[i]),
                folds_mm=float(posture["glottis_mm"][i]),
                lips_mm=float(now.lips_mm[i]),
                coronal_mm=float(now.coronal_mm[i]),
                dorsal_mm=float(now.dorsal_mm[i]),
                port_mm=float(now.port_mm[i]),
                rounded=float(posture["rounded"][i]),
                spread=float(posture["spread"][i]),
                sides_open=bool(sides[i]),
                narrow=narrow,
                friction=bool(fast[i]) and _hisses(making, phase, narrow),
                breath=float(breath[i]),
                glottal_catch=bool(together[i]) and not vibrates[i] and _stops_at_folds(said),
                released=released,
                since_release_s=math.inf if released is None else time_s - float(released.release_s or 0.0),
            )
        )
    return found


def _hisses(span: Span | None, phase: str, narrow: bool) -> bool:
    """Whether a sound hisses in air that is fast enough: a lateral one past its sides, others where it is narrow."""
    if span is None or span.entry.place == "glottal":
        return False
    manner = span.entry.manner
    return manner == "lateral fricative" or (
        narrow and (manner == "fricative" or (manner == "affricate" and phase == "release"))
    )


def _stops_at_folds(span: Span | None) -> bool:
    return span is not None and span.entry.place == "glottal" and span.entry.manner == "plosive"


@lru_cache(maxsize=64)
def throat_mm(head: Head, values: tuple[float, ...]) -> float:
    """The gap in mm between tongue root and throat wall in a posture."""
    return float(gaps(section(head, posture_from(np.array([values])))).throat[0])


@lru_cache(maxsize=64)
def throat_gap_mm(head: Head, values: tuple[float, ...]) -> float:
    """The narrowest gap in mm of the throat in a posture: of tongue root or epiglottis to the throat wall."""
    found = gaps(section(head, posture_from(np.array([values]))))
    return float(np.minimum(found.throat, found.leaf)[0])
