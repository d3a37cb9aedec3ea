"""The rows about a moment: what touches, where the air goes, what the voice does."""

from __future__ import annotations

import numpy as np

from renders.marks.state import last_released
from renders.marks.state import numbers as mark_numbers
from renders.wording.texts import table
from renders.wording.told import Row, Told
from vocaltract.airway.air import speech_air
from vocaltract.ipa.features import BELOW_THE_PORT
from vocaltract.motion.instant import throat_gap_mm
from vocaltract.motion.phases import numbers
from vocaltract.motion.schedule import Span
from vocaltract.phonetics.inventory import organ


class Rows(Told):
    """The three rows; air and voice are read from the timeline's numbers."""

    def contact(self) -> Row:
        """What touches or comes near."""
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
            return self.steady_contact(self.span)
        if self.span.entry.manner == "affricate" and self.phase == "release" and self._narrow():
            return self._narrowing(self.span.entry.place)
        way = "closing" if self.phase == "approach" else "opening"
        key = self.by_place("contact", "", f"_{way}")
        if key.startswith("lips_"):
            return self.row("contact", "lips_apart", way, f"{key}_second")
        return self.row("contact", key, way)

    def _shut(self) -> str:
        """The row of a closure by its place: of this sound where it closes, else of the one that is still shut."""
        index = self.now.closed[0].indices[0]
        span = self.span if self.span is not None and self.span.entry.closes else self.timeline.spans[index]
        place, rows = self.place_of(span), table()["contact"]
        names = [f"tap_{place}_shut", "tap_shut"] if span.entry.manner == "tap" else []
        names += [f"{place}_shut"] if organ(span.entry) == self.organs[0] else []
        return next((n for n in names if n in rows), f"{self.organs[0]}_shut")

    def steady_contact(self, span: Span) -> Row:
        """What a sound that holds nothing shut does."""
        manner, place = span.entry.manner, span.entry.place
        if manner == "fricative" and place != "glottal":
            return self._narrowing(place)
        if manner.startswith("lateral "):
            touches = min(self.now.coronal_mm, self.now.dorsal_mm) <= 0
            key = "lateral" if touches else "lateral_near"
            if f"lateral_{self.place_of(span)}" in table()["contact"]:
                key = f"lateral_{self.place_of(span)}"
            hisses = manner == "lateral fricative"
            return self.row("contact", key, "sides", "lateral_hiss_second" if hisses else "lateral_second")
        if manner == "approximant":
            key = {"labial-velar": "labial_velar", "palatal": "palatal"}.get(place, f"{place}_near")
            if key not in table()["contact"] or span.entry.symbol in table()["throat_cue"]:
                key = "rhotic_tip" if "apical" in span.entry.name else "rhotic"
            second = f"{key}_throat_second" if self.throat() else None
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

    def air(self) -> Row:
        """From pressure and flows."""
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
        dying = self.phase == "release" or (self.span is None and self.rest() == "rest_after")
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
        limit = speech_air().glottis.voicing_gap_mm
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

    def _breath(self) -> str:
        if self.span is None or self.phase == "rest":
            return "breath_end" if self.rest() == "rest_after" else "breath_begin"
        if self.phase == "release":
            return "breath" if self.span.voice_s is not None else "breath_end"
        return "breath_only"

    def voice(self) -> Row:
        """From vibration and the gap of the folds."""
        if self.now.voice >= numbers()["voiced_from"]:
            nasal = self.now.nose >= numbers()["flow_shown_ml_s"]
            return self.row("voice", "on", "wave", "on_nasal_second" if nasal else "on_second")
        apart = self.now.folds_mm >= mark_numbers()["flow"]["folds_shut_mm"]  # as the picture shows them
        if self.span is None and self.rest() == "rest_after":
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
