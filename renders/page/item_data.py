"""What a page knows of one item beside its outlines: sounds, phases, events, and what is said when."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Any

import numpy as np

from renders.page.settings import settings
from renders.page.subject import Item
from renders.wording.key_moments import key_moments
from renders.wording.line import Line
from renders.wording.teller import Teller, word_parts
from vocaltract.motion.limits import vibrates
from vocaltract.motion.phases import Course, phases
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline

# Where two items are lined up unless another event is chosen: the first of these that both have.
LINED_UP = ("release", "closure", "vowel", "start")


class NumberedLines:
    """Lines in the order they were first met; each is kept once."""

    def __init__(self) -> None:
        self._numbers: dict[Line, int] = {}

    @property
    def lines(self) -> tuple[Line, ...]:
        """All of them, in their order."""
        return tuple(self._numbers)

    def number(self, text: Line) -> int:
        """The number of a line."""
        return self._numbers.setdefault(text, len(self._numbers))


def item_data(item: Item, texts: NumberedLines) -> dict[str, Any]:
    """One item as plain values, ready for JSON; times in seconds, texts as numbers into `texts`."""
    timeline = item.timeline
    return {
        "name": item.name,
        "sound": item.is_sound,
        "alone": timeline.alone,
        "words": list(timeline.utterance.words),
        "guessed": list(timeline.utterance.guessed),
        "pieces": _pieces(timeline),
        "spans": [_span(timeline, span) for span in timeline.spans],
        "closures": [[c.organ, _s(c.start_s), _s(c.end_s)] for c in timeline.closures],
        "speech": [_s(t) for t in timeline.speech_s],
        "duration": _s(timeline.duration_s),
        "focus": item.focus,
        "states": _states(timeline, texts),
        "moments": [
            [_s(k.time_s), texts.number(k.label), k.span_index]
            for k in key_moments(timeline, settings().texts.most_moments)
        ],
    }


def event_s(data: dict[str, Any], event: str) -> float | None:
    """The time in s of an event of an item's data, on its own clock; None where it has none."""
    if event == "start":
        return float(data["speech"][0])
    found = data["spans"][data["focus"]]["events"][event]
    return None if found is None else float(found)


def usual_event(rows: Sequence[dict[str, Any]]) -> str:
    """The event at which items are lined up at first, by their data."""
    return next(name for name in LINED_UP if all(event_s(data, name) is not None for data in rows))


def _s(time_s: float | None) -> float | None:
    return None if time_s is None else round(float(time_s), 5)


def _pieces(timeline: Timeline) -> list[list[Any]]:
    """The transcription cut at its sounds: [text, number of the sound or None]."""
    whole = unicodedata.normalize("NFD", timeline.utterance.transcription)
    pieces: list[list[Any]] = []
    start = 0
    for number, sound in enumerate(timeline.utterance.sounds):
        symbol = unicodedata.normalize("NFD", sound.symbol)
        found = whole.find(symbol, start)
        if found < 0:
            continue
        if found > start:
            pieces.append([whole[start:found], None])
        pieces.append([symbol, number])
        start = found + len(symbol)
    if start < len(whole):
        pieces.append([whole[start:], None])
    return pieces


def _span(timeline: Timeline, span: Span) -> dict[str, Any]:
    parts = phases(timeline, span.index)
    before, letters, _ = word_parts(timeline, span.index)
    return {
        "symbol": unicodedata.normalize("NFD", span.sound.symbol),
        "kind": span.entry.kind,
        "manner": span.entry.manner,
        "word": span.sound.word,
        "letters": [len(before), len(before) + len(letters)] if letters else None,
        "start": _s(span.start_s),
        "end": _s(span.end_s),
        "phases": [[name, _s(a), _s(b)] for name, a, b in parts],
        "events": _events(timeline, span),
    }


def _events(timeline: Timeline, span: Span) -> dict[str, float | None]:
    """Where films can be lined up: closure, release, voice after it, vowel."""
    vowel = next((s for s in timeline.spans[span.index :] if s.entry.kind == "vowel"), None)
    same_word = vowel is not None and vowel.sound.word == span.sound.word
    return {
        "closure": _s(span.hold_s[0]) if span.entry.closes else None,
        "release": _s(span.release_s),
        "voice": _s(_voice(timeline, span)),
        "vowel": _s(vowel.start_s) if vowel is not None and same_word else None,
        "sound": _s(span.start_s),
    }


def _voice(timeline: Timeline, span: Span) -> float | None:
    """When the voice starts in a sound or, after a release, behind it; None where it does not or was on before."""
    look = settings().states
    times = np.arange(span.start_s, min(span.end_s + look.voice_within_s, timeline.duration_s), look.voice_step_s)
    on = vibrates(timeline.moment(times).voice)
    starts = np.flatnonzero(on[1:] & ~on[:-1])
    return float(times[starts[-1] + 1]) if len(starts) else None


def _states(timeline: Timeline, texts: NumberedLines) -> list[list[Any]]:
    """Runs of one state: [from, sound, phase, cue, detail, contact, air, voice]; icons of the last three behind."""
    rows: list[list[Any]] = []
    look, teller = settings().states, Teller(Course(timeline))
    edges = [t for span in timeline.spans for _, *ends in phases(timeline, span.index) for t in ends]
    for time_s in sorted({*np.arange(0.0, timeline.duration_s, look.step_s), *(t for t in edges if t > 0)}):
        now = teller.at(float(time_s))
        row = [
            now.span_index,
            now.phase,
            texts.number(now.cue),
            texts.number(now.detail),
            texts.number(now.contact.title),
            texts.number(now.air.title),
            texts.number(now.voice.title),
        ]
        if not rows or rows[-1][1:] != row:
            start = _s(time_s)
            if rows and time_s - rows[-1][0] < look.least_s:
                start = rows.pop()[0]  # what comes next is said from there
            if not rows or rows[-1][1:] != row:
                rows.append([start, *row])
    return rows
