"""The moments of an utterance that a strip of stills shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from articulators.errors import BadInput
from renders.wording.line import Line
from vocaltract.motion.limits import motion_limits, vibrates
from vocaltract.motion.phases import Phase, phases
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline


@dataclass(frozen=True, slots=True)
class KeyMoment:
    """A moment worth showing: time in seconds, the sound (None at rest) and its label."""

    time_s: float
    span_index: int | None
    label: Line


@dataclass(frozen=True, slots=True)
class _Candidate:
    time_s: float
    index: int | None
    label: str
    rank: float


def key_moments(timeline: Timeline, most: int = 10) -> tuple[KeyMoment, ...]:
    """At most ``most`` moments in order of time, at least 12 ms apart; the important ones are kept.

    Of a stop the hold, the release and the breath; of a nasal the hold; of other sounds the middle of the
    steady part; where two closures overlap "both shut". One sound by itself also has rest and approach.
    BadInput where ``most`` is below 1.
    """
    if most < 1:
        raise BadInput(f"{most} key moments were asked for; allowed: 1 or more")
    found = _overlaps(timeline)
    for span in timeline.spans:
        found += _of(timeline, span)
    if timeline.alone:
        begin, end = timeline.speech_s
        after = end + 0.9 * (timeline.duration_s - end)
        found += [_candidate(0.15 * begin, None, "rest"), _candidate(after, None, "rest")]
    kept: list[_Candidate] = []
    apart = motion_limits().key_moment.apart_s
    for candidate in sorted(found, key=lambda c: (-c.rank, c.time_s)):
        if len(kept) < most and all(abs(candidate.time_s - other.time_s) >= apart for other in kept):
            kept.append(candidate)
    kept.sort(key=lambda c: c.time_s)
    return tuple(KeyMoment(c.time_s, c.index, Line(f"moment.{c.label}")) for c in kept)


def _candidate(time_s: float, index: int | None, label: str, rank: str = "", more: float = 0.0) -> _Candidate:
    return _Candidate(float(time_s), index, label, getattr(motion_limits().rank, rank or label) + more)


def _overlaps(timeline: Timeline) -> list[_Candidate]:
    found = []
    for first in timeline.closures:
        for second in timeline.closures:
            start, end = max(first.start_s, second.start_s), min(first.end_s, second.end_s)
            if first.start_s < second.start_s and end - start > motion_limits().phase.shortest_s:
                middle = (start + end) / 2
                said = timeline.span_at(middle)
                index = said.index if said is not None else first.indices[-1]
                found.append(_candidate(middle, index, "both"))
    return found


def _of(timeline: Timeline, span: Span) -> list[_Candidate]:
    parts: dict[str, Phase] = {part[0]: part for part in phases(timeline, span.index)}
    if "steady" in parts:
        return _steady(span)
    found = []
    if timeline.alone and "approach" in parts:
        _, start, end = parts["approach"]
        found.append(_candidate((start + end) / 2, span.index, "approach"))
    found.append(_hold(timeline, span, parts["hold"]))
    if "release" in parts:
        found += _release(timeline, span, parts["release"])
    return found


def _hold(timeline: Timeline, span: Span, hold: Phase) -> _Candidate:
    _, start, end = hold
    label = {"nasal": "hold_nasal", "tap": "hold_tap"}.get(span.entry.manner, "hold")
    if span.release == "none" and span.entry.is_stop:
        label = "held"
    share, more = 0.5, 0.0
    overlapping = [c for c in timeline.closures if span.index not in c.indices and c.start_s < end and c.end_s > start]
    for other in overlapping:
        # show the part in which only this one is shut
        if other.start_s > start:
            end = min(end, other.start_s)
        else:
            start = max(start, min(other.end_s, end - 0.01))
            more = motion_limits().rank.overlapped
    if timeline.alone and not span.entry.voiced:
        share = 0.8
    rank = "hold" if label == "held" else label
    return _candidate(start + share * (end - start), span.index, label, rank, more)


def _release(timeline: Timeline, span: Span, release: Phase) -> list[_Candidate]:
    _, start, end = release
    later = min(motion_limits().key_moment.first_s, 0.4 * (end - start))
    if span.entry.manner in ("nasal", "tap"):
        return [_candidate(start + later, span.index, "release_nasal")]
    last = span.index == len(timeline.spans) - 1
    rank = "release"
    if last and not timeline.alone:
        # what the curve of air shows at the end is shown as a picture too
        peak = float(timeline.moment(np.linspace(start, end, 31)).mouth_ml_s.max())
        rank = "release_last_seen" if peak >= motion_limits().key_moment.curve_shows_ml_s else "release_last"
    if span.entry.manner == "affricate":
        let_go = _candidate(start + later, span.index, "release", rank)
        return [let_go, _candidate((start + end) / 2, span.index, "hiss_after")]
    voice = timeline.moment(np.array([start + motion_limits().breath.puff_within_s / 2, (start + end) / 2])).voice
    aspirated = not vibrates(voice).any() and end - start > 0.03
    found = [_candidate(start + later, span.index, "release_puff" if aspirated else "release", rank)]
    if aspirated and (timeline.alone or not last):
        length = end - start if span.voice_s is None else min(span.voice_s, end) - start
        found.append(_candidate(start + motion_limits().key_moment.breath_at_share * length, span.index, "breath"))
    elif timeline.alone and span.entry.voiced:
        before = timeline.moment(np.array([start - 0.01])).voice[0]
        label = "voice_kept" if vibrates(before) else "voice"
        found.append(_candidate((start + end) / 2, span.index, label, "voice"))
    return found


def _steady(span: Span) -> list[_Candidate]:
    start, end = span.hold_s
    middle, entry = (start + end) / 2, span.entry
    if entry.kind == "vowel":
        more = motion_limits().rank.unstressed if span.sound.stress == 0 else 0.0
        if len(entry.posture) < 2:
            return [_candidate(middle, span.index, "vowel", "", more)]
        ends = span.end_s - 0.12 * (span.end_s - span.start_s)
        return [
            _candidate(start, span.index, "vowel_starts", "vowel", more),
            _candidate(ends, span.index, "vowel_ends", "", more),
        ]
    if entry.manner == "fricative":
        return [_candidate(middle, span.index, "breath_only" if entry.place == "glottal" else "hiss", "hiss")]
    if entry.place == "glottal":
        return [_candidate(middle, span.index, "catch")]
    label = "sides" if entry.manner == "lateral approximant" else "glide"
    return [_candidate(middle, span.index, label)]
