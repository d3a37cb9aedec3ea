"""What sounds ask of the tongue: closures and narrowings of tip and back, and how those that meet share the tongue."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index
from vocaltract.motion.asking import (
    BODY,
    INSTANT_S,
    LEAST_MOVE_S,
    TONGUE,
    apart,
    asked_hold,
    beside,
    columns,
    early,
    firmness,
    friction,
    lowers_palate,
    mask,
    steady,
)
from vocaltract.motion.easing import Plateau
from vocaltract.motion.effort import effort
from vocaltract.motion.gestures import minimum_jerk
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.motion.touching import touching
from vocaltract.phonetics.inventory import organ
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker

LOOSE = {"coronal": ("root_mm", "rear_mm", "back_mm"), "dorsal": ("blade_mm", "tip_up_mm", "tip_forward_mm")}
"""Parts of the tongue that a closure or narrowing by tip or back does not depend on."""


def tongue_plan(plan: Schedule) -> list[Plateau]:
    """Plateaus of the tongue's consonants, in order."""
    found = [p for span in plan.spans for p in (_of(plan, span) if is_lingual(span) else _of_lips(plan, span))]
    return apart(found)


def is_lingual(span: Span) -> bool:
    """Whether a consonant is made with the tongue."""
    return span.entry.kind != "vowel" and (organ(span.entry) in ("coronal", "dorsal") or span.entry.shapes_tongue)


def _of(plan: Schedule, span: Span) -> list[Plateau]:
    before, after = (
        other if other and is_lingual(other) else None for other in (beside(plan, span, i) for i in (-1, 1))
    )
    into, out = before and _hisses_to(before, span), after and _hisses_to(span, after)
    if span.entry.manner == "tap":
        return _tap(plan, span)
    if (into or out) and not span.entry.closes:
        return _hiss_beside_stop(plan.speaker, span, bool(into), bool(out))
    start, end = asked_hold(span)
    last, held = beside(plan, span, -1), span.release == "none"
    if last and last.entry.is_stop and last.release == "none" and organ(last.entry) == "lips" and span.entry.is_stop:
        start = min(start, early(last, span))
    if before and before.release == "none" and _crosses(before, span):
        start = before.hold_s[1] + LEAST_MOVE_S
    if into:
        start = max(start, span.start_s + effort().joint.inside_s + LEAST_MOVE_S)
    if out:
        end = span.end_s - effort().joint.inside_s - LEAST_MOVE_S
    if after and held and _crosses(span, after):
        return _held_before_another(plan.speaker, span, start)
    if after and not after.entry.closes and organ(after.entry) == organ(span.entry):
        end -= effort().lead.near_s  # what follows lies near: contact is left later
    if organ(span.entry) == "dorsal":  # at rest the back lies near
        start += 0.0 if last else effort().lead.near_s
        end -= 0.0 if beside(plan, span, 1) else effort().lead.near_s
    if after and after.release and held and span.entry.closes and organ(after.entry) == organ(span.entry):
        end = max(end, span.hold_s[1] - LEAST_MOVE_S / 2)
    values = steady(span)[0]
    if before and into and start > end:
        # no time for all the way to its own posture from the closure that the hiss left
        start, values = end, (values + _with_closure_behind(steady(before)[0], plan.speaker)) / 2
    found = [_lingual(span, values, (start, max(end, start + INSTANT_S)))]
    if len(span.postures) == 2:
        found.append(_loosened(span, friction(span, TONGUE)))
    return found


def _of_lips(plan: Schedule, span: Span) -> list[Plateau]:
    """In a nasal of the lips the tongue makes some room for the soft palate that hangs down to it, where it lies there;
    in a hiss of the lips after a sound of the tongue it leaves its place, since nothing else takes it away."""
    own, last = effort().firmness, beside(plan, span, -1)
    if organ(span.entry) != "lips":
        return []
    if lowers_palate(span):
        vowels = (s.entry for s in (last, beside(plan, span, 1)) if s and s.entry.kind == "vowel")
        if any(entry.place.endswith("back") for entry in vowels):
            weight = own.tongue_labial_nasal * mask(TONGUE)
            return [Plateau(*span.hold_s, posture("ə", plan.speaker).values, weight)]
    elif "fricative" in span.entry.manner and last and is_lingual(last):
        return [Plateau(*span.hold_s, steady(span)[0], own.beside * mask(TONGUE))]
    return []


def _lingual(span: Span, values: Array, hold: tuple[float, float], firm: bool = False) -> Plateau:
    """A posture of the tongue; firm: also in the parts that the sound's own place does not depend on."""
    found = Plateau(*hold, values, firmness(span) * mask(TONGUE))
    return found if firm else _loosened(span, found)


def _loosened(span: Span, plateau: Plateau) -> Plateau:
    lateral = "lateral" in span.entry.manner and organ(span.entry) == "coronal"
    loose = mask(BODY if lateral else LOOSE.get(organ(span.entry), ()))
    own = effort().firmness
    most = np.where(
        loose > 0,
        own.beside if span.entry.closes else min(own.beside, own.approximant) if not lateral else own.lateral_body,
        np.inf,
    )
    return replace(plateau, weight=np.minimum(plateau.weight, most))


def _tap(plan: Schedule, span: Span) -> list[Plateau]:
    """A tap is thrown: asked for just where contact is made and where it is broken; the body comes along."""
    around, (start, end) = effort().lead.around_tap_s, span.hold_s
    loose = effort().firmness.beside * mask(LOOSE["coronal"])
    found = [Plateau(start - around, end + around, steady(span)[0], loose)]
    for step, at, nearest in ((-1, span.hold_s[0], -1), (1, span.hold_s[1], 0)):
        other, values = beside(plan, span, step), steady(span)[0]
        if other and other.postures and not other.entry.closes:
            values = touching(span.entry.posture[0], other.entry.posture[nearest], plan.speaker)
        found.append(_lingual(span, values, (at, at)))
    return found


def _held_before_another(speaker: Speaker, span: Span, start: float) -> list[Plateau]:
    """A held stop, and at its end the posture in which the next stop is shut as well."""
    shut = span.hold_s[1]
    both = shut - effort().joint.both_share * timing().movement.overlap_share * (shut - span.hold_s[0])
    alone = start, max(both - LEAST_MOVE_S, start + INSTANT_S)
    double = posture("k͡t", speaker).values
    return [
        _lingual(span, steady(span)[0], alone),
        _lingual(span, double, (both, shut + effort().joint.over_s), firm=True),
    ]


def _crosses(first: Span, second: Span) -> bool:
    """Two stops made by different parts of the tongue."""
    return (
        first.entry.is_stop
        and second.entry.is_stop
        and {organ(first.entry), organ(second.entry)} == {"coronal", "dorsal"}
    )


def _hisses_to(first: Span, second: Span) -> bool:
    """A hiss of the tip and a stop of the back of the tongue, in either order."""
    hiss, stop = (second, first) if first.entry.closes else (first, second)
    return (
        hiss.entry.manner == "fricative"
        and organ(hiss.entry) == "coronal"
        and stop.entry.is_stop
        and organ(stop.entry) == "dorsal"
        and stop.release != "none"
    )


def _hiss_beside_stop(speaker: Speaker, span: Span, into: bool, out: bool) -> list[Plateau]:
    """A hiss of the tip after a stop of the back of the tongue (into), before one (out), or between two.

    The back is let down and raised on the straight way between the hiss and the hiss with a closure behind, on which
    the tip stays as near; a short hiss ends before the back is all down.
    """
    own = effort().joint
    start, end = asked_hold(span)
    start = span.start_s - own.inside_s if into else start
    end = span.end_s + own.inside_s if out else end
    free = steady(span)[0]
    both = _with_closure_behind(free, speaker)
    times = np.linspace(start, end, max(round((end - start) / own.step_s), 2))
    behind = 1 - minimum_jerk((times - start) / own.move_s) if into else np.zeros(len(times))
    if out:
        behind = np.maximum(behind, 1 - minimum_jerk((end - times) / own.move_s))
    way = free + behind[:, None] * (both - free)
    return [_lingual(span, values, (t, t), firm=True) for t, values in zip(times.tolist(), way, strict=True)]


def _with_closure_behind(values: Array, speaker: Speaker) -> Array:
    """A posture of the tip with the back of the tongue shut as well: what `k͡t` has more than `t`, the tip as near."""
    at = columns(TONGUE)
    both = np.array(values)
    both[at] += (posture("k͡t", speaker).values - posture("t", speaker).values)[at]
    for name, lower in effort().joint.lower_mm.items():
        both[part_index(name)] -= lower
    return both
