"""What is said about a moment of a timeline, as lines: cue and detail, contact, air and voice."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from articulators.curves import Array
from renders.wording.cues import lines
from renders.wording.key_moments import KeyMoment, key_moments
from renders.wording.line import Line
from renders.wording.situation import Situation, contact_word, organ_word, phase_word, rest_row, symbol_of
from renders.wording.states import StateRow, air_state, contact_state, voice_state
from vocaltract.motion.instant import Instant, instant, instants
from vocaltract.motion.phases import Course, current, phases, span_of
from vocaltract.motion.timeline import Timeline

__all__ = [
    "KeyMoment", "State", "StateRow", "Teller", "contact_word", "current", "key_moments", "organ_word", "phase_word",
    "phases", "state", "word_parts",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class State:
    """What is said about one moment.

    span_index  the sound the mouth is making, None at rest      symbol  its narrow symbol (NFD), "" at rest
    phase       "rest", "approach", "hold", "release" or "steady"
    cue, detail  main line and second line, the same through a phase
    """

    span_index: int | None
    symbol: str
    phase: str
    cue: Line
    detail: Line
    contact: StateRow
    air: StateRow
    voice: StateRow


def word_parts(timeline: Timeline, span_index: int | None) -> tuple[str, str, str]:
    """The word being said, split before, at and after the letters of a sound.

    Where the letters are not known the whole word is the first part; at rest (None) it is all the words.
    """
    words = timeline.utterance.words
    if span_index is None:
        return " ".join(words), "", ""
    sound = span_of(timeline, span_index).sound
    word = words[sound.word]
    if sound.spelling is None:
        return word, "", ""
    start, stop = sound.spelling
    return word[:start], word[start:stop], word[stop:]


class Teller:
    """Says what happens at the moments of one timeline; what holds through a phase is worked out once."""

    def __init__(self, course: Course) -> None:
        self._course = course
        self._lines: dict[Hashable, tuple[Line, Line]] = {}

    def at(self, time_s: float) -> State:
        """What is said at a time in seconds; before the first and after the last sound the mouth rests."""
        return self.of(instant(self._course, time_s))

    def through(self, times_s: Array) -> list[State]:
        """What is said at times (n,) in seconds, in that order."""
        return [self.of(now) for now in instants(self._course, times_s)]

    def of(self, now: Instant) -> State:
        """What is said of an instant of the timeline."""
        timeline = self._course.timeline
        here = Situation(self._course, now)
        shown = here.span or (timeline.spans[0] if timeline.alone else None)
        symbol = "" if shown is None else symbol_of(shown)
        cue, detail = self._of_phase(here)
        rows = contact_state(here), air_state(here), voice_state(here)
        return State(now.span_index, symbol, now.phase, cue, detail, *rows)

    def _of_phase(self, here: Situation) -> tuple[Line, Line]:
        if here.phase == "steady":
            # of a sound without a text of its own, what the lips do at the moment
            return lines(here)
        key = rest_row(here) if here.span is None else (here.span.index, here.phase, here.now.closures)
        if key not in self._lines:
            self._lines[key] = lines(here)
        return self._lines[key]


def state(timeline: Timeline, time_s: float) -> State:
    """What is said at one moment; for many moments of a timeline keep a `Teller`."""
    return Teller(Course(timeline)).at(time_s)
