"""The two lines about a moment, cue and detail: the same through a phase."""

from __future__ import annotations

import unicodedata

import numpy as np

from renders.wording.languages import language_of
from renders.wording.line import Line, line
from renders.wording.names import sound_name
from renders.wording.situation import Situation, by_place, narrow_throat, rest_row, symbol_of, text
from renders.wording.states import steady_contact
from vocaltract.motion.limits import motion_limits, vibrates
from vocaltract.motion.schedule import Span
from vocaltract.phonetics.inventory import organ


def lines(here: Situation) -> tuple[Line, Line]:
    """Main line and second line."""
    if here.span is None:
        key = rest_row(here)
        return text(here, "cue", key), text(here, "detail", key)
    if here.phase == "approach":
        return text(here, "cue", by_place(here.span, "cue", "approach_")), text(here, "detail", "approach")
    if here.phase == "hold":
        return _hold_lines(here)
    if here.phase == "release":
        return _release_lines(here)
    symbol = unicodedata.normalize("NFD", here.span.entry.symbol)
    if throat := narrow_throat(here):
        cue = text(here, "throat_cue", throat)
    elif symbol in language_of().rows("sound_cue"):
        cue = text(here, "sound_cue", symbol)
    else:
        cue = _cue_by_rule(here, here.span)
    return cue, text(here, "detail", "steady" if here.span.entry.keyword else "steady_ipa")


def _cue_by_rule(here: Situation, span: Span) -> Line:
    """The cue of a sound that has no text of its own: its name, or in plain words what the mouth does."""
    vowel = span.entry.kind == "vowel"
    plain = text(here, "contact", "tongue") if vowel else steady_contact(here, span).title
    return line("cue.by_rule", plain=plain, name=sound_name(span.entry.name))


def _hold_lines(here: Situation) -> tuple[Line, Line]:
    assert here.span is not None
    entry = here.span.entry
    if entry.manner == "click":
        return text(here, "cue", "click"), text(here, "detail", "hold_click")
    if len(here.organs) > 1:
        of_one = len(dict.fromkeys(i for c in here.now.closures for i in c.indices)) == 1
        return text(here, "cue", "both"), text(here, "detail", "both_one" if of_one else "both")
    if entry.manner == "tap":
        return text(here, "cue", "tap"), text(here, "detail", "hold_tap")
    if entry.manner == "trill":
        return text(here, "cue", f"trill_{organ(entry)}"), text(here, "detail", "hold_trill")
    cue = text(here, "cue", by_place(here.span, "cue", "hold_"))
    for airstream in ("implosive", "ejective"):
        if airstream in entry.name:
            return cue, text(here, "detail", f"hold_{airstream}")
    if entry.manner == "nasal":
        return cue, text(here, "detail", "hold_nasal")
    if here.span.release == "none":
        if kept := _kept_for(here):
            return text(here, "cue", "held"), text(here, "detail", "same", symbol=f"[{kept}]")
        return text(here, "cue", "held"), text(here, "detail", "held")
    start, end = here.span.hold_s
    if vibrates(here.timeline.moment(np.array([(start + end) / 2])).voice[0]):
        return cue, text(here, "detail", "hold_voiced")
    return cue, text(here, "detail", "hold_voice_later" if entry.voiced else "hold_voiceless")


def _kept_for(here: Situation) -> str:
    """The symbol of the next sound where it keeps the same closure."""
    assert here.span is not None
    for closure in here.timeline.closures:
        later = [i for i in closure.indices if i > here.span.index]
        if here.span.index in closure.indices and later:
            return symbol_of(here.timeline.spans[later[0]])
    return ""


def _release_lines(here: Situation) -> tuple[Line, Line]:
    assert here.span is not None and here.span.release_s is not None
    span, entry = here.span, here.span.entry
    if span.release in ("nasal", "lateral"):
        key = "release_through_nose" if span.release == "nasal" else "release_at_sides"
        detail = "release_voice_on" if entry.voiced else "release_no_voice"
        return text(here, "cue", key), text(here, "detail", detail)
    if entry.manner == "click":
        key = "release_click_sides" if "lateral" in entry.name else "release_click"
        return text(here, "cue", key), text(here, "detail", "release_click")
    if entry.manner in ("nasal", "tap", "trill"):
        later = here.timeline.moment(np.array([here.course.phases(span.index)[-1][2]])).voice[0]
        detail = "release_nasal" if vibrates(later) else "release_fades"
        return text(here, "cue", f"release_{entry.manner}"), text(here, "detail", detail)
    return _stop_release_lines(here, span, float(span.release_s or span.hold_s[1]))


def _stop_release_lines(here: Situation, span: Span, release_s: float) -> tuple[Line, Line]:
    """Puff or not, and when the voice comes: from flow and vibration after the release."""
    breath, hisses = motion_limits().breath, span.entry.manner == "affricate"
    after = here.timeline.moment(release_s + np.linspace(0.0, breath.puff_within_s, 31))
    voiced = vibrates(after.voice)
    late = not voiced[:15].any()
    puff = late and float(np.max(after.mouth_ml_s)) >= breath.puff_ml_s
    cue = text(here, "cue", "release_hiss" if hisses else "release_puff" if puff else "release_plain")
    lag_s = 0.0 if span.voice_s is None else span.voice_s - release_s
    if late and lag_s > breath.puff_within_s / 3:
        return cue, text(here, "detail", "release_puff_voice", ms=str(5 * round(200 * lag_s)))
    if voiced.any():
        before = here.timeline.moment(np.array([release_s - motion_limits().pressure.compared_s])).voice[0]
        kept = bool(vibrates(before))
        return cue, text(here, "detail", "release_voice_kept" if kept else "release_voice")
    key = "release_hiss_only" if hisses else "release_puff_only" if puff else "release_no_voice"
    return cue, text(here, "detail", key)
