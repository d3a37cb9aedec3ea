"""What sounds ask of lips, jaw and larynx."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index
from vocaltract.motion.asking import (
    JAW,
    LARYNX,
    LIPS,
    apart,
    asked_hold,
    beside,
    early,
    firmness,
    friction,
    mask,
    stays_shut,
    steady,
)
from vocaltract.motion.easing import Plateau
from vocaltract.motion.effort import effort
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.phonetics.inventory import organ

SHAPED = 0.1  # lips less rounded or spread than this are left to the neighbours


def lip_plan(plan: Schedule) -> list[Plateau]:
    """Plateaus of the lips in consonants, in order."""
    return apart([p for span in plan.spans if span.entry.kind != "vowel" and span.postures for p in _of(plan, span)])


def _of(plan: Schedule, span: Span) -> list[Plateau]:
    own, values = effort().firmness, steady(span)[0]
    start, end = asked_hold(span)
    if organ(span.entry) == "lips" or values[part_index("aperture_mm")] <= 0:
        last = beside(plan, span, -1)
        hurried = last is not None and last.release == "none" and last.entry.is_stop
        start = min(start, early(last, span)) if last and hurried else start
        start = timing().frame.rest_before_s if stays_shut(plan, span) else start
        found = [Plateau(start, end, values, firmness(span) * mask(LIPS))]
        if span.entry.closes:
            after = beside(plan, span, 1)
            made = not hurried and not stays_shut(plan, span)
            found += _edges(span, values, made, let_go=after is None or organ(after.entry) != "lips")
        return [*found, friction(span, LIPS)] if len(span.postures) == 2 else found
    for part, firm in (("rounded", own.lips_rounded), ("spread", own.lips_spread)):
        if values[part_index(part)] > SHAPED:
            return [Plateau(start, end, values, firm * mask(LIPS))]
    return []


def _edges(span: Span, values: Array, made: bool, let_go: bool) -> list[Plateau]:
    """Lips just touch when contact is made and when they let go, where they do so for this sound alone."""
    touching = np.array(values)
    touching[part_index("aperture_mm")] = 0.0
    firm = firmness(span) * mask(("aperture_mm",))
    times = (span.hold_s[0] if made else None, span.release_s if let_go else None)
    return [Plateau(t, t, touching, firm) for t in times if t is not None]


def jaw_plan(plan: Schedule, tongue: list[Plateau]) -> list[Plateau]:
    """The jaw as each closure and narrowing of the tongue has it, which rides on it; the lips ask less firmly."""
    found = [replace(p, weight=p.weight.max() * mask(JAW)) for p in tongue]
    for span in plan.spans:
        if organ(span.entry) == "lips" and span.entry.kind != "vowel":
            start, end = asked_hold(span)
            start = timing().frame.rest_before_s if stays_shut(plan, span) else start
            found.append(Plateau(start, end, steady(span)[0], effort().firmness.jaw_labial * mask(JAW)))
    return found


def larynx_plan(plan: Schedule) -> list[Plateau]:
    """Implosives are made with the larynx drawn down, ejectives with it pushed up."""
    made = (s for s in plan.spans if s.entry.kind == "ipa" and s.postures)
    moved = (s for s in made if steady(s)[0][part_index("larynx_mm")] != 0)
    return [Plateau(*asked_hold(s), steady(s)[0], firmness(s) * mask(LARYNX)) for s in moved]
