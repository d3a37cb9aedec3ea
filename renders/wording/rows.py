"""The rows about a moment: what touches, where the air goes, what the voice does."""

from __future__ import annotations

import numpy as np

from renders.wording.texts import table
from renders.wording.told import Row, Told
from vocaltract.motion.limits import limits, port_open, vibrates
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
        if self.span.entry.manner == "affricate" and self.phase == "release" and self.now.narrow:
            return self._narrowing(self.span.entry.place)
        way = "closing" if self.phase == "approach" else "opening"
        key = self.by_place("contact", "", f"_{way}")
        if key.startswith("lips_"):
            return self.row("contact", "lips_apart", way, f"{key}_second")
        return self.row("contact", key, way)

    def _shut(self) -> str:
        """The row of a closure by its place: of this sound where it closes, else of the one that is still shut."""
        index = self.now.closures[0].indices[0]
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
        if self.now.rounded >= limits().lips.rounded_from:
            fully = self.now.rounded >= limits().lips.rounded_fully_from
            key, icon = "lips_rounded" if fully else "lips_rounded_a_little", "round"
        elif self.now.spread > limits().lips.spread_from:
            key, icon = "lips_spread", "spread"
        return self.row("contact", key, icon, "tongue_second" if span.entry.kind == "vowel" else "glottal_second")

    def _narrowing(self, place: str) -> Row:
        """The narrow place of a sound; one that the table does not name (two at once) is told without its place."""
        rows = table()["contact"]
        named = place if place not in ("palatal", "labial-velar") else f"{place}_narrow"
        return self.row("contact", named if named in rows else "narrow", "narrow")

    def air(self) -> Row:
        """From pressure and flows."""
        now = self.now
        level = (now.mouth_ml_s + now.nose_ml_s) / limits().flow.full_ml_s
        nose, mouth = now.nose_flows, now.mouth_flows
        if now.glottal_catch:
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
        if now.friction:
            return self.row("air", "buzz" if now.vibrates else "hiss", "hiss", None, "flow", level)
        dying = self.phase == "release" or (self.span is None and self.rest() == "rest_after")
        if not now.vibrates and (dying or now.mouth_ml_s >= limits().breath.said_ml_s):
            return self.row("air", self._breath(), "breath", None, "flow", level)
        if self.span is not None and self.span.entry.manner == "lateral approximant" and self.phase == "steady":
            return self.row("air", "sides", "flow_sides", None, "flow", level)
        return self.row("air", "flow", "flow", None, "flow", level)

    def _no_flow(self) -> Row:
        now = self.now
        tapped = bool(now.closures) and self.timeline.spans[now.closures[0].indices[0]].entry.manner == "tap"
        if tapped:
            return self.row("air", "brief", "stopped")
        if now.builds_up:
            if now.pressure_rises:
                return self.row("air", "rising", "rising", None, "pressure", now.pressure_share)
            return self.row("air", "held", "blocked", None, "pressure", now.pressure_share)
        if now.closures:
            return self.row("air", "stopped", "stopped", None, "pressure", now.pressure_share)
        resting = self.span is None and bool(port_open(now.port_mm))
        return self.row("air", "none", "still", "rest_second" if resting else "none_second")

    def _burst(self) -> str:
        """While the picture shows more burst than breath."""
        if self.now.released is None or self.now.burst_shown < 0.5:
            return ""
        return "weak_burst" if self.now.released.entry.voiced else "burst"

    def _breath(self) -> str:
        if self.span is None or self.phase == "rest":
            return "breath_end" if self.rest() == "rest_after" else "breath_begin"
        if self.phase == "release":
            return "breath" if self.span.voice_s is not None else "breath_end"
        return "breath_only"

    def voice(self) -> Row:
        """From vibration and the gap of the folds."""
        if self.now.vibrates:
            return self.row("voice", "on", "wave", "on_nasal_second" if self.now.nose_flows else "on_second")
        apart = not self.now.folds_together
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
        ahead = np.arange(self.now.time_s, said.end_s + limits().breath.puff_within_s, 0.004)
        return bool(vibrates(self.timeline.moment(ahead).voice).any())
