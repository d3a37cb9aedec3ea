"""A moment of a course with all that the texts about it are made from: its sound, its phase, its numbers."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from articulators.errors import BadInput, nearest
from renders.wording.languages import language_of
from renders.wording.line import Blank, Line, line
from renders.wording.names import sound_name
from vocaltract.motion.instant import Instant, throat_mm
from vocaltract.motion.limits import motion_limits
from vocaltract.motion.phases import Course
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import organ


@dataclass(frozen=True, slots=True)
class Situation:
    """An instant of a course: what is measured there, and by it the sound that the mouth is making, and which phase."""

    course: Course
    now: Instant

    @property
    def timeline(self) -> Timeline:
        """What is spoken."""
        return self.course.timeline

    @property
    def span(self) -> Span | None:
        """The sound that the mouth is making, None at rest."""
        return None if self.now.span_index is None else self.timeline.spans[self.now.span_index]

    @property
    def phase(self) -> str:
        """Which phase of it, "rest" at rest."""
        return self.now.phase

    @property
    def organs(self) -> tuple[str, ...]:
        """The organs that are shut, in the order of their closures."""
        return tuple(self.now.organs)


def symbol_of(span: Span) -> str:
    """The narrow symbol of a sound, NFD."""
    return unicodedata.normalize("NFD", span.sound.symbol)


def phase_word(phase: str) -> Line:
    """The word of a phase: "shut" for "hold"; BadInput for another phase."""
    return _known("phase", phase)


def organ_word(name: str) -> Line:
    """The word of a closure's organ: "tongue tip" for "coronal"."""
    return _known("organ", name)


def contact_word(name: str, place: str = "") -> Line:
    """The tag of a contact in a picture: "lips meet here" for "lips"; by place where the table knows that place."""
    return _known("touch", place if place in language_of().rows("touch") else name)


def _known(kind: str, key: str) -> Line:
    rows = language_of().rows(kind)
    if key not in rows:
        raise BadInput(f"{kind} {key!r} is unknown; allowed: {', '.join(rows)}{nearest(key, rows)}")
    return Line(f"{kind}.{key}")


def text(here: Situation, kind: str, key: str, **more: Blank) -> Line:
    """A text of a table with those of the sound's blanks that it has; `more` are blanks of its own."""
    known = {**_blanks(here), **more}
    return line(f"{kind}.{key}", **{name: known[name] for name in language_of().blanks(f"{kind}.{key}")})


def _blanks(here: Situation) -> Mapping[str, Blank]:
    span, organs = here.span, here.organs
    found: dict[str, Blank] = dict.fromkeys(("symbol", "name", "keyword", "place", "one", "two"), "")
    if span is not None:
        # of a glide the class alone: its two ends stand in the title of a still
        name = sound_name(span.entry.name)
        glide = isinstance(name, Line) and name.key == "name.diphthong"
        found |= {"symbol": f"[{symbol_of(span)}]", "keyword": span.entry.keyword, "place": tongue_place(span)}
        found["name"] = line("name.diphthong_alone") if glide else name
    if len(organs) > 1:
        found |= {"one": organ_word(organs[0]), "two": organ_word(organs[1])}
    return found


def tongue_place(span: Span) -> Blank:
    """Height and place of the tongue in a vowel; "" in another sound."""
    if span.entry.kind != "vowel":
        return ""
    height, backness = span.entry.place.split()
    return line("tongue.place", height=Line(f"tongue.{height}"), backness=Line(f"tongue.{backness}"))


def by_place(span: Span, kind: str, before: str, after: str = "") -> str:
    """The row of the sound's place where the table has one, else that of the organ that makes it."""
    own = f"{before}{place_of(span)}{after}"
    return own if own in language_of().rows(kind) else f"{before}{organ(span.entry)}{after}"


def place_of(span: Span) -> str:
    """The place of a sound's closure; in words an alveolar may be made at the teeth."""
    return "dental" if "dental" in span.sound.features else span.entry.place


def rest_row(here: Situation) -> str:
    """The row of a mouth at rest: before, about to speak or after."""
    begin, end = here.timeline.speech_s
    if here.now.time_s < begin - motion_limits().phase.ready_s:
        return "rest_before"
    return "rest_ready" if here.now.time_s < (begin + end) / 2 else "rest_after"


def narrow_throat(here: Situation) -> str:
    """The symbol of an r whose throat is narrow in its middle, measured there; "" where it is not."""
    if here.span is None or here.span.entry.symbol not in language_of().rows("throat_cue"):
        return ""
    posture = here.timeline.posture(np.array([sum(here.span.hold_s) / 2]))
    key = tuple(posture.values[0])
    return here.span.entry.symbol if throat_mm(here.timeline.head, key) <= motion_limits().throat.narrow_mm else ""
