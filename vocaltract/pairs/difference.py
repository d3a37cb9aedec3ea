"""How two sounds differ where they are said, measured on what their timelines give; no wording and no drawing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from articulators.curves import Array
from articulators.section import Section, section
from vocaltract.airway.gaps import gaps, roofs
from vocaltract.airway.limits import narrow, sealed, sides_open
from vocaltract.motion.limits import flows, folds_together, motion_limits, vibrates
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import TRACK_STEP_S, Timeline
from vocaltract.pairs.least import ComparedOrgan, least_difference
from vocaltract.phonetics.inventory import SoundEntry, organ

COMPARED_ORGANS: tuple[ComparedOrgan, ...] = ("tongue", "lips", "jaw", "velum")


PARTS = (
    "place", "contact", *COMPARED_ORGANS, "nose", "sides", "folds", "voice_held", "voice_onset", "release", "puff",
    "vowel",
)  # fmt: skip
AIRSTREAMS = ("implosive", "ejective", "click")


@dataclass(frozen=True, slots=True)
class SoundMeasures:
    """One sound where it is said; times in seconds, lengths in mm in the head frame, flows in mL/s.

    middle_s           the middle of its hold (vowels: of the steady part)
    closure_s          how long the mouth is shut for it; None where it is not shut
    release_s          when the closure is let go, on the timeline's own clock; None without one
    voice_onset_s      start of the voice after the release (negative: before it); None without release or voice
    voiced_share       share of the hold with voice, 0 to 1
    peak_flow_ml_s     greatest flow from the mouth within the time after the release (after the hold without one)
    nose_flow_ml_s     flow from the nose at the middle
    hiss_flow_ml_s     flow from the mouth at the middle
    organ              lips, coronal, dorsal or "" for none
    place_mm           (x, y) of the contact or the narrowest place of that organ; None without an organ
    gap_mm             least gap there; 0 where it touches
    tongue_top_mm      (x, y) of the highest point of the tongue behind its tip
    lips_gap_mm, lips_round (0 to 1), port_mm (soft palate to throat wall), jaw_mm (opening), folds_mm
    sides_open         0 to 1: air passes beside the tongue
    vowel_before_s     how long the vowel lasts that the sound follows; None after anything else
    vowel_s            how long the sound lasts if it is a vowel, else the first vowel of its syllable; None without one
    """

    middle_s: float
    closure_s: float | None
    release_s: float | None
    voice_onset_s: float | None
    voiced_share: float
    peak_flow_ml_s: float
    nose_flow_ml_s: float
    hiss_flow_ml_s: float
    organ: str
    place_mm: tuple[float, float] | None
    gap_mm: float
    tongue_top_mm: tuple[float, float]
    lips_gap_mm: float
    lips_round: float
    port_mm: float
    jaw_mm: float
    folds_mm: float
    sides_open: float
    vowel_before_s: float | None = None
    vowel_s: float | None = None

    @property
    def contact(self) -> str:
        """What the organ does in the midline: it touches, leaves a gap, or comes near nothing ("none")."""
        return "touch" if self.gap_mm <= 0 else "gap" if np.isfinite(self.gap_mm) else "none"

    @property
    def degree(self) -> str:
        """What the organ leaves open: touch, narrow (it would hiss) or wide."""
        return "touch" if self.gap_mm <= 0 else "narrow" if narrow(self.gap_mm) else "wide"


@dataclass(frozen=True, slots=True)
class Difference:
    """Two sounds compared, `first` and `second` measured one by one.

    tongue_mm, lips_mm, jaw_mm, velum_mm   greatest distance between the outlines at the middle of both holds; the
                                           lower lip is compared after the jaw's own movement is taken away
    place_apart_mm                         distance of the two places; None where a sound has none
    """

    first: SoundMeasures
    second: SoundMeasures
    tongue_mm: float
    lips_mm: float
    jaw_mm: float
    velum_mm: float
    place_apart_mm: float | None

    @property
    def same_place(self) -> bool:
        """Whether both are made by one organ at one place."""
        if self.place_apart_mm is None or self.first.organ != self.second.organ:
            return False
        return self.place_apart_mm <= least_difference().place.apart_mm

    @property
    def both_touch(self) -> bool:
        """Whether both are made with contact in the midline."""
        return self.first.contact == self.second.contact == "touch"

    @property
    def apart_mm(self) -> Mapping[ComparedOrgan, float]:
        """Greatest distance between the outlines of each organ."""
        return {"tongue": self.tongue_mm, "lips": self.lips_mm, "jaw": self.jaw_mm, "velum": self.velum_mm}

    @property
    def moved(self) -> tuple[ComparedOrgan, ...]:
        """The organs, out of `COMPARED_ORGANS`, whose outlines differ."""
        least = least_difference().outline.least_mm
        return tuple(name for name in COMPARED_ORGANS if self.apart_mm[name] > least[name])

    @property
    def later_voice_s(self) -> float | None:
        """How much later the voice of the first starts than that of the second, in s from the release.

        None where one has no release or no voice after it, or where both have voice all through the release.
        """
        first, second = self.first.voice_onset_s, self.second.voice_onset_s
        if first is None or second is None or max(first, second) < 0:
            return None
        return first - second

    @property
    def voice_held(self) -> bool:
        """Whether one is voiced through more of its hold."""
        held = abs(self.first.voiced_share - self.second.voiced_share)
        return held > least_difference().hold.voiced_share

    @property
    def voice_onset(self) -> bool:
        """Whether the voice of one starts later after the release."""
        later = self.later_voice_s
        return later is not None and abs(later) * 1000 > least_difference().voice.onset_ms

    @property
    def voice(self) -> str:
        """How the voice differs: "hold" (while held), else "onset" (after the release), or "" (not)."""
        return "hold" if self.voice_held else "onset" if self.voice_onset else ""

    @property
    def release(self) -> bool:
        """Whether only one of the two is let go."""
        return (self.first.release_s is None) != (self.second.release_s is None)

    @property
    def puff(self) -> bool:
        """Whether more air leaves the mouth after the release of one of the two."""
        apart = abs(self.first.peak_flow_ml_s - self.second.peak_flow_ml_s)
        let_go = self.first.release_s is not None or self.second.release_s is not None
        return let_go and apart > least_difference().release.puff_ml_s

    @property
    def vowel(self) -> bool:
        """Whether the vowel of one, or that of its syllable, lasts longer."""
        first, second = self.first.vowel_s, self.second.vowel_s
        if first is None or second is None:
            return False
        return abs(first - second) * 1000 > least_difference().vowel.length_ms

    @property
    def vowel_before_s(self) -> float | None:
        """How much longer the vowel before the first sound lasts than that before the second; None without both."""
        first, second = self.first.vowel_before_s, self.second.vowel_before_s
        return None if first is None or second is None else first - second

    @property
    def folds(self) -> bool:
        """Whether the folds are apart for only one of the two at the middle."""
        return bool(folds_together(self.first.folds_mm)) != bool(folds_together(self.second.folds_mm))

    @property
    def nose(self) -> bool:
        """Whether only one of the two lets air out through the nose."""
        return bool(flows(self.first.nose_flow_ml_s)) != bool(flows(self.second.nose_flow_ml_s))

    @property
    def sides(self) -> bool:
        """Whether only one of the two lets air pass beside the tongue."""
        return _beside(self.first) != _beside(self.second)

    @property
    def parts(self) -> frozenset[str]:
        """What differs, out of `PARTS`: the one decision that statements, tables and pages read."""
        same_organ = self.first.organ == self.second.organ and self.place_apart_mm is None
        differs: dict[str, bool] = {
            "place": not self.same_place and not same_organ,
            "contact": self.first.contact != self.second.contact,
            **dict.fromkeys(COMPARED_ORGANS, False),
            **dict.fromkeys(self.moved, True),
            "nose": self.nose,
            "sides": self.sides,
            "folds": self.folds,
            "voice_held": self.voice_held,
            "voice_onset": self.voice_onset,
            "release": self.release,
            "puff": self.puff,
            "vowel": self.vowel,
        }
        return frozenset(part for part in PARTS if differs[part])


def airstream(entry: SoundEntry) -> str:
    """What other than the lungs moves the air: implosive, ejective, click, or ""."""
    return next((name for name in AIRSTREAMS if name in entry.name), "")


def main_difference(d: Difference, a: SoundEntry, b: SoundEntry) -> str:
    """What a pair is mainly about.

    The first of nose, sides, touch, place, degree, airstream, beat, voice (onset or hold) or shape that differs; none.
    """
    parts = d.parts
    if a.kind == "vowel" and b.kind == "vowel":
        return "shape" if d.moved else "none"
    if "nose" in parts and (d.same_place or d.both_touch):
        return "nose" if d.same_place else "place"
    if "sides" in parts and d.same_place and d.both_touch:
        return "sides"
    one_touches = (d.first.contact == "touch") != (d.second.contact == "touch")
    if "sides" in parts and one_touches and "wide" in (d.first.degree, d.second.degree):
        return "touch"
    if d.same_place and one_touches:
        return "degree"
    if not d.same_place and d.first.organ + d.second.organ:
        return "place"
    if airstream(a) != airstream(b):
        return "airstream"
    if a.manner != b.manner and {a.manner, b.manner} & {"tap", "trill"}:
        return "beat"
    voice = "" if a.voiced and b.voiced else d.voice
    return voice or ("shape" if d.moved else "none")


def difference(a: Timeline, b: Timeline, at: tuple[int, int] = (0, 0)) -> Difference:
    """Compare the sound number `at[0]` of a with the sound number `at[1]` of b.

    Meant for the two words of a minimal pair, or for two sounds by themselves. IndexError for a number that
    is none of the timeline's sounds.
    """
    first, first_shape = _measured(a, a.spans[at[0]])
    second, second_shape = _measured(b, b.spans[at[1]])
    edge = first_shape["lower_incisor"].mean(axis=0) - second_shape["lower_incisor"].mean(axis=0)
    apart = None
    if first.place_mm is not None and second.place_mm is not None:
        apart = float(np.hypot(*np.subtract(first.place_mm, second.place_mm)))
    return Difference(
        first=first,
        second=second,
        tongue_mm=_apart(first_shape["tongue"], second_shape["tongue"]),
        lips_mm=max(
            _apart(first_shape["upper_lip"], second_shape["upper_lip"]),
            _apart(first_shape["lower_lip"], second_shape["lower_lip"] + edge),
        ),
        jaw_mm=float(np.hypot(*edge)),
        velum_mm=_apart(first_shape["velum"], second_shape["velum"]),
        place_apart_mm=apart,
    )


def _beside(m: SoundMeasures) -> bool:
    """Air passes beside a tongue that touches; where nothing touches, open sides say nothing."""
    return bool(sides_open(m.sides_open)) and m.organ not in ("", "lips") and m.gap_mm <= 0


def middle_s(span: Span) -> float:
    """The middle of a sound's hold in seconds."""
    return (span.hold_s[0] + span.hold_s[1]) / 2


def _apart(a: Array, b: Array) -> float:
    """Greatest distance in mm of a point of either line from the other line."""
    one, other = shapely.linestrings(a), shapely.linestrings(b)
    there = shapely.distance(shapely.points(a), other)
    back = shapely.distance(shapely.points(b), one)
    return float(max(there.max(), back.max()))


def _measured(timeline: Timeline, span: Span) -> tuple[SoundMeasures, Section]:
    middle = middle_s(span)
    now = timeline.moment(np.array([middle]))
    posture = timeline.posture(np.array([middle])).at(0)
    shape = section(timeline.head, posture)
    found = gaps(shape)
    active = organ(span.entry)
    place, gap = _place(shape, active)
    closure = next((c for c in timeline.closures if span.index in c.indices), None)
    hold = timeline.moment(np.linspace(*span.hold_s, 101)).voice
    after = span.release_s if span.release_s is not None else span.hold_s[1]
    looked_s = np.arange(0, motion_limits().breath.puff_within_s, TRACK_STEP_S)
    after_ml_s = timeline.moment(after + looked_s).mouth_ml_s
    tongue = shape["tongue"]
    top = tongue[int(np.argmax(tongue[:, 1]))]
    measures = SoundMeasures(
        middle_s=middle,
        closure_s=None if closure is None else closure.end_s - closure.start_s,
        release_s=span.release_s,
        voice_onset_s=_voice_onset_s(timeline, span),
        voiced_share=float(np.mean(vibrates(hold))),
        peak_flow_ml_s=float(after_ml_s.max()),
        nose_flow_ml_s=float(now.nose_ml_s[0]),
        hiss_flow_ml_s=float(now.mouth_ml_s[0]),
        organ=active,
        place_mm=place,
        gap_mm=gap,
        tongue_top_mm=(float(top[0]), float(top[1])),
        lips_gap_mm=float(found.lips),
        lips_round=float(posture["rounded"]),
        port_mm=float(found.port),
        jaw_mm=float(posture["jaw_mm"]),
        folds_mm=float(posture["glottis_mm"]),
        sides_open=float(posture["sides_open"]),
        vowel_before_s=_vowel_before_s(timeline, span),
        vowel_s=_vowel_s(timeline, span),
    )
    return measures, shape


def _vowel_before_s(timeline: Timeline, span: Span) -> float | None:
    before = timeline.spans[span.index - 1] if span.index else None
    return before.end_s - before.start_s if before is not None and before.entry.kind == "vowel" else None


def _vowel_s(timeline: Timeline, span: Span) -> float | None:
    in_syllable = [s for s in timeline.spans if s.entry.kind == "vowel" and s.sound.syllable == span.sound.syllable]
    chosen = span if span.entry.kind == "vowel" else next(iter(in_syllable), None)
    return None if chosen is None else chosen.end_s - chosen.start_s


def _voice_onset_s(timeline: Timeline, span: Span) -> float | None:
    """From the release to the start of the voice that follows it, read from the voice itself."""
    if span.release_s is None:
        return None
    times = np.arange(span.start_s, min(span.end_s + 0.25, timeline.duration_s), TRACK_STEP_S)
    on = vibrates(timeline.moment(times).voice)
    at = int(np.searchsorted(times, span.release_s))
    if at < len(on) and on[at]:
        off = np.flatnonzero(~on[:at])
        start = int(off[-1]) + 1 if len(off) else 0
    else:
        later = np.flatnonzero(on[at:])
        if len(later) == 0:
            return None
        start = at + int(later[0])
    return float(times[start] - span.release_s)


def _place(shape: Section, active: str) -> tuple[tuple[float, float] | None, float]:
    """Middle of where an organ touches or comes nearest to what it works against, and the gap left there."""
    if not active:
        return None, float("inf")
    front, back = roofs(shape.head)
    line = shape["lower_lip"] if active == "lips" else shape["tongue"]
    if active == "lips":
        against = shapely.union(shape.polygons("upper_lip"), shapely.Polygon(shape["upper_incisor"]))
    elif active == "coronal":
        against = front
    else:
        against = shapely.union(back, shape.polygons("velum"))
    away = np.asarray(shapely.distance(shapely.points(line), against))
    least = float(away.min())
    near = line[away <= least + least_difference().place.within_mm]
    centre = near.mean(axis=0)
    return (float(centre[0]), float(centre[1])), 0.0 if sealed(least) else least
