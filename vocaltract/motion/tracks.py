"""From the plan to movement: what every articulator does over time, as posture vectors.

Each sound asks tongue, jaw, lips and soft palate for its posture while it is held, as firmly as its manner needs; the
movement is the one with the least acceleration (`vocaltract.motion.easing`), over the vowels' carrier where nothing is
asked. The folds follow once closures have been measured (`vocaltract.motion.folds`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.posture import parts
from vocaltract.motion.asking import JAW, LARYNX, LIPS, TIP, TONGUE, VELUM, columns, mask, ordered, steady, vowel_plan
from vocaltract.motion.easing import Plateau, demand, least_acceleration
from vocaltract.motion.effort import effort
from vocaltract.motion.gestures import Knot, carrier
from vocaltract.motion.lip_plan import jaw_plan, larynx_plan, lip_plan
from vocaltract.motion.palate_plan import palate_base, palate_plan
from vocaltract.motion.schedule import Schedule
from vocaltract.motion.timing import timing
from vocaltract.motion.tongue_plan import tongue_plan
from vocaltract.phonetics.postures import posture


def mouth_tracks(plan: Schedule, times_s: Array) -> Array:
    """Posture vectors (n, parts) at evenly spaced times (n,), but for the folds."""
    base = carrier(_knots(plan), times_s)
    base[:, columns(VELUM)] = palate_base(plan, times_s)
    found = [*_rests(plan), *(plateau for group in plateaus(plan).values() for plateau in group)]
    target, weight = demand(base, effort().firmness.between, found, times_s)
    moved = least_acceleration(target, weight, plan.spans[0].pace * _ease_s(), float(times_s[1] - times_s[0]))
    return np.clip(moved, *_ranges())


def plateaus(plan: Schedule) -> dict[tuple[str, ...], list[Plateau]]:
    """Gestures of an utterance as they are planned: for the parts of tongue, jaw, lips, soft palate and larynx, what is
    asked of them when, in order."""
    vowels = [p for span in plan.spans if span.entry.kind == "vowel" for p in vowel_plan(plan, span)]
    tongue = tongue_plan(plan)
    consonants = {TONGUE: tongue, JAW: jaw_plan(plan, tongue), LIPS: lip_plan(plan), LARYNX: larynx_plan(plan)}
    found = {
        names: ordered([*(replace(p, weight=p.weight * mask(names)) for p in vowels), *own])
        for names, own in consonants.items()
    }
    return {**found, VELUM: palate_plan(plan)}


@cache
def _ease_s() -> Array:
    own = effort().ease
    ease = np.full(len(parts()), own.body_s)
    for names, value in ((TIP, own.tip_s), (JAW, own.jaw_s), (LIPS, own.lips_s), (VELUM, own.velum_s)):
        ease[columns(names)] = value
    return ease


@cache
def _ranges() -> tuple[Array, Array]:
    return np.array([p.low for p in parts()]), np.array([p.high for p in parts()])


def _rests(plan: Schedule) -> list[Plateau]:
    """Rest before and after speech."""
    rest, firm = posture("rest", plan.speaker).values, effort().firmness.rest * np.ones(len(parts()))
    last = plan.speech_s[1] + timing().frame.rest_after_s + timing().movement.rest_s
    return [Plateau(0.0, timing().frame.rest_before_s, rest, firm), Plateau(last, last + 1.0, rest, firm)]


def _knots(plan: Schedule) -> list[Knot]:
    rest, neutral = posture("rest", plan.speaker).values, posture("ə", plan.speaker).values
    begin, end = plan.speech_s
    vowels = [s for s in plan.spans if s.entry.kind == "vowel"]
    knots = [Knot(0.0, timing().frame.rest_before_s, rest)]
    if not vowels:
        middle = [Knot(begin, end, neutral)]
    else:
        middle = []
        for span in vowels:
            states = steady(span)
            length = span.end_s - span.start_s
            if len(states) == 1:
                middle.append(Knot(span.start_s + 0.3 * length, span.start_s + 0.7 * length, states[0]))
            else:
                middle.append(Knot(span.start_s + 0.2 * length, span.start_s + 0.35 * length, states[0]))
                middle.append(Knot(span.start_s + 0.85 * length, span.start_s + 0.95 * length, states[1]))
        if middle[0].start_s > begin:
            middle[0] = replace(middle[0], start_s=begin)
        middle[-1] = replace(middle[-1], end_s=max(middle[-1].end_s, end - 0.02))
    last = end + timing().frame.rest_after_s + timing().movement.rest_s
    middle[-1] = replace(middle[-1], end_s=max(middle[-1].end_s, end + 0.25 * timing().frame.rest_after_s))
    return [*knots, *middle, Knot(last, last + 1.0, rest)]
