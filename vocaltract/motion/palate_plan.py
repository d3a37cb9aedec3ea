"""What sounds ask of the soft palate: lowered in nasals, sealed under pressure, raised but less firmly in the rest."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.posture import parts
from vocaltract.motion.asking import INSTANT_S, VELUM, beside, columns, lowers_palate, mask, steady
from vocaltract.motion.easing import Plateau
from vocaltract.motion.effort import effort
from vocaltract.motion.gestures import Knot, carrier
from vocaltract.motion.schedule import PAUSE_S, Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.phonetics.postures import posture


def palate_plan(plan: Schedule) -> list[Plateau]:
    """Plateaus of the soft palate, one a sound."""
    found = []
    for span in plan.spans:
        last, following = beside(plan, span, -1), beside(plan, span, 1)
        before = last if last and last.end_s > span.start_s - PAUSE_S else None
        if lowers_palate(span):
            found.append(_lowered(span, before))
        elif span.postures and (span.entry.closes or "fricative" in span.entry.manner):
            found.append(_sealed(span, *(other is not None and lowers_palate(other) for other in (before, following))))
        else:
            after_nasal, before_nasal = (other is not None and lowers_palate(other) for other in (before, following))
            found.append(_raised(span, after_nasal, before_nasal))
    return found


def _lowered(span: Span, before: Span | None) -> Plateau:
    own, length = effort().soft_palate, span.end_s - span.start_s
    let_go = before is not None and before.release == "nasal"
    start = span.start_s + (min(own.after_release_s, length / 3) if let_go else 0.0)
    end = max(span.end_s - own.rises_s, (start + span.end_s) / 2)
    # a short nasal asks for it as much in all as a long one
    firm = effort().firmness.palate_nasal * max(1.0, own.usual_s / length)
    return Plateau(start, end, steady(span)[0], firm * mask(VELUM))


def _sealed(span: Span, after_nasal: bool, before_nasal: bool) -> Plateau:
    own = effort().soft_palate
    start = span.start_s + (own.sealed_share * (span.hold_s[1] - span.start_s) if after_nasal else 0.0)
    end = span.end_s if span.release_s is None else span.release_s + own.over_release_s
    if before_nasal and span.release != "oral":
        end = span.end_s - own.before_release_s
    return _at(own.sealed, start, end, effort().firmness.palate_sealed)


def _raised(span: Span, after_nasal: bool, before_nasal: bool) -> Plateau:
    own, length = effort().soft_palate, span.end_s - span.start_s
    start = span.start_s + (min(own.rises_s, length / 3) if after_nasal else 0.0)
    end = span.end_s - (min(own.lowers_early_s, length / 2) if before_nasal else 0.0)
    return _at(own.raised, start, end, effort().firmness.palate_open)


def _at(height: float, start_s: float, end_s: float, firm: float) -> Plateau:
    return Plateau(start_s, max(end_s, start_s + INSTANT_S), np.full(len(parts()), height), firm * mask(VELUM))


def palate_base(plan: Schedule, times_s: Array) -> Array:
    """Where the soft palate (n, 1) is when nothing is asked: lowered for quiet breathing, raised for speech.

    It is not raised where speech begins or ends with nasals only.
    """
    rest = posture("rest", plan.speaker).values[columns(VELUM)]
    oral = [s for s in plan.spans if not lowers_palate(s)]
    _, end = plan.speech_s
    last = end + timing().frame.rest_after_s + timing().movement.rest_s
    knots = [Knot(0.0, timing().frame.rest_before_s, rest)]
    if oral:
        first, final = oral[0], oral[-1]
        raise_by = first.start_s - 0.02 if first.index == 0 else first.start_s
        if first.index > 0:
            knots[0] = Knot(0.0, max(raise_by - timing().movement.velum_s, 0.01), rest)
        leave = end + 0.3 * timing().frame.rest_after_s if final.index == plan.spans[-1].index else final.end_s
        knots.append(Knot(raise_by, leave, 0 * rest))
        last = max(last, leave + 0.1)
    return carrier([*knots, Knot(last, last + 1.0, rest)], times_s)
