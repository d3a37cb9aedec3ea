"""From the plan to movement: what every articulator does over time, as posture vectors.

Tongue, jaw, lips and soft palate each have their own plateaus over the vowels' carrier; the folds follow
once closures have been measured (`vocaltract.motion.folds`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index, parts
from vocaltract.motion.gestures import Knot, Plateau, carrier, laid_over
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.phonetics.inventory import organ
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker

TONGUE = (
    "root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm",
    "tip_up_mm", "tip_forward_mm", "curl_deg", "sides_open", "epiglottis",
)  # fmt: skip
LIPS = ("aperture_mm", "rounded", "spread", "tucked", "upper_raise_mm")
JAW = ("jaw_mm",)
VELUM = ("velum",)
LARYNX = ("larynx_mm",)
LOWERED = 0.25  # a soft palate lower than this is lowered on purpose
JOINED_S = 0.006
LEAST_MOVE_S = 0.045  # two plateaus that touch are moved apart to this, so that nothing jumps


def columns(names: tuple[str, ...]) -> list[int]:
    """Places of parts in the posture vector."""
    return [part_index(n) for n in names]


def mouth_tracks(plan: Schedule, times_s: Array) -> Array:
    """Posture vectors (n, parts) at times (n,), but for the folds."""
    plan = _at_their_reach(plan)
    whole = carrier(_knots(plan), times_s)
    for names, asked in _asked(plan).items():
        at = columns(names)
        chosen = [replace(p, values=p.values[at], claim=p.claim[at]) for p in asked]
        base = _velum_base(plan, times_s) if names is VELUM else whole[:, at]
        whole[:, at] = laid_over(base, chosen, times_s)
    return whole


def plateaus(plan: Schedule) -> dict[tuple[str, ...], list[Plateau]]:
    """Gestures of an utterance as they are planned: for the parts of tongue, jaw, lips, soft palate and larynx, what is
    asked of them when, in order."""
    return _asked(_at_their_reach(plan))


def _asked(plan: Schedule) -> dict[tuple[str, ...], list[Plateau]]:
    return {
        TONGUE: _apart(_tongue(plan)),
        JAW: _apart(_jaw(plan)),
        LIPS: _apart(_lips(plan)),
        VELUM: _apart(_velum(plan)),
        LARYNX: _apart(_larynx(plan)),
    }


def _steady(span: Span) -> list[Array]:
    return [made.values for made in span.postures]


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


def _times(span: Span) -> tuple[float, float]:
    """Approach and leave times of the organ that makes the sound, in seconds."""
    if span.entry.manner == "tap":
        return span.pace * timing().movement.flap_s, span.pace * timing().movement.flap_s
    approximant = "approximant" in span.entry.manner
    move = span.pace * timing().movement.to_target_s["approximant" if approximant else organ(span.entry) or "coronal"]
    return move, move


def _hold(span: Span) -> tuple[float, float]:
    """When the target itself is reached and left, so that contact, which comes earlier and lasts longer, is on time."""
    start, end = span.hold_s
    rise, fall = _times(span)
    if not span.entry.closes:
        return start, max(end, start + 1e-3)
    lead = timing().movement.contact_lead_share
    middle = (start + end) / 2
    return min(start + lead * rise, middle - 1e-3), max(end - lead * fall, middle + 1e-3)


def _plateau(span: Span, values: Array, claim: Array, hold: tuple[float, float] | None = None) -> Plateau:
    rise, fall = _times(span)
    start, end = hold or _hold(span)
    return Plateau(start, end, rise, fall, values, claim)


def _full() -> Array:
    return np.ones(len(parts()))


def _is_lingual(span: Span) -> bool:
    return span.entry.kind != "vowel" and (organ(span.entry) in ("coronal", "dorsal") or span.entry.shapes_tongue)


def _tongue(plan: Schedule) -> list[Plateau]:
    nasals = [s for s in plan.spans if organ(s.entry) == "lips" and _lowers_velum(s)]
    found = [_yielding(s, plan.speaker) for s in nasals if _by_the_back(plan, s)]
    lingual = [s for s in plan.spans if _is_lingual(s)]
    for span in lingual:
        states = _steady(span)
        start, end = _hold(span)
        after = next((s for s in lingual if s.index == span.index + 1), None)
        before = next((s for s in lingual if s.index == span.index - 1), None)
        if span.index > 0 and _holds_lips(plan.spans[span.index - 1]) and span.entry.is_stop:
            start = min(start, _early(plan.spans[span.index - 1], span))
        if before is not None and before.release == "none" and _crosses(before, span):
            start = before.hold_s[1] + LEAST_MOVE_S
            end = max(end, start + 1e-3)
        if after is not None and span.release == "none" and _crosses(span, after):
            shut = span.hold_s[1]
            overlap = timing().movement.overlap_share * (shut - span.hold_s[0])
            double = posture("k͡t", plan.speaker).values
            joined = (shut - 0.6 * overlap, shut + 0.004)
            found.append(_plateau(span, states[0], _full(), (start, max(joined[0] - LEAST_MOVE_S, start + 1e-3))))
            found.append(_plateau(span, double, _full(), joined))
            continue
        if after is not None and _hisses_to(span, after):
            # tip and back of the tongue narrow together at the boundary: no gap opens between hiss and closure
            hiss = after if span.entry.closes else span
            middle = span.end_s + (2 * JOINED_S if hiss is span else -2 * JOINED_S)
            joined = (middle - JOINED_S / 2, middle + JOINED_S / 2)
            found.append(_plateau(span, states[0], _full(), (start, max(joined[0] - LEAST_MOVE_S, start + 1e-3))))
            found.append(_plateau(hiss, _with_closure_behind(_steady(hiss)[0], plan.speaker), _full(), joined))
            continue
        if before is not None and _hisses_to(before, span):
            start = max(start, before.end_s + LEAST_MOVE_S)
            end = max(end, start + 1e-3)
        if (
            after is not None
            and after.release != ""
            and span.entry.closes
            and organ(after.entry) == organ(span.entry)
            and span.release == "none"
        ):
            end = max(end, span.hold_s[1] - LEAST_MOVE_S / 2)
        found.append(_plateau(span, states[0], _full(), (start, end)))
        if len(states) == 2:
            found.append(_friction(span))
    return found


def _by_the_back(plan: Schedule, span: Span) -> bool:
    """Beside a vowel whose tongue lies where a lowered soft palate hangs."""
    beside = (s.entry for s in plan.spans if abs(s.index - span.index) == 1)
    return any(e.kind == "vowel" and e.place.endswith("back") for e in beside)


def _yielding(span: Span, speaker: Speaker) -> Plateau:
    """In a nasal of the lips the tongue makes some room for the soft palate that hangs down to it."""
    claim = timing().claim.tongue_labial_nasal * _full()
    start, end = span.hold_s
    inset = min(LEAST_MOVE_S, 0.4 * (end - start))  # neighbours made with the tongue keep their times
    hold = start + inset, end - inset
    return replace(_plateau(span, posture("ə", speaker).values, claim, hold), approach_s=timing().movement.velum_s)


def _friction(span: Span) -> Plateau:
    """The narrow part of an affricate, after its closure is let go."""
    let_go = span.release_s if span.release_s is not None else span.end_s
    hold = (let_go + 0.02, max(span.end_s - 0.015, let_go + 0.021))
    return _plateau(span, _steady(span)[1], _full(), hold)


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


def _with_closure_behind(values: Array, speaker: Speaker) -> Array:
    """A posture of the tip with the back of the tongue shut as well: what `k͡t` has more than `t`."""
    at = columns(TONGUE)
    both = np.array(values)
    both[at] += (posture("k͡t", speaker).values - posture("t", speaker).values)[at]
    return both


def _at_their_reach(plan: Schedule) -> Schedule:
    """The plan with more time for taps that the tip comes far to, so that it need not be thrown."""
    own = timing().tap
    at = columns(tuple(n for n in (*TONGUE, *JAW) if n.endswith("_mm")))

    def pace(span: Span) -> float:
        beside = [s for s in plan.spans if abs(s.index - span.index) == 1 and s.entry.kind == "vowel"]
        ends = [_steady(s)[-1 if s.index < span.index else 0] for s in beside]
        reach = [float(np.linalg.norm((end - _steady(span)[0])[at])) for end in ends]
        return float(np.clip(np.mean(reach) / own.reach_mm, 1.0, own.most)) if reach else 1.0

    spans = [replace(s, pace=s.pace * pace(s)) if s.entry.manner == "tap" else s for s in plan.spans]
    return replace(plan, spans=tuple(spans))


def _jaw(plan: Schedule) -> list[Plateau]:
    found = [p for p in _tongue(plan) if p.claim[0] == 1]
    share = timing().claim.jaw_labial
    for span in plan.spans:
        if organ(span.entry) != "lips" or span.entry.kind == "vowel":
            continue
        start, end = _hold(span)
        if _stays_shut(plan, span):
            start = timing().frame.rest_before_s
        for other in found:
            # the tongue rides on the jaw: while it holds a closure the lips do not move it
            if other.start_s < end and other.end_s > start:
                if other.start_s <= start:
                    start = other.end_s + LEAST_MOVE_S
                else:
                    end = other.start_s - LEAST_MOVE_S
        if end > start:
            found.append(_plateau(span, _steady(span)[0], share * _full(), (start, end)))
    return found


def _stays_shut(plan: Schedule, span: Span) -> bool:
    """Lips that rest together do not open before a word that begins with them; a sound alone shows its closing."""
    return not plan.alone and span.index == 0 and span.entry.place == "bilabial" and span.entry.closes


def _lips(plan: Schedule) -> list[Plateau]:
    found = []
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
            found.append(_plateau(span, values, _full(), (start, end)))
            if len(span.entry.posture) == 2:
                found.append(_friction(span))
        elif values[part_index("rounded")] > 0.1:
            found.append(_plateau(span, values, timing().claim.lips_rounded * _full()))
        elif values[part_index("spread")] > 0.1:
            found.append(_plateau(span, values, timing().claim.lips_spread * _full()))
    return found


def _raised(span: Span, move_s: float, shares: tuple[float, float]) -> tuple[float, float]:
    """When the soft palate begins to rise at the end of a nasal, and how long it takes, in seconds."""
    share, before = shares
    fall = share * move_s
    return span.end_s - before * fall, fall


def _velum(plan: Schedule) -> list[Plateau]:
    found = []
    early = timing().movement.velum_anticipation_s
    move = timing().movement.velum_s
    for span in plan.spans:
        if not _lowers_velum(span):
            continue
        before = next((s for s in plan.spans if s.index == span.index - 1), None)
        after = next((s for s in plan.spans if s.index == span.index + 1), None)
        start, rise = span.start_s - early + move, move
        if before is not None and (before.entry.is_stop or before.entry.manner == "fricative"):
            rise = 0.5 * move
            # a stop let go through the nose is let go by the palate: it opens on time
            start = span.start_s + (0.72 if before.release == "nasal" else 0.8) * rise
        end, fall = span.end_s, move
        if after is not None and (after.entry.is_stop or after.entry.manner == "fricative"):
            end, fall = _raised(span, move, timing().soft_palate.before_obstruent)
        elif after is not None and after.entry.kind == "vowel":
            # a back vowel's tongue would shut the mouth against a palate that still hangs
            end, fall = _raised(span, move, timing().soft_palate.before_vowel)
        middle = (span.start_s + span.end_s) / 2
        start, end = min(start, middle), max(end, middle + 1e-3)
        found.append(Plateau(start, end, rise, fall, _steady(span)[0], _full()))
    return found


def _lowers_velum(span: Span) -> bool:
    return span.entry.posture != ("next",) and float(_steady(span)[0][part_index("velum")]) > LOWERED


def _larynx(plan: Schedule) -> list[Plateau]:
    """Implosives are made with the larynx drawn down, ejectives with it pushed up."""
    made = [s for s in plan.spans if s.entry.kind == "ipa" and s.entry.posture != ("next",)]
    return [_plateau(s, _steady(s)[0], _full()) for s in made if _steady(s)[0][part_index("larynx_mm")] != 0]


def _velum_base(plan: Schedule, times_s: Array) -> Array:
    """Lowered for quiet breathing, raised for speech; not raised where speech begins or ends with nasals only."""
    rest = posture("rest", plan.speaker).values[columns(VELUM)]
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
    """Plateaus in order, with at least LEAST_MOVE_S between neighbours that differ."""
    ordered = sorted(plateaus, key=lambda p: p.start_s)
    for i in range(len(ordered) - 1):
        a, b = ordered[i], ordered[i + 1]
        short = LEAST_MOVE_S - (b.start_s - a.end_s)
        if short <= 0 or np.array_equal(a.values, b.values):
            continue
        new_end = max(a.end_s - short / 2, a.start_s + 1e-4)
        new_start = min(max(new_end + LEAST_MOVE_S, b.start_s), max(b.end_s - 1e-4, new_end + 2e-4))
        ordered[i] = replace(a, end_s=new_end)
        ordered[i + 1] = replace(b, start_s=new_start, end_s=max(b.end_s, new_start + 1e-4))
    return ordered
