"""What `vocaltract timing` says: gestures, sounds and stops in time, as text in columns and as plain values."""

from __future__ import annotations

from typing import Any

from renders.tables.columns import in_columns
from vocaltract.motion.events import gestures, stops
from vocaltract.motion.timeline import Timeline

DIGITS = 4  # of seconds: a tenth of a millisecond


def timing_values(timeline: Timeline) -> dict[str, Any]:
    """Everything as plain values; times in seconds from the start of speech. The README says what the fields are."""
    begin, end = timeline.speech_s
    utterance = timeline.utterance
    return {
        "transcription": utterance.transcription,
        "words": list(utterance.words),
        "duration_s": _rounded(end - begin),
        "rules": _rules(timeline),
        "segments": [
            {
                "symbol": span.sound.symbol,
                "phoneme": span.sound.phoneme,
                "kind": span.entry.manner,
                "name": span.entry.name,
                "word": span.sound.word,
                "syllable": span.sound.syllable,
                "start_s": _rounded(span.start_s - begin),
                "end_s": _rounded(span.end_s - begin),
            }
            for span in timeline.spans
        ],
        "stops": [
            {
                "symbol": stop.symbol,
                "segment": stop.index,
                "organ": stop.organ,
                "closure_s": _rounded(stop.closure_s),
                "release_s": _rounded(stop.release_s),
                "voicing_onset_s": _rounded(stop.voicing_onset_s),
                "voice_onset_time_s": _rounded(stop.voice_onset_time_s),
            }
            for stop in stops(timeline)
        ],
        "gestures": [
            {
                "articulator": gesture.articulator,
                "what": gesture.what,
                "symbol": gesture.symbol,
                "segment": gesture.index,
                "start_s": _rounded(gesture.start_s),
                "full_s": _rounded(gesture.full_s),
                "leave_s": _rounded(gesture.leave_s),
                "end_s": _rounded(gesture.end_s),
            }
            for gesture in gestures(timeline)
        ],
    }


def _rules(timeline: Timeline) -> list[dict[str, Any]]:
    """The rules that fired, in their order: where, what became of it, why in plain and in technical words."""
    utterance = timeline.utterance
    return [
        {
            "name": fired.rule.name,
            "plain": fired.rule.plain,
            "technical": fired.rule.technical,
            "source": fired.rule.source,
            "where": {
                "segment": fired.sound,
                "word": utterance.words[fired.word] if fired.word < len(utterance.words) else utterance.text,
                "before": fired.before,
                "after": fired.after,
            },
        }
        for fired in utterance.trace
    ]


def _rounded(seconds: float | None) -> float | None:
    # + 0.0: no negative zero
    return None if seconds is None else round(seconds, DIGITS) + 0.0


def timing_text(timeline: Timeline, explain: str | None = None) -> str:
    """Tables of gestures and stops in milliseconds; with `explain` "plain" or "technical" also of the rules."""
    begin, end = timeline.speech_s
    blocks = [
        [f"{' '.join(timeline.utterance.words)}  {timeline.utterance.transcription}"],
        [f"times in ms from the start of speech; speech takes {_ms(end - begin)} ms"],
        ["", "gestures", *in_columns(_gesture_rows(timeline), right=(0, 1, 2, 3))],
    ]
    stopped = _stop_rows(timeline)
    if len(stopped) > 1:
        blocks.append(["", "stops", *in_columns(stopped, right=(1, 2, 3, 4, 5))])
    if explain is not None:
        blocks.append(["", "rules", *_rule_lines(timeline, explain)])
    return "\n".join(line for block in blocks for line in block)


def _gesture_rows(timeline: Timeline) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("start", "there", "left", "end", "articulator", "does", "for")]
    for g in gestures(timeline):
        times = (_ms(g.start_s), _ms(g.full_s), _ms(g.leave_s), _ms(g.end_s))
        rows.append((*times, g.articulator, g.what, f"[{g.symbol}]"))
    return rows


def _stop_rows(timeline: Timeline) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("stop", "shut", "let go", "hold", "voice", "voice after", "")]
    for stop in stops(timeline):
        let_go, hold, note = "-", "-", "held: no audible release"
        if stop.release_s is not None:
            let_go, hold, note = _ms(stop.release_s), _ms(stop.release_s - stop.closure_s), ""
            lag = stop.voice_onset_time_s
            if lag is None:
                note = "no voice follows"
            elif lag < 0:
                note = "voice through the hold"
        voice = "-" if stop.voicing_onset_s is None else _ms(stop.voicing_onset_s)
        after = "-" if stop.voice_onset_time_s is None else _ms(stop.voice_onset_time_s)
        rows.append((f"[{stop.symbol}]", _ms(stop.closure_s), let_go, hold, voice, after, note))
    return rows


def _rule_lines(timeline: Timeline, explain: str) -> list[str]:
    rows = []
    for rule in _rules(timeline):
        where = rule["where"]
        change = where["before"] if where["before"] == where["after"] else f"{where['before']} > {where['after']}"
        rows.append((where["word"], f"[{change}]", rule["name"], rule[explain]))
    return in_columns(rows) if rows else ["none: every sound is said as it is written"]


def _ms(seconds: float) -> str:
    return str(round(1000 * seconds) + 0)
