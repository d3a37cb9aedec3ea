"""From the plan to movement: what every articulator does over time, as posture vectors.

Each sound asks tongue, jaw, lips and soft palate for its posture while it is held, as firmly as its manner needs; the
movement is the one with the least acceleration (`vocaltract.motion.easing`). The folds follow once closures have been
measured (`vocaltract.motion.folds`).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index, parts
from vocaltract.motion.easing import Plateau, asked, least_acceleration
from vocaltract.motion.gestures import Knot, carrier, minimum_jerk
from vocaltract.motion.schedule import PAUSE_S, Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.motion.touching import touching
from vocaltract.phonetics.inventory import organ
from vocaltract.phonetics.postures import posture

BODY = ("root_mm", "rear_mm", "back_mm", "front_mm", "body_forward_mm")
TIP = ("blade_mm", "tip_up_mm", "tip_forward_mm", "curl_deg", "sides_open", "epiglottis")
TONGUE = (*BODY, *TIP)
LIPS = ("aperture_mm", "rounded", "spread", "tucked", "upper_raise_mm")
JAW = ("jaw_mm",)
VELUM = ("velum",)
LARYNX = ("larynx_mm",)
BESIDE = {"coronal": ("root_mm", "rear_mm", "back_mm"), "dorsal": ("blade_mm", "tip_up_mm", "tip_forward_mm")}
"""Parts of the tongue that a closure or narrowing by tip or back does not depend on."""
LOWERED = 0.25  # a soft palate lower than this is lowered on purpose
LEAST_MOVE_S = 0.045  # between two plateaus that touch, so that nothing jumps


def columns(names: tuple[str, ...]) -> list[int]:
    """Places of parts in the posture vector."""
    return [part_index(n) for n in names]


def mouth_tracks(plan: Schedule, times_s: Array) -> Array:
    """Posture vectors (n, parts) at evenly spaced times (n,), but for the folds."""
    base = carrier(_knots(plan), times_s)
    base[:, columns(VELUM)] = _velum_base(plan, times_s)
    step_s = float(times_s[1] - times_s[0])

    def way(found: list[Plateau]) -> Array:
        target, weight = asked(base, timing().firmness.between, [*_rests(plan), *found], times_s)
        return least_acceleration(target, weight, plan.spans[0].pace * _ease_s(), step_s)

    moved = way([plateau for group in plateaus(plan).values() for plateau in group])
    return np.clip(moved, *_ranges())


def plateaus(plan: Schedule) -> dict[tuple[str, ...], list[Plateau]]:
    """Gestures of an utterance as they are planned: for the parts of tongue, jaw, lips, soft palate and larynx, what is
    asked of them when, in order."""
    vowels = [p for s in plan.spans if s.entry.kind == "vowel" for p in _vowel(plan, s)]
    tongue = _apart(_tongue(plan))
    lips = _apart(_lips(plan))
    return {
        TONGUE: _ordered([_only(p, TONGUE) for p in vowels] + tongue),
        JAW: _ordered([_only(p, JAW) for p in vowels] + _jaw(plan, tongue)),
        LIPS: _ordered([_only(p, LIPS) for p in vowels] + lips),
        VELUM: _ordered(_velum(plan)),
        LARYNX: _ordered([_only(p, LARYNX) for p in vowels] + _larynx(plan)),
    }


def _ordered(found: list[Plateau]) -> list[Plateau]:
    return sorted(found, key=lambda p: p.start_s)


@cache
def _ease_s() -> Array:
    own, ease = timing().ease, np.full(len(parts()), timing().ease.body_s)
    for names, value in ((TIP, own.tip_s), (JAW, own.jaw_s), (LIPS, own.lips_s), (VELUM, own.velum_s)):
        ease[columns(names)] = value
    return ease


@cache
def _ranges() -> tuple[Array, Array]:
    return np.array([p.low for p in parts()]), np.array([p.high for p in parts()])


@cache
def _mask(names: tuple[str, ...]) -> Array:
    mask = np.zeros(len(parts()))
    mask[columns(names)] = 1.0
    return mask


def _only(plateau: Plateau, names: tuple[str, ...]) -> Plateau:
    return replace(plateau, weight=plateau.weight * _mask(names))


def _steady(span: Span) -> list[Array]:
    return [posture(key).values for key in span.entry.posture]


def _rests(plan: Schedule) -> list[Plateau]:
    rest, firm = posture("rest").values, timing().firmness.rest * np.ones(len(parts()))
    last = plan.speech_s[1] + timing().frame.rest_after_s + timing().movement.rest_s
    return [Plateau(0.0, timing().frame.rest_before_s, rest, firm), Plateau(last, last + 1.0, rest, firm)]


def _knots(plan: Schedule) -> list[Knot]:
    rest, neutral = posture("rest").values, posture("ə").values
    begin, end = plan.speech_s
    vowels = [s for s in plan.spans if s.entry.kind == "vowel"]
    knots = [Knot(0.0, timing().frame.rest_before_s, rest)]
    if not vowels:
        middle = [Knot(begin, end, neutral)]
    else:
        middle = []
        for span in vowels:
            states = _steady(span)
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


def _vowel(plan: Schedule, span: Span) -> list[Plateau]:
    """One target of a vowel, or two of a diphthong, whose glide keeps its rate and may not reach its end (Gay 1968)."""
    own = timing().firmness
    firm = own.vowel_stressed if span.sound.stress else own.vowel_weak
    firm *= own.connected if plan.style == "connected" else 1.0
    weight = firm * (1 + (own.vowel_tip - 1) * _mask(TIP))
    states = _steady(span)
    length = span.end_s - span.start_s
    inset = min(0.25 * length, timing().glide.inset_s)
    start, end = span.start_s + inset, span.end_s - inset
    if len(states) == 1:
        return [Plateau(start, end, states[0], weight)]
    glide = span.pace * timing().glide.glide_s
    leave = max(end - glide, start + timing().glide.first_share * (end - start))
    share = min((end - leave) / glide, 1.0)
    return [
        Plateau(start, leave, states[0], weight),
        Plateau(leave + share * glide - inset / 2, end + inset / 2, states[0] + share * (states[1] - states[0]), weight),
    ]


def _firmness(span: Span) -> float:
    own, entry = timing().firmness, span.entry
    if entry.closes:
        return own.tap if entry.manner == "tap" else own.closed
    if "fricative" in entry.manner:
        return own.hiss
    return own.side_contact if "lateral" in entry.manner else own.approximant


def _hold(span: Span) -> tuple[float, float]:
    """When the target itself is reached and left, so that contact, which comes earlier and lasts longer, is on time."""
    start, end = span.hold_s
    if not span.entry.closes:
        return start, max(end, start + 1e-3)
    lead = timing().lead.of(organ(span.entry))
    middle = (start + end) / 2
    return min(start + lead, middle - 5e-4), max(end - lead, middle + 5e-4)


def _plateau(span: Span, values: Array, names: tuple[str, ...], hold: tuple[float, float] | None = None) -> Plateau:
    start, end = hold or _hold(span)
    return Plateau(start, end, values, _firmness(span) * _mask(names))


def _lingual(span: Span, values: Array, hold: tuple[float, float], firm: bool = False) -> Plateau:
    """A posture of the tongue; firm: also in the parts that the sound's own place does not depend on."""
    found = _plateau(span, values, TONGUE, hold)
    return found if firm else _loose_beside(span, found)


def _loose_beside(span: Span, plateau: Plateau) -> Plateau:
    beside = BESIDE.get(organ(span.entry), ())
    weight = np.array(plateau.weight)
    weight[columns(beside)] = np.minimum(weight[columns(beside)], timing().firmness.beside)
    return replace(plateau, weight=weight)


def _is_lingual(span: Span) -> bool:
    return span.entry.kind != "vowel" and (organ(span.entry) in ("coronal", "dorsal") or span.entry.shapes_tongue)


def _tongue(plan: Schedule) -> list[Plateau]:
    labials = [s for s in plan.spans if organ(s.entry) == "lips"]
    found = [_yielding(s) for s in labials if _lowers_velum(s) and _by_the_back(plan, s)]
    found += [_letting_go(s) for s in labials if s.index and _is_lingual(plan.spans[s.index - 1]) and "fricative" in s.entry.manner]
    lingual = [s for s in plan.spans if _is_lingual(s)]
    for span in lingual:
        states = _steady(span)
        start, end = _hold(span)
        after = next((s for s in lingual if s.index == span.index + 1), None)
        before = next((s for s in lingual if s.index == span.index - 1), None)
        if after is not None and "approximant" in after.entry.manner and organ(after.entry) == organ(span.entry):
            # what follows lies near: contact is left later
            end = max(end - timing().lead.near_s, start + 1e-3)
        if span.index > 0 and _holds_lips(plan.spans[span.index - 1]) and span.entry.is_stop:
            start = min(start, _early(plan.spans[span.index - 1], span))
        if before is not None and before.release == "none" and _crosses(before, span):
            start = before.hold_s[1] + LEAST_MOVE_S
            end = max(end, start + 1e-3)
        if after is not None and span.release == "none" and _crosses(span, after):
            shut = span.hold_s[1]
            overlap = timing().movement.overlap_share * (shut - span.hold_s[0])
            double = posture("k͡t").values
            joined = (shut - 0.6 * overlap, shut + 0.004)
            found.append(_lingual(span, states[0], (start, max(joined[0] - LEAST_MOVE_S, start + 1e-3))))
            found.append(_lingual(span, double, joined, firm=True))
            continue
        into, out = (other is not None and _hisses_to(*pair) for other, pair in ((before, (before, span)), (after, (span, after))))
        if span.entry.closes:
            # tip and back of the tongue narrow together at the boundary with a hiss: no gap opens between them
            if into:
                start = max(start, span.start_s + timing().joint.inside_s + LEAST_MOVE_S)
            if out:
                end = span.end_s - timing().joint.inside_s - LEAST_MOVE_S
            end = max(end, start + 1e-3)
        elif into or out:
            found += _hiss_beside_stop(span, into, out)
            continue
        if (
            after is not None
            and after.release != ""
            and span.entry.closes
            and organ(after.entry) == organ(span.entry)
            and span.release == "none"
        ):
            end = max(end, span.hold_s[1] - LEAST_MOVE_S / 2)
        if span.entry.manner == "tap":
            beside = [s for s in plan.spans if abs(s.index - span.index) == 1]
            found += _tap(span, *(next((s for s in beside if s.index == i), None) for i in (span.index - 1, span.index + 1)))
            continue
        found.append(_lingual(span, states[0], (start, end)))
        if len(states) == 2:
            found.append(_loose_beside(span, _friction(span, TONGUE)))
    return found


def _tap(span: Span, before: Span | None, after: Span | None) -> list[Plateau]:
    """A tap is thrown: asked for just where contact is made and where it is broken."""
    found = []
    for beside, at, side in ((before, span.hold_s[0], -1), (after, span.hold_s[1], 0)):
        free = beside is not None and not beside.entry.closes
        if free and beside is not None and beside.entry.posture != ("next",):
            found.append(_lingual(span, touching(span.entry.posture[0], beside.entry.posture[side]), (at, at)))
        else:
            found.append(_lingual(span, _steady(span)[0], (at, at)))
    return found


def _by_the_back(plan: Schedule, span: Span) -> bool:
    """Beside a vowel whose tongue lies where a lowered soft palate hangs."""
    beside = (s.entry for s in plan.spans if abs(s.index - span.index) == 1)
    return any(e.kind == "vowel" and e.place.endswith("back") for e in beside)


def _yielding(span: Span) -> Plateau:
    """In a nasal of the lips the tongue makes some room for the soft palate that hangs down to it."""
    weight = timing().firmness.tongue_labial_nasal * _mask(TONGUE)
    return Plateau(*span.hold_s, posture("ə").values, weight)


def _letting_go(span: Span) -> Plateau:
    """In a hiss of the lips after a sound of the tongue the tongue leaves its place: nothing else takes it away."""
    return Plateau(*span.hold_s, _steady(span)[0], timing().firmness.beside * _mask(TONGUE))


def _friction(span: Span, names: tuple[str, ...]) -> Plateau:
    """The narrow part of an affricate, after its closure is let go."""
    let_go = span.release_s if span.release_s is not None else span.end_s
    hold = (let_go + 0.02, max(span.end_s - 0.015, let_go + 0.021))
    return Plateau(*hold, _steady(span)[1], timing().firmness.hiss * _mask(names))


def _holds_lips(span: Span) -> bool:
    """A stop of the lips that is not let go of."""
    return span.entry.is_stop and span.release == "none" and organ(span.entry) == "lips"


def _early(held: Span, following: Span) -> float:
    """When the stop after a held one has its target, so that it is shut before the held one is let go."""
    overlap = timing().movement.overlap_share * (held.hold_s[1] - held.hold_s[0])
    # the closure of an affricate is light: it is made only just before its target is reached
    return held.hold_s[1] - (1.0 if following.entry.manner == "affricate" else 0.5) * overlap


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


def _hiss_beside_stop(span: Span, into: bool, out: bool) -> list[Plateau]:
    """A hiss of the tip after a stop of the back of the tongue, before one, or between two.

    The back is let down and raised on the straight way between the hiss and the hiss with a closure behind, on which
    the tip stays as narrow; a short hiss ends before the back is all down.
    """
    own = timing().joint
    start, end = _hold(span)
    start = span.start_s - own.inside_s if into else start
    end = span.end_s + own.inside_s if out else end
    free, both = _steady(span)[0], _with_closure_behind(_steady(span)[0])
    times = np.linspace(start, end, max(round((end - start) / own.step_s), 2))
    behind = np.zeros(len(times))
    if into:
        behind = 1 - minimum_jerk((times - start) / own.move_s)
    if out:
        behind = np.maximum(behind, 1 - minimum_jerk((end - times) / own.move_s))
    return [
        _lingual(span, free + share * (both - free), (t, t), firm=True)
        for t, share in zip(times.tolist(), behind.tolist(), strict=True)
    ]


def _with_closure_behind(values: Array) -> Array:
    """A posture of the tip with the back of the tongue shut as well: what `k͡t` has more than `t`, the tip as near."""
    at = columns(TONGUE)
    both = np.array(values)
    both[at] += (posture("k͡t").values - posture("t").values)[at]
    for name, lower in timing().joint.lower_mm.items():
        both[part_index(name)] -= lower
    return both


def _jaw(plan: Schedule, tongue: list[Plateau]) -> list[Plateau]:
    """The jaw of each closure and narrowing of the tongue, which rides on it; of the lips' as far as it is free."""
    jaw = part_index("jaw_mm")
    found = [replace(p, weight=p.weight.max() * _mask(JAW)) for p in tongue]
    for span in plan.spans:
        if organ(span.entry) != "lips" or span.entry.kind == "vowel":
            continue
        start, end = _hold(span)
        if _stays_shut(plan, span):
            start = timing().frame.rest_before_s
        found.append(Plateau(start, end, _steady(span)[0], timing().firmness.jaw_labial * _mask(JAW)))
    return found


def _stays_shut(plan: Schedule, span: Span) -> bool:
    """Lips that rest together do not open before a word that begins with them; a sound alone shows its closing."""
    return not plan.alone and span.index == 0 and span.entry.place == "bilabial" and span.entry.closes


def _lips(plan: Schedule) -> list[Plateau]:
    own, found = timing().firmness, []
    for span in plan.spans:
        if span.entry.kind == "vowel" or span.entry.posture == ("next",):
            continue
        values = _steady(span)[0]
        if organ(span.entry) == "lips" or values[part_index("aperture_mm")] <= 0:
            start, end = _hold(span)
            before = next((s for s in plan.spans if s.index == span.index - 1), None)
            if before is not None and before.release == "none" and before.entry.is_stop:
                # shut before the stop before is let go
                start = min(start, _early(before, span))
            if _stays_shut(plan, span):
                start = timing().frame.rest_before_s
            found.append(_plateau(span, values, LIPS, (start, end)))
            if len(span.entry.posture) == 2:
                found.append(_friction(span, LIPS))
        elif values[part_index("rounded")] > 0.1:
            found.append(Plateau(*_hold(span), values, own.lips_rounded * _mask(LIPS)))
        elif values[part_index("spread")] > 0.1:
            found.append(Plateau(*_hold(span), values, own.lips_spread * _mask(LIPS)))
    return found


def _velum(plan: Schedule) -> list[Plateau]:
    """Lowered in nasals, sealed in what is made with pressure, raised in the rest but for the end before a nasal."""
    found = []
    for i, span in enumerate(plan.spans):
        before = plan.spans[i - 1] if i and plan.spans[i - 1].end_s > span.start_s - PAUSE_S else None
        after = plan.spans[i + 1] if i + 1 < len(plan.spans) else None
        nasal_before = before is not None and _lowers_velum(before)
        if _lowers_velum(span):
            found.append(_lowered(span, before))
        elif span.entry.posture != ("next",) and (span.entry.closes or "fricative" in span.entry.manner):
            found.append(_sealed(span, nasal_before))
        else:
            found.append(_raised(span, nasal_before, after is not None and _lowers_velum(after)))
    return found


def _lowered(span: Span, before: Span | None) -> Plateau:
    own, length = timing().soft_palate, span.end_s - span.start_s
    start = span.start_s + (min(own.after_release_s, length / 3) if before and before.release == "nasal" else 0.0)
    end = max(span.end_s - own.rises_s, (start + span.end_s) / 2)
    # a short nasal asks for it as much in all as a long one
    firm = timing().firmness.palate_nasal * max(1.0, own.usual_s / length)
    return Plateau(start, end, _steady(span)[0], firm * _mask(VELUM))


def _sealed(span: Span, nasal_before: bool) -> Plateau:
    own = timing().soft_palate
    start = span.start_s + (own.sealed_share * (span.hold_s[1] - span.start_s) if nasal_before else 0.0)
    end = span.end_s if span.release_s is None else span.release_s - own.before_release_s
    values = np.full(len(parts()), own.sealed)
    return Plateau(start, max(end, start + 1e-3), values, timing().firmness.palate_sealed * _mask(VELUM))


def _raised(span: Span, nasal_before: bool, nasal_after: bool) -> Plateau:
    own, length = timing().soft_palate, span.end_s - span.start_s
    start = span.start_s + (min(own.rises_s, length / 3) if nasal_before else 0.0)
    end = span.end_s - (min(own.lowers_early_s, length / 2) if nasal_after else 0.0)
    values = np.full(len(parts()), own.raised)
    return Plateau(start, max(end, start + 1e-3), values, timing().firmness.palate_open * _mask(VELUM))


def _lowers_velum(span: Span) -> bool:
    return span.entry.posture != ("next",) and float(_steady(span)[0][part_index("velum")]) > LOWERED


def _larynx(plan: Schedule) -> list[Plateau]:
    """Implosives are made with the larynx drawn down, ejectives with it pushed up."""
    made = [s for s in plan.spans if s.entry.kind == "ipa" and s.entry.posture != ("next",)]
    return [_plateau(s, _steady(s)[0], LARYNX) for s in made if _steady(s)[0][part_index("larynx_mm")] != 0]


def _velum_base(plan: Schedule, times_s: Array) -> Array:
    """Lowered for quiet breathing, raised for speech; not raised where speech begins or ends with nasals only."""
    rest = posture("rest").values[columns(VELUM)]
    oral = [s for s in plan.spans if not _lowers_velum(s)]
    _, end = plan.speech_s
    last = end + timing().frame.rest_after_s + timing().movement.rest_s
    knots = [Knot(0.0, timing().frame.rest_before_s, rest)]
    if oral:
        first, final = oral[0], oral[-1]
        raise_by = first.start_s - 0.02 if first.index == 0 else first.start_s
        if first.index > 0:
            knots[0] = replace(knots[0], end_s=max(raise_by - timing().movement.velum_s, 0.01))
        leave = end + 0.3 * timing().frame.rest_after_s if final.index == plan.spans[-1].index else final.end_s
        knots.append(Knot(raise_by, leave, 0 * rest))
        last = max(last, leave + 0.1)
    return carrier([*knots, Knot(last, last + 1.0, rest)], times_s)


def _apart(plateaus: list[Plateau]) -> list[Plateau]:
    """Plateaus in order, with at least LEAST_MOVE_S between neighbours that differ; of two, the less firm gives way."""
    ordered = _ordered(plateaus)
    enough = timing().firmness.side_contact
    for i in range(len(ordered) - 1):
        a, b = ordered[i], ordered[i + 1]
        short = LEAST_MOVE_S - (b.start_s - a.end_s)
        if short <= 0 or a.end_s == a.start_s or b.end_s == b.start_s or np.array_equal(a.values, b.values):
            continue
        firm = a.weight.max() >= enough, b.weight.max() >= enough
        share = {(True, True): 0.5, (True, False): 0.0, (False, True): 1.0, (False, False): 0.5}[firm]
        new_end = max(a.end_s - share * short, a.start_s + 1e-4)
        new_start = min(max(new_end + LEAST_MOVE_S, b.start_s), max(b.end_s - 1e-4, new_end + 2e-4))
        ordered[i] = replace(a, end_s=new_end)
        ordered[i + 1] = replace(b, start_s=new_start, end_s=max(b.end_s, new_start + 1e-4))
    return ordered
