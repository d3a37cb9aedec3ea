"""The vocal folds over time: how far apart, and whether they are set to vibrate."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from articulators.curves import Array, Bools
from vocaltract.airway.breath import constants
from vocaltract.motion.durations import ms
from vocaltract.motion.gestures import minimum_jerk
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.phonetics.targets import quantity

EJECTIVE_SHARE = 0.3  # of the hold, after which the folds are together
EJECTIVE_S = (
    0.05  # how long they stay so after the release (Ladefoged & Maddieson 1996: about 50 ms or more, from memory)
)


def gap_mm(plan: Schedule, spans: tuple[Span, ...], times_s: Array) -> Array:
    """Gap between the vocal processes (n,) in mm.

    Voiceless sounds part the folds; the gap of a released stop is widest at the release and closed to the
    limit of vibration when the voice starts, so that aspiration comes out of timing.
    """
    breath, spread = quantity("glottis", "breath"), quantity("glottis", "spread")
    edge = constants()["glottis"]["voicing_gap_mm"]
    end = plan.speech_s[1]
    starts, ends = _edges(plan)
    points: list[tuple[float, float]] = [(0.0, breath), (ms("frame", "rest_before"), breath)]
    for position, span in enumerate(spans):
        first, last = position in starts, position in ends
        if first and position > 0:
            points += _parted(spans[position - 1].end_s, span.start_s, points[-1][1], breath)
        start, stop = span.hold_s
        if span.entry.voiced or span.entry.symbol == "ʔ":
            opens = span.start_s
            if span.entry.is_stop and first:
                opens = span.start_s - 0.05 if plan.alone else (span.voice_s or span.start_s)
            ready = max(opens, points[-1][0] + 0.03)
            points += [(ready, 0.0), (max(span.end_s - 0.02, ready + 0.005), 0.0)]
            if first and span.entry.is_stop and not plan.alone:
                # short lag: nearly together through the closure, set for voice just after the release
                points[-2:] = [
                    (max(start, plan.spans[position].start_s - 0.02), 0.4 * edge),
                    (ready, 0.0),
                    (max(span.end_s, ready + 0.005), 0.0),
                ]
            continue
        if span.entry.is_stop and span.release_s is not None:
            # a final stop is let go weakly: English does not aspirate it (common practice)
            unaspirated = ms("voice_onset", "final_ms") if not plan.alone else ms("frame", "final_release")
            lag = (span.voice_s - span.release_s) if span.voice_s is not None else unaspirated
            peak = spread * float(np.clip(lag / 0.055, 0.3, 1.0))
            parted = points[-1][1] > edge
            points.append((start - 0.015, min(points[-1][1], spread) if parted else 0.2))
            if not parted:
                points.append((min(start + 0.03, span.release_s - 0.01), 0.7 * peak))
            if "ejective" in span.entry.name:
                # once the air is shut in the folds close too, and open again after the release
                points += [(start + EJECTIVE_SHARE * (span.release_s - start), 0.0), (span.release_s + EJECTIVE_S, 0.0)]
                continue
            points.append((span.release_s, peak))
            if span.voice_s is not None:
                points += [(span.voice_s, edge), (span.voice_s + 0.025, 0.0)]
        elif span.entry.manner == "fricative":
            peak = spread * (0.8 if span.entry.symbol == "h" else 1.0)
            length = span.end_s - span.start_s
            points += [(span.start_s + 0.3 * length, peak), (span.start_s + 0.55 * length, peak)]
            if not last and spans[position + 1].entry.voiced:
                # nearly closed before the narrowing opens, so that no puff follows the hiss
                points.append((span.start_s + 0.88 * length, edge))
            elif not last and spans[position + 1].entry.is_stop:
                # one opening for both: after s the stop is not aspirated
                points.append((span.end_s, 0.35 * spread))
        else:
            points += [(start + 0.03, spread * 0.8), (max(stop, start + 0.04), spread * 0.8)]
    points += [
        (end + ms("frame", "rest_after"), points[-1][1]),
        (end + ms("frame", "rest_after") + ms("movement", "rest"), breath),
    ]
    return _through(points, times_s)


def _through(points: list[tuple[float, float]], times_s: Array) -> Array:
    ordered: list[tuple[float, float]] = []
    for t, value in points:
        if ordered and t <= ordered[-1][0] + 1e-4:
            t = ordered[-1][0] + 1e-3
        ordered.append((t, value))
    out = np.full(len(times_s), ordered[0][1])
    for (t0, a), (t1, b) in pairwise(ordered):
        inside = times_s >= t0
        out[inside] = (a + (b - a) * minimum_jerk((times_s - t0) / (t1 - t0)))[inside]
    return np.maximum(out, 0.0)


def set_to_vibrate(plan: Schedule, spans: tuple[Span, ...], times_s: Array) -> Bools:
    """True (n,) where the folds are set for voice; whether they vibrate also takes the air."""
    starts, ends = _edges(plan)
    gate: Bools = np.zeros(len(times_s), dtype=bool)
    for group in plan.groups:
        gate |= (times_s >= group[0].start_s - 0.03) & (times_s <= group[-1].end_s + 0.02)
    for position, span in enumerate(spans):
        inside = (times_s >= span.start_s) & (times_s < span.end_s)
        if span.entry.symbol == "ʔ":
            gate &= ~inside
        if "partly_devoiced" in span.sound.features:
            gate &= ~(inside & (times_s > (span.start_s + span.end_s) / 2))
        if span.entry.is_stop and not span.entry.voiced:
            until = span.voice_s if span.voice_s is not None else span.end_s
            gate &= ~((times_s >= span.hold_s[0] + 0.005) & (times_s < until))
        elif span.entry.is_stop and position in starts and not plan.alone:
            gate &= ~((times_s >= span.start_s - 0.05) & (times_s < (span.voice_s or span.start_s)))
        elif not span.entry.voiced and span.entry.symbol != "ʔ":
            gate &= ~inside
        if position in ends and (not span.entry.voiced or "partly_devoiced" in span.sound.features):
            gate &= ~((times_s >= span.end_s) & (times_s < span.end_s + 0.05))
    return gate


def _edges(plan: Schedule) -> tuple[frozenset[int], frozenset[int]]:
    """Indices of the first and of the last sounds of thought groups."""
    return frozenset(g[0].index for g in plan.groups), frozenset(g[-1].index for g in plan.groups)


def _parted(after_s: float, before_s: float, gap: float, breath: float) -> list[tuple[float, float]]:
    """The folds open for breath in a pause, once the lungs no longer press."""
    calm = after_s + min(ms("lungs", "over"), 0.4 * (before_s - after_s))
    return [(calm, gap), (0.6 * calm + 0.4 * before_s, breath), (0.3 * calm + 0.7 * before_s, breath)]
