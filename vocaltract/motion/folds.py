"""The vocal folds over time: how far apart, and whether they are set to vibrate."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from articulators.curves import Array, Bools
from vocaltract.airway.air import speech_air
from vocaltract.motion.gestures import minimum_jerk
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.motion.timing import timing
from vocaltract.phonetics.places import places

LEAST_S = 0.005  # two points of the movement are not nearer than this


def glottal_gap_mm(plan: Schedule, spans: tuple[Span, ...], times_s: Array) -> Array:
    """Gap between the vocal processes (n,) in mm.

    Voiceless sounds part the folds; the gap of a released stop is widest at the release and closed to the
    limit of vibration when the voice starts, so that aspiration comes out of timing.
    """
    breath, spread = places().glottis.breath_mm, places().glottis.spread_mm
    edge, own = speech_air().glottis.voicing_gap_mm, timing().folds
    end = plan.speech_s[1]
    starts, ends = _edges(plan)
    points: list[tuple[float, float]] = [(0.0, breath), (timing().frame.rest_before_s, breath)]
    for position, span in enumerate(spans):
        first, last = position in starts, position in ends
        if first and position > 0:
            points += _parted(spans[position - 1].end_s, span.start_s, points[-1][1], breath)
        start, stop = span.hold_s
        if span.entry.voiced or span.entry.symbol == "ʔ":
            opens = span.start_s
            if span.entry.is_stop and first:
                opens = span.start_s - own.alone_lead_s if plan.alone else (span.voice_s or span.start_s)
            ready = max(opens, points[-1][0] + own.close_s)
            apart = own.voiced_friction_share * edge if span.entry.manner == "fricative" else 0.0
            points += [(ready, apart), (max(span.end_s - own.before_next_s, ready + LEAST_S), apart)]
            if first and span.entry.is_stop and not plan.alone:
                # short lag: nearly together through the closure, set for voice just after the release
                near = max(start, plan.spans[position].start_s - own.before_speech_s)
                points[-2:] = [
                    (near, own.short_lag_share * edge),
                    (ready, 0.0),
                    (max(span.end_s, ready + LEAST_S), 0.0),
                ]
            continue
        if span.entry.is_stop and span.release_s is not None:
            # a final stop is let go weakly: English does not aspirate it (common practice)
            unaspirated = timing().voice_onset.final_s if not plan.alone else timing().frame.final_release_s
            lag = (span.voice_s - span.release_s) if span.voice_s is not None else unaspirated
            peak = spread * float(np.clip(lag / own.full_lag_s, own.least_share, 1.0))
            parted = points[-1][1] > edge
            begins = start - own.before_closure_s
            points.append((begins, min(points[-1][1], spread) if parted else own.first_mm))
            if not parted:
                soon = min(start + own.soon_s, span.release_s - own.before_release_s)
                points.append((soon, own.soon_share * peak))
            if "ejective" in span.entry.name:
                # once the air is shut in the folds close too, and open again after the release
                shut = start + own.ejective_share * (span.release_s - start)
                points += [(shut, 0.0), (span.release_s + own.ejective_s, 0.0)]
                continue
            points.append((span.release_s, peak))
            if span.voice_s is not None:
                points += [(span.voice_s, edge), (span.voice_s + own.after_voice_s, 0.0)]
        elif span.entry.manner == "fricative":
            peak = spread * (own.h_share if span.entry.symbol == "h" else 1.0)
            length = span.end_s - span.start_s
            points += [(span.start_s + k * length, peak) for k in own.friction_widest]
            if not last and spans[position + 1].entry.voiced:
                # nearly closed before the narrowing opens, so that no puff follows the hiss
                points.append((span.start_s + own.friction_closed * length, edge))
            elif not last and spans[position + 1].entry.is_stop:
                # one opening for both: after s the stop is not aspirated
                points.append((span.end_s, own.before_stop_share * spread))
        else:
            wide = spread * own.devoiced_share
            points += [(start + own.soon_s, wide), (max(stop, start + own.soon_s + LEAST_S), wide)]
    points += [
        (end + timing().frame.rest_after_s, points[-1][1]),
        (end + timing().frame.rest_after_s + timing().movement.rest_s, breath),
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
    own, (starts, ends) = timing().folds, _edges(plan)
    gate: Bools = np.zeros(len(times_s), dtype=bool)
    for group in plan.groups:
        begin, end = group[0].start_s - own.voice_before_s, group[-1].end_s + own.voice_after_s
        gate |= (times_s >= begin) & (times_s <= end)
    for position, span in enumerate(spans):
        inside = (times_s >= span.start_s) & (times_s < span.end_s)
        if span.entry.symbol == "ʔ":
            gate &= ~inside
        if "partly_devoiced" in span.sound.features:
            gate &= ~(inside & (times_s > span.start_s + own.partly_voiced_share * (span.end_s - span.start_s)))
        if span.entry.is_stop and not span.entry.voiced:
            until = span.voice_s if span.voice_s is not None else span.end_s
            gate &= ~((times_s >= span.hold_s[0] + own.dies_s) & (times_s < until))
        elif span.entry.is_stop and position in starts and not plan.alone:
            before = span.start_s - own.silent_s
            gate &= ~((times_s >= before) & (times_s < (span.voice_s or span.start_s)))
        elif not span.entry.voiced and span.entry.symbol != "ʔ":
            gate &= ~inside
        if position in ends and (not span.entry.voiced or "partly_devoiced" in span.sound.features):
            gate &= ~((times_s >= span.end_s) & (times_s < span.end_s + own.silent_s))
    return gate


def _edges(plan: Schedule) -> tuple[frozenset[int], frozenset[int]]:
    """Indices of the first and of the last sounds of thought groups."""
    return frozenset(g[0].index for g in plan.groups), frozenset(g[-1].index for g in plan.groups)


def _parted(after_s: float, before_s: float, gap: float, breath: float) -> list[tuple[float, float]]:
    """The folds open for breath in a pause, once the lungs no longer press."""
    own = timing().folds
    calm = after_s + min(timing().lungs.over_s, own.pause_calm * (before_s - after_s))
    return [(calm, gap), *((calm + k * (before_s - calm), breath) for k in own.pause_apart)]
