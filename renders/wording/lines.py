"""The two lines about a moment, cue and detail: the same through a phase."""

from __future__ import annotations

import unicodedata

import numpy as np

from renders.wording.rows import Rows
from renders.wording.texts import table
from renders.wording.told import symbol_of
from vocaltract.motion.limits import limits, vibrates
from vocaltract.motion.schedule import Span
from vocaltract.phonetics.inventory import organ


class Lines(Rows):
    """Cue and detail."""

    def lines(self) -> tuple[str, str]:
        """Main line and second line."""
        if self.span is None:
            key = self.rest()
            return self.text("cue", key), self.text("detail", key)
        if self.phase == "approach":
            return self.text("cue", self.by_place("cue", "approach_")), self.text("detail", "approach")
        if self.phase == "hold":
            return self._hold_lines()
        if self.phase == "release":
            return self._release_lines()
        said = table()["sounds"].get(unicodedata.normalize("NFD", self.span.entry.symbol))
        cue = str(said[self.technical]) if said else self._cue_by_rule()
        if throat := self.throat():
            cue = self.text("throat_cue", throat)
        return cue, self.text("detail", "steady" if self.span.entry.keyword else "steady_ipa")

    def _cue_by_rule(self) -> str:
        """The cue of a sound that has no text of its own: its name, or in plain words what the mouth does."""
        assert self.span is not None
        if self.technical:
            return str(self.fill["name"])
        if self.span.entry.kind == "vowel":
            return self.text("contact", "tongue")
        return self.steady_contact(self.span).title

    def _hold_lines(self) -> tuple[str, str]:
        assert self.span is not None
        entry = self.span.entry
        if entry.manner == "click":
            return self.text("cue", "click"), self.text("detail", "hold_click")
        if len(self.organs) > 1:
            of_one = len(dict.fromkeys(i for c in self.now.closures for i in c.indices)) == 1
            return self.text("cue", "both"), self.text("detail", "both_one" if of_one else "both")
        if entry.manner == "tap":
            return self.text("cue", "tap"), self.text("detail", "hold_tap")
        if entry.manner == "trill":
            return self.text("cue", f"trill_{organ(entry)}"), self.text("detail", "hold_trill")
        cue = self.text("cue", self.by_place("cue", "hold_"))
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
        if vibrates(self.timeline.moment(np.array([(start + end) / 2])).voice[0]):
            return cue, self.text("detail", "hold_voiced")
        return cue, self.text("detail", "hold_voice_later" if entry.voiced else "hold_voiceless")

    def _kept_for(self) -> str:
        """The symbol of the next sound where it keeps the same closure."""
        assert self.span is not None
        for closure in self.timeline.closures:
            later = [i for i in closure.indices if i > self.span.index]
            if self.span.index in closure.indices and later:
                return symbol_of(self.timeline.spans[later[0]])
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
            later = self.timeline.moment(np.array([self.course.phases(span.index)[-1][2]])).voice[0]
            detail = "release_nasal" if vibrates(later) else "release_fades"
            return self.text("cue", f"release_{entry.manner}"), self.text("detail", detail)
        return self._stop_release_lines(span, float(span.release_s or span.hold_s[1]))

    def _stop_release_lines(self, span: Span, release_s: float) -> tuple[str, str]:
        """Puff or not, and when the voice comes: from flow and vibration after the release."""
        breath, hisses = limits().breath, span.entry.manner == "affricate"
        after = self.timeline.moment(release_s + np.linspace(0.0, breath.puff_within_s, 31))
        voiced = vibrates(after.voice)
        late = not voiced[:15].any()
        puff = late and float(np.max(after.mouth_ml_s)) >= breath.puff_ml_s
        cue = self.text("cue", "release_hiss" if hisses else "release_puff" if puff else "release_plain")
        lag_s = 0.0 if span.voice_s is None else span.voice_s - release_s
        if late and lag_s > breath.puff_within_s / 3:
            self.fill["ms"] = 5 * round(200 * lag_s)
            return cue, self.text("detail", "release_puff_voice")
        if voiced.any():
            before = self.timeline.moment(np.array([release_s - limits().pressure.compared_s])).voice[0]
            kept = bool(vibrates(before))
            return cue, self.text("detail", "release_voice_kept" if kept else "release_voice")
        return cue, self.text(
            "detail", "release_hiss_only" if hisses else "release_puff_only" if puff else "release_no_voice"
        )
