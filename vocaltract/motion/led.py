"""A plan led by a recording: the sounds of an utterance at the times at which they are heard."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np

from articulators.curves import Array
from vocaltract.motion.closures import Closure
from vocaltract.motion.durations import like
from vocaltract.motion.heard import HeardSound, HeardVoice
from vocaltract.motion.schedule import Schedule, Span
from vocaltract.motion.timing import timing

HURRIED_SHARE = 0.4  # of a sound's least duration, under which it is told that the mouth is hurried
SLOPES = (0.4, 2.5)  # how much slower or faster movement may be made so that contact is met


def begins_s(plan: Schedule, heard: HeardVoice) -> float:
    """When in the time of a plan the first sample of its recording sounds."""
    return plan.speech_s[0] - heard.sounds[0].start_s


def led(plan: Schedule, heard: HeardVoice) -> Schedule:
    """A plan of the same sounds with the times of a recording."""
    offset = begins_s(plan, heard)
    spans = tuple(_span(span, sound, offset) for span, sound in zip(plan.spans, heard.sounds, strict=True))
    end = spans[-1].end_s
    rest = timing().frame.rest_after_s + timing().movement.rest_s + 0.1
    return replace(plan, spans=spans, speech_s=(plan.speech_s[0], end), duration_s=end + rest)


def _span(span: Span, heard: HeardSound, offset: float) -> Span:
    start, end = heard.start_s + offset, heard.end_s + offset
    length = end - start
    if span.entry.is_stop:
        if heard.release_s is None or "unreleased" in span.sound.features:
            kept = end + (span.hold_s[1] - span.end_s if span.release == "none" else 0.0)
            return replace(span, start_s=start, end_s=end, hold_s=(start, kept), release_s=None, voice_s=None,
                           release="none")
        shut = heard.release_s + offset
        voice = None if heard.voice_s is None else heard.voice_s + offset
        if voice is None and span.voice_s is not None and span.release_s is not None:
            voice = end if span.entry.manner == "affricate" and not span.entry.voiced else shut
        kind = "oral" if span.release == "none" else span.release
        return replace(span, start_s=start, end_s=max(end, shut), hold_s=(start, shut), release_s=shut, voice_s=voice,
                       release=kind)
    if span.entry.closes:
        hold = (start, end)
    else:
        edge = 0.25 if span.sound.is_vowel else 0.08
        hold = (start + edge * length, end - edge * length)
    release = None if span.release_s is None else end
    return replace(span, start_s=start, end_s=end, hold_s=hold, release_s=release)


def hurried(plan: Schedule, closed: tuple[Closure, ...]) -> tuple[str, ...]:
    """Lines on what is heard faster than mouths are known to move: they warn, and are followed all the same."""
    told, table = [], timing().segment.duration_ms
    for span in plan.spans:
        length_ms = 1000 * ((span.release_s or span.end_s) - span.start_s)
        what = f"{span.sound.symbol} is heard to last {length_ms:.0f} ms"
        least_ms = table[like(span.sound.target, table)][1]
        if span.entry.is_stop and not any(span.index in c.indices for c in closed):
            told.append(f"{what}: too short for the mouth, which does not shut in it")
        elif length_ms < HURRIED_SHARE * least_ms:
            told.append(f"{what}, where the least is about {least_ms:.0f}: the mouth moves faster than people's do")
    return tuple(told)


def met(plan: Schedule, closed: tuple[Closure, ...], duration_s: float) -> tuple[Array, Array]:
    """Times (k,) at which contact was made and broken, and those (k,) at which it is heard to be, both rising.

    What could only be met by movement much slower or faster is left out.
    """
    pairs: list[tuple[float, float, bool]] = []
    for span in plan.spans:
        mine = [c for c in closed if span.index in c.indices]
        if not mine or not span.entry.closes:
            continue
        first, last = all(c.indices[0] == span.index for c in mine), all(c.indices[-1] == span.index for c in mine)
        if last and span.release_s is not None and span.release in ("oral", "lateral"):
            pairs.append((min(c.end_s for c in mine), span.release_s, True))
        if first and span.start_s > plan.speech_s[0]:
            pairs.append((max(c.start_s for c in mine), span.hold_s[0], False))
    kept = [(0.0, 0.0), (duration_s, duration_s)]
    for was, wanted, _ in sorted(pairs, key=lambda pair: not pair[2]):  # releases first
        tried = sorted([*kept, (was, wanted)])
        if all(_near(one, other) for one, other in pairwise(tried)):
            kept = tried
    both = np.array(kept)
    return both[:, 0], both[:, 1]


def _near(one: tuple[float, float], other: tuple[float, float]) -> bool:
    was, wanted = other[0] - one[0], other[1] - one[1]
    return was > 0 and wanted > 0 and SLOPES[0] <= was / wanted <= SLOPES[1]
