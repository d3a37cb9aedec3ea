"""What the page knows of one text beside its outlines: sounds, phases, events, and what is said when."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Any

import numpy as np

from renders.page.catalogue import told
from renders.page.shown import Shown
from renders.wording import teller
from renders.wording.key_moments import key_moments
from vocaltract.motion.limits import vibrates
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline

STATE_STEP_S = 0.005
LEAST_S = 0.010  # a state that lasts less is not said: nobody could read it


class Texts:
    """Texts in the order they were first met; each is kept once."""

    def __init__(self) -> None:
        self.rows: list[dict[str, Any]] = []
        self._seen: dict[tuple[tuple[str, ...], str], int] = {}

    def number(self, kinds: tuple[str, ...], text: str) -> int:
        """The number of a text of these tables."""
        key = (kinds, text)
        if key not in self._seen:
            self._seen[key] = len(self.rows)
            self.rows.append(told(kinds, text))
        return self._seen[key]


def described(half: Shown, texts: Texts) -> dict[str, Any]:
    """One half as plain values, ready for JSON; times in seconds, texts as numbers into `texts`."""
    shown = half.timeline
    return {
        "name": half.name,
        "sound": half.is_sound,
        "alone": shown.alone,
        "words": list(shown.utterance.words),
        "guessed": list(shown.utterance.guessed),
        "pieces": _pieces(shown),
        "spans": [_span(shown, span) for span in shown.spans],
        "closures": [[c.organ, _s(c.start_s), _s(c.end_s)] for c in shown.closures],
        "speech": [_s(t) for t in shown.speech_s],
        "duration": _s(shown.duration_s),
        "focus": half.focus,
        "states": _states(shown, texts),
        "moments": [
            [_s(k.time_s), texts.number(("moment",), k.label_plain), k.span_index] for k in key_moments(shown, 8)
        ],
    }


# Where two halves are lined up unless another event is chosen: the first of these that both have.
LINED_UP = ("release", "closure", "vowel", "start")


def event_s(half: dict[str, Any], event: str) -> float | None:
    """The time of an event of a described half, on its own clock; None where it has none."""
    if event == "start":
        return float(half["speech"][0])
    found = half["spans"][half["focus"]]["events"][event]
    return None if found is None else float(found)


def usual_event(halves: Sequence[dict[str, Any]]) -> str:
    """The event at which described halves are lined up at first."""
    return next(name for name in LINED_UP if all(event_s(half, name) is not None for half in halves))


def _s(time_s: float | None) -> float | None:
    return None if time_s is None else round(float(time_s), 5)


def _pieces(shown: Timeline) -> list[list[Any]]:
    """The transcription cut at its sounds: [text, number of the sound or None]."""
    whole = unicodedata.normalize("NFD", shown.utterance.transcription)
    pieces: list[list[Any]] = []
    start = 0
    for number, sound in enumerate(shown.utterance.sounds):
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


def _span(shown: Timeline, span: Span) -> dict[str, Any]:
    parts = teller.phases(shown, span.index)
    before, letters, _ = teller.word_parts(shown, span.index)
    return {
        "symbol": unicodedata.normalize("NFD", span.sound.symbol),
        "kind": span.entry.kind,
        "manner": span.entry.manner,
        "word": span.sound.word,
        "letters": [len(before), len(before) + len(letters)] if letters else None,
        "start": _s(span.start_s),
        "end": _s(span.end_s),
        "phases": [[name, _s(a), _s(b)] for name, a, b in parts],
        "events": _events(shown, span),
        "why": [rule.plain for rule in span.sound.rules],
    }


def _events(shown: Timeline, span: Span) -> dict[str, float | None]:
    """Where films can be lined up: closure, release, voice after it, vowel."""
    vowel = next((s for s in shown.spans[span.index :] if s.entry.kind == "vowel"), None)
    same_word = vowel is not None and vowel.sound.word == span.sound.word
    return {
        "closure": _s(span.hold_s[0]) if span.entry.closes else None,
        "release": _s(span.release_s),
        "voice": _s(_voice(shown, span)),
        "vowel": _s(vowel.start_s) if vowel is not None and same_word else None,
        "sound": _s(span.start_s),
    }


def _voice(shown: Timeline, span: Span) -> float | None:
    """When the voice starts in a sound or, after a release, behind it; None where it does not or was on before."""
    times = np.arange(span.start_s, min(span.end_s + 0.12, shown.duration_s), 0.001)
    on = vibrates(shown.moment(times).voice)
    starts = np.flatnonzero(on[1:] & ~on[:-1])
    return float(times[starts[-1] + 1]) if len(starts) else None


def _states(shown: Timeline, texts: Texts) -> list[list[Any]]:
    """Runs of one state: [from, sound, phase, cue, detail, contact, air, voice]; icons of the last three behind."""
    rows: list[list[Any]] = []
    edges = [t for span in shown.spans for _, *ends in teller.phases(shown, span.index) for t in ends]
    for time_s in sorted({*np.arange(0.0, shown.duration_s, STATE_STEP_S), *(t for t in edges if t > 0)}):
        now = teller.state(shown, float(time_s))
        row = [
            now.span_index,
            now.phase,
            texts.number(("cue", "throat_cue", "sounds"), now.cue),
            texts.number(("detail",), now.detail),
            texts.number(("contact",), now.contact.title),
            texts.number(("air",), now.air.title),
            texts.number(("voice",), now.voice.title),
        ]
        if not rows or rows[-1][1:] != row:
            start = _s(time_s)
            if rows and time_s - rows[-1][0] < LEAST_S:
                start = rows.pop()[0]  # what comes next is said from there
            if not rows or rows[-1][1:] != row:
                rows.append([start, *row])
    return rows
