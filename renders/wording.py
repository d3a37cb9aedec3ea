"""What is said about a moment of a timeline, in a coach's plain words or in technical ones.

Statements of air and voice are read from the timeline's numbers, never from what a sound is meant to be. All texts
and limits are in data/wording.toml.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import Literal

import numpy as np

from articulators.errors import BadInput, nearest
from renders.instant import Instant, instant, throat_gap_mm, throat_mm
from renders.keymoments import KeyMoment, key_moments
from renders.markstate import last_released
from renders.markstate import numbers as mark_numbers
from renders.phases import current, numbers, phases, span_of, table
from vocaltract.airway.breath import constants
from vocaltract.motion.schedule import Span, organ
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.features import BELOW_THE_PORT

__all__ = [
    "KeyMoment", "Row", "State", "contact_word", "current", "key_moments", "organ_word", "phase_word", "phases",
    "state", "word_parts",
]  # fmt: skip

Gauge = Literal["pressure", "flow"] | None


@dataclass(frozen=True, slots=True)
class Row:
    """One state: pictogram, title, second line; what the gauge shows, if any, and its level 0..1."""

    icon: str
    title: str
    second: str
    gauge: Gauge = None
    level: float = 0.0


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
    cue: str
    detail: str
    contact: Row
    air: Row
    voice: Row


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


def _symbol(span: Span) -> str:
    return unicodedata.normalize("NFD", span.sound.symbol)


def state(timeline: Timeline, time_s: float, technical: bool = False) -> State:
    """What is said at a time in seconds; before the first and after the last sound the mouth rests."""
    index, phase = current(timeline, time_s)
    now = instant(timeline, time_s)
    span = None if index is None else timeline.spans[index]
    said = _Said(timeline, span, phase, now, technical)
    shown = span or (timeline.spans[0] if timeline.alone else None)
    symbol = "" if shown is None else _symbol(shown)
    cue, detail = said.lines()
    return State(index, symbol, phase, cue, detail, said.contact(), said.air(), said.voice())


class _Said:
    """The texts of one moment."""

    def __init__(self, timeline: Timeline, span: Span | None, phase: str, now: Instant, technical: bool) -> None:
        self.timeline, self.span, self.phase, self.now, self.technical = timeline, span, phase, now, technical
        organs = list(dict.fromkeys(c.organ for c in now.closed))
        self.organs = organs
        self.fill: dict[str, object] = dict.fromkeys(("symbol", "name", "keyword", "place", "one", "two", "ms"), "")
        if span is not None:
            # of a glide the class alone: its two ends are told in the title of a still
            name = span.entry.name.partition(":")[0]
            self.fill |= {"symbol": f"[{_symbol(span)}]", "keyword": span.entry.keyword}
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
        return str(table()[kind][key][self.technical]).format(**self.fill)

    def row(
        self, kind: str, key: str, icon: str, second: str | None = None, gauge: Gauge = None, level: float = 0.0
    ) -> Row:
        under = f"{key}_second" if second is None else second
        return Row(icon, self.text(kind, key), self.text(kind, under), gauge, float(np.clip(level, 0.0, 1.0)))

    # cue and detail: the same through a phase

    def lines(self) -> tuple[str, str]:
        if self.span is None:
            key = self._rest()
            return self.text("cue", key), self.text("detail", key)
        if self.phase == "approach":
            return self.text("cue", self._by_place("cue", "approach_")), self.text("detail", "approach")
        if self.phase == "hold":
            return self._hold_lines()
        if self.phase == "release":
            return self._release_lines()
        said = table()["sounds"].get(unicodedata.normalize("NFD", self.span.entry.symbol))
        cue = str(said[self.technical]) if said else self._cue_by_rule()
        if throat := self._throat():
            cue = self.text("throat_cue", throat)
        return cue, self.text("detail", "steady" if self.span.entry.keyword else "steady_ipa")

    def _cue_by_rule(self) -> str:
        """The cue of a sound that has no text of its own: its name, or in plain words what the mouth does."""
        assert self.span is not None
        if self.technical:
            return str(self.fill["name"])
        if self.span.entry.kind == "vowel":
            return self.text("contact", "tongue")
        return self._steady_contact(self.span).title

    def _by_place(self, kind: str, before: str, after: str = "") -> str:
        """The row of the sound's place where the table has one, else that of the organ that makes it."""
        assert self.span is not None
        own = f"{before}{self._place(self.span)}{after}"
        return own if own in table()[kind] else f"{before}{organ(self.span.entry)}{after}"

    def _place(self, span: Span) -> str:
        """The place of a sound's closure; in words an alveolar may be made at the teeth."""
        return "dental" if "dental" in span.sound.features else span.entry.place

    def _rest(self) -> str:
        begin, end = self.timeline.speech_s
        if self.now.time_s < begin - numbers()["ready_s"]:
            return "rest_before"
        return "rest_ready" if self.now.time_s < (begin + end) / 2 else "rest_after"

    def _hold_lines(self) -> tuple[str, str]:
        assert self.span is not None
        entry = self.span.entry
        if entry.manner == "click":
            return self.text("cue", "click"), self.text("detail", "hold_click")
        if len(self.organs) > 1:
            of_one = len(dict.fromkeys(i for c in self.now.closed for i in c.indices)) == 1
            return self.text("cue", "both"), self.text("detail", "both_one" if of_one else "both")
        if entry.manner == "tap":
            return self.text("cue", "tap"), self.text("detail", "hold_tap")
        if entry.manner == "trill":
            return self.text("cue", f"trill_{organ(entry)}"), self.text("detail", "hold_trill")
        cue = self.text("cue", self._by_place("cue", "hold_"))
        for airstream in ("implosive", "ejective"):
            if airstream in entry.name:
                return cue, self.text("detail", f"hold_{airstream}")
        if entry.manner == "nasal":
            return cue, self.text("detail", "hold_nasal")
        if self.span.release == "none":
            kept = self._kept_for()
            if kept:
                self.fill["symbol"] = f"[{kept}]"
            return self.text("cue", "held"), self.text("detail", "same" if kept else "held")
        start, end = self.span.hold_s
        if float(self.timeline.moment(np.array([(start + end) / 2])).voice[0]) >= numbers()["voiced_from"]:
            return cue, self.text("detail", "hold_voiced")
        return cue, self.text("detail", "hold_voice_later" if entry.voiced else "hold_voiceless")

    def _kept_for(self) -> str:
        """The symbol of the next sound where it keeps the same closure."""
        assert self.span is not None
        for closure in self.timeline.closures:
            later = [i for i in closure.indices if i > self.span.index]
            if self.span.index in closure.indices and later:
                return _symbol(self.timeline.spans[later[0]])
        return ""

    def _release_lines(self) -> tuple[str, str]:
        assert self.span is not None and self.span.release_s is not None
        span, entry = self.span, self.span.entry
        if span.release in ("nasal", "lateral"):
            key = "release_through_nose" if span.release == "nasal" else "release_at_sides"
            detail = "release_voice_on" if entry.voiced else "release_no_voice"
            return self.text("cue", key), self.text("detail", detail)
        if entry.manner == "click":
            key = "release_click_sides" if "lateral" in entry.name else "release_click"
            return self.text("cue", key), self.text("detail", "release_click")
        if entry.manner in ("nasal", "tap", "trill"):
            later = self.timeline.moment(np.array([phases(self.timeline, span.index)[-1][2]])).voice[0]
            detail = "release_nasal" if float(later) >= numbers()["voiced_from"] else "release_fades"
            return self.text("cue", f"release_{entry.manner}"), self.text("detail", detail)
        return self._stop_release_lines(span, float(span.release_s or span.hold_s[1]))

    def _stop_release_lines(self, span: Span, release_s: float) -> tuple[str, str]:
        """Puff or not, and when the voice comes: from flow and vibration after the release."""
        limits, hisses = numbers(), span.entry.manner == "affricate"
        after = self.timeline.moment(release_s + np.linspace(0.0, limits["puff_within_s"], 31))
        voiced = np.asarray(after.voice) >= limits["voiced_from"]
        late = not voiced[:15].any()
        puff = late and float(np.max(after.mouth_ml_s)) >= limits["puff_ml_s"]
        cue = self.text("cue", "release_hiss" if hisses else "release_puff" if puff else "release_plain")
        lag_s = 0.0 if span.voice_s is None else span.voice_s - release_s
        if late and lag_s > limits["puff_within_s"] / 3:
            self.fill["ms"] = 5 * round(200 * lag_s)
            return cue, self.text("detail", "release_puff_voice")
        if voiced.any():
            before = self.timeline.moment(np.array([release_s - limits["look_s"]])).voice[0]
            kept = float(before) >= limits["voiced_from"]
            return cue, self.text("detail", "release_voice_kept" if kept else "release_voice")
        return cue, self.text(
            "detail", "release_hiss_only" if hisses else "release_puff_only" if puff else "release_no_voice"
        )

    # contact: what touches or comes near

    def contact(self) -> Row:
        if len(self.organs) > 1:
            return self.row("contact", "both_shut", "both")
        lateral = self.span is not None and self.phase == "steady" and self.span.entry.manner == "lateral approximant"
        if self.organs and not lateral:
            return self.row("contact", self._shut(), "together")
        if self.span is None:
            if self.now.lips_mm <= 0.0:
                return self.row("contact", "lips_at_rest", "together", "rest_second")
            return self.row("contact", "lips_apart", "apart", "moving_second")
        if self.phase == "steady":
            return self._steady_contact(self.span)
        if self.span.entry.manner == "affricate" and self.phase == "release" and self._narrow():
            return self._narrowing(self.span.entry.place)
        way = "closing" if self.phase == "approach" else "opening"
        key = self._by_place("contact", "", f"_{way}")
        if key.startswith("lips_"):
            return self.row("contact", "lips_apart", way, f"{key}_second")
        return self.row("contact", key, way)

    def _shut(self) -> str:
        """The row of a closure by its place: of this sound where it closes, else of the one that is still shut."""
        index = self.now.closed[0].indices[0]
        span = self.span if self.span is not None and self.span.entry.closes else self.timeline.spans[index]
        place, rows = self._place(span), table()["contact"]
        names = [f"tap_{place}_shut", "tap_shut"] if span.entry.manner == "tap" else []
        names += [f"{place}_shut"] if organ(span.entry) == self.organs[0] else []
        return next((n for n in names if n in rows), f"{self.organs[0]}_shut")

    def _steady_contact(self, span: Span) -> Row:
        manner, place = span.entry.manner, span.entry.place
        if manner == "fricative" and place != "glottal":
            return self._narrowing(place)
        if manner.startswith("lateral "):
            touches = min(self.now.coronal_mm, self.now.dorsal_mm) <= 0
            key = "lateral" if touches else "lateral_near"
            if f"lateral_{self._place(span)}" in table()["contact"]:
                key = f"lateral_{self._place(span)}"
            hisses = manner == "lateral fricative"
            return self.row("contact", key, "sides", "lateral_hiss_second" if hisses else "lateral_second")
        if manner == "approximant":
            key = {"labial-velar": "labial_velar", "palatal": "palatal"}.get(place, f"{place}_near")
            if key not in table()["contact"] or span.entry.symbol in table()["throat_cue"]:
                key = "rhotic_tip" if "apical" in span.entry.name else "rhotic"
            second = f"{key}_throat_second" if self._throat() else None
            return self.row("contact", key, "round" if key.startswith("labial") else "raised", second)
        key, icon = "lips_apart", "apart"
        if self.now.rounded >= numbers()["rounded_from"]:
            fully = self.now.rounded >= numbers()["rounded_fully_from"]
            key, icon = "lips_rounded" if fully else "lips_rounded_a_little", "round"
        elif self.now.spread > numbers()["spread_from"]:
            key, icon = "lips_spread", "spread"
        return self.row("contact", key, icon, "tongue_second" if span.entry.kind == "vowel" else "glottal_second")

    def _narrowing(self, place: str) -> Row:
        """The narrow place of a sound; one that the table does not name (two at once) is told without its place."""
        rows = table()["contact"]
        named = place if place not in ("palatal", "labial-velar") else f"{place}_narrow"
        return self.row("contact", named if named in rows else "narrow", "narrow")

    # air: from pressure and flows

    def air(self) -> Row:
        now, limits = self.now, numbers()
        flow, least = now.mouth + now.nose, limits["flow_shown_ml_s"]
        level = flow / limits["full_ml_s"]
        nose, mouth = now.nose >= least, now.mouth >= least
        if self._folds_shut():
            return self.row("air", "folds_shut", "stopped")
        if self.span is not None and self.phase == "hold" and self.span.entry.manner in ("click", "trill"):
            key = "suction" if self.span.entry.manner == "click" else "pulses"
            if not nose:
                return self.row("air", key, "stopped" if key == "suction" else "flow")
        if nose:
            way = "both_ways" if mouth else "nose"
            return self.row("air", way, way, None, "flow", level)
        if burst := self._burst():
            return self.row("air", burst, burst, None, "flow", level)
        if not mouth:
            return self._no_flow()
        voiced = now.voice >= limits["voiced_from"]
        if self._hisses():
            return self.row("air", "buzz" if voiced else "hiss", "hiss", None, "flow", level)
        dying = self.phase == "release" or (self.span is None and self._rest() == "rest_after")
        if not voiced and (dying or now.mouth >= limits["breath_ml_s"]):
            return self.row("air", self._breath(), "breath", None, "flow", level)
        if self.span is not None and self.span.entry.manner == "lateral approximant" and self.phase == "steady":
            return self.row("air", "sides", "flow_sides", None, "flow", level)
        return self.row("air", "flow", "flow", None, "flow", level)

    def _no_flow(self) -> Row:
        now, limits = self.now, numbers()
        tapped = bool(now.closed) and self.timeline.spans[now.closed[0].indices[0]].entry.manner == "tap"
        if tapped:
            return self.row("air", "brief", "stopped")
        if now.closed and now.pressure >= limits["pressure_shown"]:
            if now.after - now.before > limits["rising_share"]:
                return self.row("air", "rising", "rising", None, "pressure", now.pressure)
            return self.row("air", "held", "blocked", None, "pressure", now.pressure)
        if now.closed:
            return self.row("air", "stopped", "stopped", None, "pressure", now.pressure)
        resting = self.span is None and now.port_mm >= limits["port_open_mm"]
        return self.row("air", "none", "still", "rest_second" if resting else "none_second")

    def _folds_shut(self) -> bool:
        """Folds together without voice let no air by, whatever a coarse flow says."""
        said = self.timeline.span_at(self.now.time_s)
        catch = said is not None and said.entry.place == "glottal" and said.entry.manner == "plosive"
        limit = constants()["glottis"]["voicing_gap_mm"]
        return catch and self.now.voice < numbers()["voiced_from"] and self.now.folds_mm < limit

    def _burst(self) -> str:
        """While the picture shows more burst than breath."""
        jet = mark_numbers()["jet"]
        span = last_released(self.timeline, self.now.time_s)
        if span is None or self.now.closed:
            return ""
        shown = self.now.time_s - float(span.release_s or 0.0) <= jet["burst_lasts_s"] + jet["fade_s"] / 2
        return ("weak_burst" if span.entry.voiced else "burst") if shown else ""

    def _hisses(self) -> bool:
        manner = self.span.entry.manner if self.span is not None else ""
        if manner == "lateral fricative":
            return self.now.mouth >= mark_numbers()["hiss"]["flow_ml_s"]
        friction = manner == "fricative" or (manner == "affricate" and self.phase == "release")
        return friction and self.now.mouth >= mark_numbers()["hiss"]["flow_ml_s"] and self._narrow()

    def _narrow(self) -> bool:
        if self.span is not None and self.span.entry.place in BELOW_THE_PORT:
            posture = self.timeline.posture(np.array([self.now.time_s]))
            throat = throat_gap_mm(self.timeline.head, tuple(posture.values[0]))
            return 0 < throat < 1.25 * mark_numbers()["hiss"]["gap_mm"]
        least = min(self.now.lips_mm, self.now.coronal_mm, self.now.dorsal_mm)
        return 0 < least < 1.25 * mark_numbers()["hiss"]["gap_mm"]

    def _throat(self) -> str:
        """What is said of an r whose throat is narrow in its middle, measured there; "" where it is not."""
        if self.span is None or self.span.entry.symbol not in table()["throat_cue"]:
            return ""
        posture = self.timeline.posture(np.array([sum(self.span.hold_s) / 2]))
        key = tuple(posture.values[0])
        return self.span.entry.symbol if throat_mm(self.timeline.head, key) <= numbers()["throat_narrow_mm"] else ""

    def _breath(self) -> str:
        if self.span is None or self.phase == "rest":
            return "breath_end" if self._rest() == "rest_after" else "breath_begin"
        if self.phase == "release":
            return "breath" if self.span.voice_s is not None else "breath_end"
        return "breath_only"

    # voice: from vibration and the gap of the folds

    def voice(self) -> Row:
        if self.now.voice >= numbers()["voiced_from"]:
            nasal = self.now.nose >= numbers()["flow_shown_ml_s"]
            return self.row("voice", "on", "wave", "on_nasal_second" if nasal else "on_second")
        apart = self.now.folds_mm >= constants()["glottis"]["voicing_gap_mm"]
        if self.span is None and self._rest() == "rest_after":
            return self.row("voice", "over", "folds_apart" if apart else "folds_together")
        if apart:
            return self.row("voice", "apart", "folds_apart")
        return self.row("voice", "together", "folds_together", "ready_second" if self._voice_waits() else None)

    def _voice_waits(self) -> bool:
        """Whether the voice is still to start: before the first sound, or in a voiced one not heard yet."""
        said = self.span or self.timeline.spans[0]
        if not said.entry.voiced:
            return False
        ahead = np.arange(self.now.time_s, said.end_s + numbers()["puff_within_s"], 0.004)
        return bool((np.asarray(self.timeline.moment(ahead).voice) >= numbers()["voiced_from"]).any())
