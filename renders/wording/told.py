"""A moment of a timeline with what all texts about it need: its sound, its numbers, the words of the table."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import Literal

import numpy as np

from articulators.errors import BadInput, nearest
from renders.wording.texts import table
from vocaltract.motion.instant import Instant, throat_mm
from vocaltract.motion.limits import limits
from vocaltract.motion.phases import Course
from vocaltract.motion.schedule import Span
from vocaltract.phonetics.inventory import organ

Gauge = Literal["pressure", "flow"] | None


@dataclass(frozen=True, slots=True)
class Row:
    """One state: pictogram, title, second line; what the gauge shows, if any, and its level 0..1."""

    icon: str
    title: str
    second: str
    gauge: Gauge = None
    level: float = 0.0


def phase_word(phase: str, technical: bool = False) -> str:
    """The word of a phase: "shut" for "hold"; BadInput for another phase."""
    return _word("phase", phase, technical)


def organ_word(name: str, technical: bool = False) -> str:
    """The word of a closure's organ: "tongue tip" for "coronal"."""
    return _word("organ", name, technical)


def contact_word(name: str, technical: bool = False, place: str = "") -> str:
    """The tag of a contact in a picture: "lips meet here" for "lips"; by place where the table knows that place."""
    return _word("touch", place if place in table()["touch"] else name, technical)


def _word(kind: str, key: str, technical: bool) -> str:
    rows = table()[kind]
    if key not in rows:
        raise BadInput(f"{kind} {key!r} is unknown; allowed: {', '.join(rows)}{nearest(key, rows)}")
    return str(rows[key][technical])


def symbol_of(span: Span) -> str:
    """The narrow symbol of a sound, NFD."""
    return unicodedata.normalize("NFD", span.sound.symbol)


class Told:
    """One moment, for the texts about it."""

    def __init__(self, course: Course, now: Instant, technical: bool) -> None:
        span = None if now.span_index is None else course.timeline.spans[now.span_index]
        self.course, self.timeline, self.span, self.phase = course, course.timeline, span, now.phase
        self.now, self.technical = now, technical
        self.organs = organs = now.organs
        self.fill: dict[str, object] = dict.fromkeys(("symbol", "name", "keyword", "place", "one", "two", "ms"), "")
        if span is not None:
            # of a glide the class alone: its two ends are told in the title of a still
            name = span.entry.name.partition(":")[0]
            self.fill |= {"symbol": f"[{symbol_of(span)}]", "keyword": span.entry.keyword}
            self.fill |= {"name": name[0].upper() + name[1:], "place": self._tongue(span)}
        if len(organs) > 1:
            self.fill |= {"one": organ_word(organs[0], technical), "two": organ_word(organs[1], technical)}

    def _tongue(self, span: Span) -> str:
        if span.entry.kind != "vowel":
            return ""
        height, backness = span.entry.place.split()
        words = table()["tongue"]
        return f"{words[height]}, {words[backness]}"

    def text(self, kind: str, key: str) -> str:
        """A text of the table with its blanks filled."""
        return str(table()[kind][key][self.technical]).format(**self.fill)

    def row(
        self, kind: str, key: str, icon: str, second: str | None = None, gauge: Gauge = None, level: float = 0.0
    ) -> Row:
        """A row of the table; its second line stands beside it unless another is named."""
        under = f"{key}_second" if second is None else second
        return Row(icon, self.text(kind, key), self.text(kind, under), gauge, float(np.clip(level, 0.0, 1.0)))

    def by_place(self, kind: str, before: str, after: str = "") -> str:
        """The row of the sound's place where the table has one, else that of the organ that makes it."""
        assert self.span is not None
        own = f"{before}{self.place_of(self.span)}{after}"
        return own if own in table()[kind] else f"{before}{organ(self.span.entry)}{after}"

    def place_of(self, span: Span) -> str:
        """The place of a sound's closure; in words an alveolar may be made at the teeth."""
        return "dental" if "dental" in span.sound.features else span.entry.place

    def rest(self) -> str:
        """The row of a mouth at rest: before, about to speak or after."""
        begin, end = self.timeline.speech_s
        if self.now.time_s < begin - limits().phase.ready_s:
            return "rest_before"
        return "rest_ready" if self.now.time_s < (begin + end) / 2 else "rest_after"

    def throat(self) -> str:
        """What is said of an r whose throat is narrow in its middle, measured there; "" where it is not."""
        if self.span is None or self.span.entry.symbol not in table()["throat_cue"]:
            return ""
        posture = self.timeline.posture(np.array([sum(self.span.hold_s) / 2]))
        key = tuple(posture.values[0])
        return self.span.entry.symbol if throat_mm(self.timeline.head, key) <= limits().throat.narrow_mm else ""
