"""What a sound asks of the mouth: which parts of the posture, when, and how firmly (data/timing.toml)."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index, parts
from vocaltract.motion.easing import Plateau
from vocaltract.motion.effort import effort
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.phonetics.inventory import organ

BODY = ("root_mm", "rear_mm", "back_mm", "front_mm", "body_forward_mm")
TIP = ("blade_mm", "tip_up_mm", "tip_forward_mm", "curl_deg", "sides_open", "epiglottis")
TONGUE = (*BODY, *TIP)
LIPS = ("aperture_mm", "rounded", "spread", "tucked", "upper_raise_mm")
JAW = ("jaw_mm",)
VELUM = ("velum",)
LARYNX = ("larynx_mm",)
LEAST_MOVE_S = 0.045  # between two plateaus that touch, so that nothing jumps
INSTANT_S = 1e-3


def columns(names: tuple[str, ...]) -> list[int]:
    """Places of parts in the posture vector."""
    return [part_index(n) for n in names]


@cache
def mask(names: tuple[str, ...]) -> Array:
    """1 (parts,) for the parts named, 0 for the others."""
    found = np.zeros(len(parts()))
    found[columns(names)] = 1.0
    found.setflags(write=False)
    return found


def steady(span: Span) -> list[Array]:
    """The postures (parts,) of a sound: one, or those that it goes from and to."""
    return [made.values for made in span.postures]


def beside(plan: Schedule, span: Span, step: int) -> Span | None:
    """The sound before (-1) or after (1) a sound; None at the ends."""
    at = span.index + step
    return plan.spans[at] if 0 <= at < len(plan.spans) else None


def firmness(span: Span) -> float:
    """How firmly a consonant asks for the place that makes it."""
    own, manner = effort().firmness, span.entry.manner
    if span.entry.closes:
        return own.closed
    if "fricative" in manner:
        return own.hiss
    return own.side_contact if "lateral" in manner else own.approximant


def asked_hold(span: Span) -> tuple[float, float]:
    """When the target itself is asked for, so that contact, which comes earlier and lasts longer, is on time."""
    start, end = span.hold_s
    if not span.entry.closes:
        return start, max(end, start + INSTANT_S)
    lead, middle = effort().lead.of(organ(span.entry)), (start + end) / 2
    return min(start + lead, middle - INSTANT_S / 2), max(end - lead, middle + INSTANT_S / 2)


def vowel_plan(plan: Schedule, span: Span) -> list[Plateau]:
    """One target of a vowel, or two of a diphthong, whose glide keeps its rate and may not reach its end (Gay 1968)."""
    own, lies = effort().firmness, effort().vowel
    firm = own.vowel_stressed if span.sound.stress else own.vowel_weak
    firm *= own.connected if plan.style == "connected" else 1.0
    weight = firm * (1 + (own.vowel_tip - 1) * mask(TIP))
    states = steady(span)
    length = span.end_s - span.start_s
    inset = min(lies.inset_share * length, lies.inset_s)
    start, end = span.start_s + inset, span.end_s - inset
    found = [Plateau(plan.speech_s[0], start, states[0], weight * mask(TONGUE))] if _is_first(plan, span) else []
    if len(states) == 1:
        return [*found, Plateau(start, end, states[0], weight)]
    glide = span.pace * lies.glide_s
    leave = max(end - glide, start + lies.first_share * (end - start))
    share = min((end - leave) / glide, 1.0)
    last = states[0] + share * (states[1] - states[0])
    return [*found, Plateau(start, leave, states[0], weight), Plateau(end - inset / 2, end + inset / 2, last, weight)]


def _is_first(plan: Schedule, span: Span) -> bool:
    """Whether only sounds that leave the tongue free come before a vowel: it is there when speech begins."""
    before = plan.spans[: span.index]
    free = (s.entry.kind != "vowel" and organ(s.entry) in ("lips", "") and not s.entry.shapes_tongue for s in before)
    return bool(before) and all(free)


def friction(span: Span, names: tuple[str, ...]) -> Plateau:
    """The narrow part of an affricate, after its closure is let go."""
    let_go = span.release_s if span.release_s is not None else span.end_s
    start = let_go + effort().lead.friction_s
    end = max(span.end_s - effort().lead.friction_s, start + INSTANT_S)
    return Plateau(start, end, steady(span)[1], effort().firmness.hiss * mask(names))


def early(held: Span, following: Span) -> float:
    """When the stop after a held one has its target, so that it is shut before the held one is let go."""
    overlap = timing().movement.overlap_share * (held.hold_s[1] - held.hold_s[0])
    # the closure of an affricate is light: it is made only just before its target is reached
    return held.hold_s[1] - (1.0 if following.entry.manner == "affricate" else 0.5) * overlap


def stays_shut(plan: Schedule, span: Span) -> bool:
    """Lips that rest together do not open before a word that begins with them; a sound alone shows its closing."""
    return not plan.alone and span.index == 0 and span.entry.place == "bilabial" and span.entry.closes


def lowers_palate(span: Span) -> bool:
    """Whether a sound lowers the soft palate on purpose."""
    return bool(span.postures) and float(steady(span)[0][part_index("velum")]) > effort().soft_palate.lowered_from


def ordered(found: list[Plateau]) -> list[Plateau]:
    """By the time at which they begin."""
    return sorted(found, key=lambda p: p.start_s)


def apart(plateaus: list[Plateau]) -> list[Plateau]:
    """Plateaus in order, with at least LEAST_MOVE_S between neighbours that differ; of two, the less firm gives way."""
    found, enough = ordered(plateaus), effort().firmness.side_contact
    for i in range(len(found) - 1):
        a, b = found[i], found[i + 1]
        short = LEAST_MOVE_S - (b.start_s - a.end_s)
        if short <= 0 or a.end_s == a.start_s or b.end_s == b.start_s or np.array_equal(a.values, b.values):
            continue
        share = 0.5 + 0.5 * (bool(b.weight.max() >= enough) - bool(a.weight.max() >= enough))
        new_end = max(a.end_s - share * short, a.start_s + INSTANT_S)
        new_start = min(max(new_end + LEAST_MOVE_S, b.start_s), max(b.end_s - INSTANT_S, new_end + INSTANT_S))
        found[i] = replace(a, end_s=new_end)
        found[i + 1] = replace(b, start_s=new_start, end_s=max(b.end_s, new_start + INSTANT_S))
    return found
