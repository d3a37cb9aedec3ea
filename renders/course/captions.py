"""Captions of a film: what the mouth does at each time of the film, and the same as WebVTT."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from renders.wording.languages import Language
from renders.wording.line import Line
from renders.wording.shipped import FIRST
from renders.wording.teller import Teller
from vocaltract.motion.phases import Course
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline


@dataclass(frozen=True, slots=True)
class Cue:
    """From start_s to end_s of the film, which is speech_ms after speech begins: the sound, what happens."""

    start_s: float
    end_s: float
    speech_ms: int
    symbol: str
    text: str


def cues(timeline: Timeline, playback: Playback, fps: float, language: Language) -> tuple[Cue, ...]:
    """One cue for each stretch of frames that say the same, from the first frame to the end of the film."""
    times = playback.frame_times_s(fps)
    states = Teller(Course(timeline)).through(times)
    said: list[tuple[str, Line]] = [("" if state.span_index is None else state.symbol, state.cue) for state in states]
    starts = [i for i in range(len(said)) if i == 0 or said[i] != said[i - 1]]
    found = []
    for start, end in zip(starts, [*starts[1:], len(said)], strict=True):
        at_ms = round(1000 * (float(times[start]) - timeline.speech_s[0]))
        symbol, cue = said[start]
        found.append(Cue(start / fps, end / fps, at_ms, symbol, language.say(cue)))
    return tuple(found)


def joined(found: Sequence[Cue], least_s: float) -> tuple[Cue, ...]:
    """Cues that stand at least `least_s`: a shorter one shares the time of what follows, a line for each sound."""
    groups: list[list[Cue]] = []
    for cue in found:
        if not groups or groups[-1][-1].end_s - groups[-1][0].start_s >= least_s - 1e-9:
            groups.append([])
        groups[-1].append(cue)
    if len(groups) > 1 and groups[-1][-1].end_s - groups[-1][0].start_s < least_s - 1e-9:
        groups[-2:] = [groups[-2] + groups[-1]]
    return tuple(replace(group[0], end_s=group[-1].end_s, symbol="", text=_lines(group)) for group in groups)


def _lines(group: Sequence[Cue]) -> str:
    seen: set[str] = set()
    lines: dict[str, list[str]] = {}
    for cue in group:
        if cue.text not in seen:
            lines.setdefault(cue.symbol, []).append(cue.text)
        seen.add(cue.text)
    joints = ((f"{symbol} – " if symbol else "", " · ".join(texts)) for symbol, texts in lines.items())
    return "\n".join(f"{start}{text}" for start, text in joints)


def webvtt(found: Sequence[Cue], language: Language) -> str:
    """The text of a WebVTT file; another language than English is marked with its tag in each cue.

    Source of the form: W3C, WebVTT: The Web Video Text Tracks Format.
    """
    blocks = ["WEBVTT"]
    for number, cue in enumerate(found, start=1):
        text = cue.text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        text = text if language.key == FIRST else f"<lang {language.tag}>{text}</lang>"
        blocks.append(f"{number}\n{_stamp(cue.start_s)} --> {_stamp(cue.end_s)} line:0\n{text}")
    return "\n\n".join(blocks) + "\n"


def _stamp(seconds: float) -> str:
    # whole milliseconds, rounded down, so that no cue ends after its film
    thousandths = int(np.floor(seconds * 1000 + 1e-6))
    minutes, rest = divmod(thousandths, 60_000)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{rest // 1000:02d}.{rest % 1000:03d}"
