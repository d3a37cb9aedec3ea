"""What is shown of two sounds: what was measured and is said, and the moments where they differ and where not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from renders.insets.folds import folds_word
from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.pairs.layout import pair_layout
from renders.pairs.small_view import Kind
from renders.sideview.burst import brief_burst
from renders.tracks.layout import tracks_layout
from renders.tracks.pair_row import TrackRow
from renders.tracks.pair_tracks import MarkedSpan, PairTracks
from renders.wording.event_words import event_label, event_title
from renders.wording.languages import Language
from renders.wording.line import Blank, Line, Series, line
from renders.wording.pair_statement import statement_of
from renders.wording.statement import Statement, noun, place_words
from renders.wording.thresholds import thresholds
from vocaltract.motion.limits import port_open
from vocaltract.naming.named import echo
from vocaltract.pairs.difference import Difference, SoundMeasures, difference, middle_s
from vocaltract.pairs.event import Alignment
from vocaltract.pairs.occurrences import Comparison, Occurrence, example_occurrences
from vocaltract.phonetics.inventory import SoundEntry
from vocaltract.speech import USUAL, Speech


@dataclass(frozen=True)
class ComparedPair:
    """All that is shown of a pair: both sounds, what was measured and is said, and the moments shown.

    held   both in their hold, for what is the same or for the two outlines
    shown  both where they differ
    asked_for  the sounds that were named as such
    """

    said: tuple[Occurrence, Occurrence]
    measures: tuple[SoundMeasures, SoundMeasures]
    difference: Difference
    statement: Statement
    position: str
    held: tuple[Moment, Moment]
    shown: tuple[Moment, Moment]
    asked_for: tuple[SoundEntry, ...] = ()


def compared_sounds(a: SoundEntry, b: SoundEntry, speech: Speech = USUAL) -> ComparedPair:
    """Two sounds measured, put into words and brought to the moments that are drawn; no style yet."""
    return compared_pair(Comparison(*example_occurrences(a, b, speech)))


def compared_pair(two: Comparison) -> ComparedPair:
    """The two sounds of texts (or of the words chosen for them) measured and said, at the moments shown."""
    first, second, position = two.first, two.second, two.position
    said = (first, second)
    d = difference(first.timeline, second.timeline, (first.index, second.index))
    statement = statement_of(two, d)
    measures = (d.first, d.second)

    def at(times: tuple[float, float]) -> tuple[Moment, Moment]:
        return moment(first.timeline, times[0]), moment(second.timeline, times[1])

    looked = at((look_s(first, d.first, d, statement.kind), look_s(second, d.second, d, statement.kind)))
    if d.moved:
        held = at((d.first.middle_s, d.second.middle_s))
    else:
        held = at((look_s(first, d.first, d, "held"), look_s(second, d.second, d, "held")))
    shown = (brief_burst(looked[0]), brief_burst(looked[1]))
    return ComparedPair(said, measures, d, statement, position, held, shown, two.asked_for)


def pair_report(pair: ComparedPair, language: Language) -> dict[str, Any]:
    """What a comparison says, for --json: position, words, transcriptions, title, sentences, notes."""
    words = [said.word or f"[{said.entry.symbol}]" for said in pair.said]
    return {
        "position": pair.position,
        "words": words,
        "transcriptions": [said.timeline.utterance.transcription for said in pair.said],
        "title": language.say(pair.statement.title),
        "statement": language.sentences(pair.statement.plain),
        "technical": language.sentences(pair.statement.technical),
        "unseen": language.sentences(pair.statement.unseen),
        "language": language.key,
        "taken": [echo(entry) for entry in pair.asked_for],
        "notes": list(dict.fromkeys(note for said in pair.said for note in said.timeline.utterance.notes)),
    }


def look_s(said: Occurrence, m: SoundMeasures, d: Difference, about: str) -> float:
    """The moment in s at which a sound is shown: where the two differ most."""
    if about == "onset" and m.release_s is not None:
        onsets = sorted(o for o in (d.first.voice_onset_s, d.second.voice_onset_s) if o is not None)
        after = pair_layout().shown_from.onset_look_s
        apart = pair_layout().shown.onset_margin_s
        if not onsets[0] + apart < after < onsets[-1] - apart:
            after = sum(onsets) / len(onsets)
        return m.release_s + after
    start, end = said.span.hold_s
    if said.entry.is_stop:
        return start + pair_layout().shown.stop_at * (end - start)
    return start + pair_layout().shown.closed_at * (end - start) if said.entry.closes else middle_s(said.span)


def view_beside(pair: ComparedPair) -> Kind | None:
    """What is shown beside the side view.

    The contact of the tongue from below where a side view cannot show the difference, the folds where the voice
    differs, else the lips, else None.
    """
    d = pair.difference
    if pair.statement.unseen:
        return "palate"
    if d.voice or (d.folds and not d.moved):
        return "folds"
    opening = abs(d.first.lips_gap_mm - d.second.lips_gap_mm)
    rounder = abs(d.first.lips_round - d.second.lips_round)
    least = pair_layout().shown_from
    seen = rounder > thresholds().said.rounder or opening > least.lips_wider_mm or d.lips_mm > least.lips_moved_mm
    return "lips" if "lips" in d.moved and seen else None


def caption(pair: ComparedPair, number: int) -> Line:
    """What is to be seen of one of the two where they differ."""
    said, shown, about = pair.said[number], pair.shown[number], pair.statement.kind
    m, other = pair.measures[number], pair.measures[1 - number]
    least = pair_layout().shown.least_mm
    if about == "onset" and m.release_s is not None:
        when = line("pair_caption.after", ms=round(1000 * (shown.time_s - m.release_s)))
        return _of(when, _folds(shown), _air(shown))
    if about == "hold":
        return _of(Line("pair_caption.held"), _folds(shown), _air(shown))
    if about == "nose":
        palate_is = "palate_down" if port_open(m.port_mm) else "palate_up"
        return _of(Line(f"pair_caption.{palate_is}"), _air(shown))
    if about == "shape":
        rise, drop = m.tongue_top_mm[1] - other.tongue_top_mm[1], m.jaw_mm - other.jaw_mm
        parts = [Line(f"pair_caption.{'higher' if rise > 0 else 'lower'}")] if abs(rise) > least else []
        parts += [Line(f"pair_caption.{'jaw_lower' if drop > 0 else 'jaw_higher'}")] if abs(drop) > least else []
        return _of(Line("pair_caption.steady"), *(parts or [noun(m, said.entry)]))
    return _of(noun(m, said.entry), _air(shown))


def _of(what: Line, *parts: Blank) -> Line:
    """A caption: when or what, and what is seen there."""
    return line("pair_caption.of", what=what, parts=Series(parts))


def _folds(shown: Moment) -> Line:
    word = folds_word(shown.instant.folds_mm, shown.instant.voice)
    return Line(f"pair_caption.{word.key.replace('.', '_')}")


def _air(shown: Moment) -> Line:
    now = shown.instant
    if now.nose_flows:
        return Line("pair_caption.air_nose")
    if now.sides_open:
        return Line("pair_caption.air_sides")
    if now.closures:
        return Line("pair_caption.air_held")
    if not now.mouth_flows:
        return Line("pair_caption.air_none")
    if now.friction:
        return Line("pair_caption.air_hiss")
    return Line("pair_caption.air_flows" if now.vibrates else "pair_caption.air_breath")


def tracks_of(pair: ComparedPair, way: Alignment, window_s: tuple[float, float] | None = None) -> PairTracks:
    """Both sounds in time, aligned in that way; `window_s`: seconds seen before and after the zero."""
    rows = _rows(pair, way)
    return PairTracks(rows, event_title(way.name), event_label(way.name), _span_that_differs(pair, rows), window_s)


def _rows(pair: ComparedPair, way: Alignment) -> tuple[TrackRow, ...]:
    return tuple(
        TrackRow(s.entry.symbol, s.timeline, zero, s.index, place_words(m, s.entry), m.degree)
        for s, m, zero in zip(pair.said, pair.measures, way.zeros_s, strict=True)
    )


def _span_that_differs(pair: ComparedPair, rows: Sequence[TrackRow]) -> MarkedSpan | None:
    """The stretch in which the two differ, from the zero of the axis; None where nothing does."""
    d, statement = pair.difference, pair.statement
    if statement.kind == "none":
        return None
    if statement.kind == "onset" and d.first.voice_onset_s is not None and d.second.voice_onset_s is not None:
        onsets = (d.first.voice_onset_s, d.second.voice_onset_s)
        return MarkedSpan(min(onsets), max(onsets), statement.bracket)
    seen = tracks_layout().pair
    starts, ends = [], []
    for said, row in zip(pair.said, rows, strict=True):
        span = said.span
        start, end = (span.start_s, span.end_s) if said.entry.kind == "vowel" else span.hold_s
        starts.append(start - row.zero_s)
        ends.append(end - row.zero_s)
    return MarkedSpan(max(min(starts), -seen.before_s), min(max(ends), seen.after_s), statement.bracket)
