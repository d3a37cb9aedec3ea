"""The three states of a moment: what touches, where the air goes, what the voice does.

Air and voice are read from the timeline's numbers, never from what a sound is meant to be.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from renders.wording.languages import language_of
from renders.wording.line import Line
from renders.wording.situation import Situation, by_place, narrow_throat, place_of, rest_row, text
from vocaltract.motion.limits import motion_limits, port_open, vibrates
from vocaltract.motion.schedule import Span
from vocaltract.phonetics.inventory import organ

Gauge = Literal["pressure", "flow"] | None


@dataclass(frozen=True, slots=True)
class StateRow:
    """One state: pictogram, title, second line; what the gauge shows, if any, and its level 0..1."""

    icon: str
    title: Line
    second: Line
    gauge: Gauge = None
    level: float = 0.0


@dataclass(frozen=True, slots=True)
class GaugeLevel:
    """What a gauge shows, and its level; over 1 is full."""

    gauge: Gauge
    level: float


NO_GAUGE = GaugeLevel(None, 0.0)


def _row(here: Situation, said: str, icon: str, second: str = "", shown: GaugeLevel = NO_GAUGE) -> StateRow:
    """The row `said`, table.key; its second line stands beside it unless another key is named."""
    kind, key = said.split(".")
    level = float(np.clip(shown.level, 0.0, 1.0))
    return StateRow(icon, text(here, kind, key), text(here, kind, second or f"{key}_second"), shown.gauge, level)


def contact_state(here: Situation) -> StateRow:
    """What touches or comes near."""
    if len(here.organs) > 1:
        return _row(here, "contact.both_shut", "both")
    lateral = here.span is not None and here.phase == "steady" and here.span.entry.manner == "lateral approximant"
    if here.organs and not lateral:
        return _row(here, f"contact.{_shut(here)}", "together")
    if here.span is None:
        if here.now.lips_mm <= 0.0:
            return _row(here, "contact.lips_at_rest", "together", "rest_second")
        return _row(here, "contact.lips_apart", "apart", "moving_second")
    if here.phase == "steady":
        return steady_contact(here, here.span)
    if here.span.entry.manner == "affricate" and here.phase == "release" and here.now.narrow:
        return _narrowing(here, here.span.entry.place)
    way = "closing" if here.phase == "approach" else "opening"
    key = by_place(here.span, "contact", "", f"_{way}")
    if key.startswith("lips_"):
        return _row(here, "contact.lips_apart", way, f"{key}_second")
    return _row(here, f"contact.{key}", way)


def _shut(here: Situation) -> str:
    """The row of a closure by its place: of this sound where it closes, else of the one that is still shut."""
    index = here.now.closures[0].indices[0]
    span = here.span if here.span is not None and here.span.entry.closes else here.timeline.spans[index]
    place, rows = place_of(span), language_of().rows("contact")
    names = [f"tap_{place}_shut", "tap_shut"] if span.entry.manner == "tap" else []
    names += [f"{place}_shut"] if organ(span.entry) == here.organs[0] else []
    return next((n for n in names if n in rows), f"{here.organs[0]}_shut")


def steady_contact(here: Situation, span: Span) -> StateRow:
    """What a sound that holds nothing shut does."""
    manner, place = span.entry.manner, span.entry.place
    if manner == "fricative" and place != "glottal":
        return _narrowing(here, place)
    if manner.startswith("lateral "):
        touches = min(here.now.coronal_mm, here.now.dorsal_mm) <= 0
        key = "lateral" if touches else "lateral_near"
        if f"lateral_{place_of(span)}" in language_of().rows("contact"):
            key = f"lateral_{place_of(span)}"
        hisses = manner == "lateral fricative"
        return _row(here, f"contact.{key}", "sides", "lateral_hiss_second" if hisses else "lateral_second")
    if manner == "approximant":
        key = {"labial-velar": "labial_velar", "palatal": "palatal"}.get(place, f"{place}_near")
        if key not in language_of().rows("contact") or span.entry.symbol in language_of().rows("throat_cue"):
            key = "rhotic_tip" if "apical" in span.entry.name else "rhotic"
        second = f"{key}_throat_second" if narrow_throat(here) else ""
        return _row(here, f"contact.{key}", "round" if key.startswith("labial") else "raised", second)
    key, icon = "lips_apart", "apart"
    if here.now.rounded >= motion_limits().lips.rounded_from:
        fully = here.now.rounded >= motion_limits().lips.rounded_fully_from
        key, icon = "lips_rounded" if fully else "lips_rounded_a_little", "round"
    elif here.now.spread > motion_limits().lips.spread_from:
        key, icon = "lips_spread", "spread"
    return _row(here, f"contact.{key}", icon, "tongue_second" if span.entry.kind == "vowel" else "glottal_second")


def _narrowing(here: Situation, place: str) -> StateRow:
    """The narrow place of a sound; one that the table does not name (two at once) is told without its place."""
    rows = language_of().rows("contact")
    named = place if place not in ("palatal", "labial-velar") else f"{place}_narrow"
    return _row(here, f"contact.{named if named in rows else 'narrow'}", "narrow")


def air_state(here: Situation) -> StateRow:
    """From pressure and flows."""
    now = here.now
    flow = GaugeLevel("flow", (now.mouth_ml_s + now.nose_ml_s) / motion_limits().flow.full_ml_s)
    nose, mouth = now.nose_flows, now.mouth_flows
    if now.glottal_catch:
        return _row(here, "air.folds_shut", "stopped")
    if here.span is not None and here.phase == "hold" and here.span.entry.manner in ("click", "trill"):
        key = "suction" if here.span.entry.manner == "click" else "pulses"
        if not nose:
            return _row(here, f"air.{key}", "stopped" if key == "suction" else "flow")
    if nose:
        way = "both_ways" if mouth else "nose"
        return _row(here, f"air.{way}", way, shown=flow)
    if burst := _burst(here):
        return _row(here, f"air.{burst}", burst, shown=flow)
    if not mouth:
        return _no_flow(here)
    if now.friction:
        return _row(here, "air.buzz" if now.vibrates else "air.hiss", "hiss", shown=flow)
    dying = here.phase == "release" or (here.span is None and rest_row(here) == "rest_after")
    if not now.vibrates and (dying or now.mouth_ml_s >= motion_limits().breath.said_ml_s):
        return _row(here, f"air.{_breath(here)}", "breath", shown=flow)
    if here.span is not None and here.span.entry.manner == "lateral approximant" and here.phase == "steady":
        return _row(here, "air.sides", "flow_sides", shown=flow)
    return _row(here, "air.flow", "flow", shown=flow)


def _no_flow(here: Situation) -> StateRow:
    now = here.now
    pressure = GaugeLevel("pressure", now.pressure_share)
    tapped = bool(now.closures) and here.timeline.spans[now.closures[0].indices[0]].entry.manner == "tap"
    if tapped:
        return _row(here, "air.brief", "stopped")
    if now.builds_up:
        if now.pressure_rises:
            return _row(here, "air.rising", "rising", shown=pressure)
        return _row(here, "air.held", "blocked", shown=pressure)
    if now.closures:
        return _row(here, "air.stopped", "stopped", shown=pressure)
    resting = here.span is None and bool(port_open(now.port_mm))
    return _row(here, "air.none", "still", "rest_second" if resting else "none_second")


def _burst(here: Situation) -> str:
    """While the picture shows more burst than breath."""
    if here.now.released is None or here.now.burst_shown < 0.5:
        return ""
    return "weak_burst" if here.now.released.entry.voiced else "burst"


def _breath(here: Situation) -> str:
    if here.span is None or here.phase == "rest":
        return "breath_end" if rest_row(here) == "rest_after" else "breath_begin"
    if here.phase == "release":
        return "breath" if here.span.voice_s is not None else "breath_end"
    return "breath_only"


def voice_state(here: Situation) -> StateRow:
    """From vibration and the gap of the folds."""
    if here.now.vibrates:
        return _row(here, "voice.on", "wave", "on_nasal_second" if here.now.nose_flows else "on_second")
    apart = not here.now.folds_together
    if here.span is None and rest_row(here) == "rest_after":
        return _row(here, "voice.over", "folds_apart" if apart else "folds_together")
    if apart:
        return _row(here, "voice.apart", "folds_apart")
    return _row(here, "voice.together", "folds_together", "ready_second" if _voice_waits(here) else "")


def _voice_waits(here: Situation) -> bool:
    """Whether the voice is still to start: before the first sound, or in a voiced one not heard yet."""
    said = here.span or here.timeline.spans[0]
    if not said.entry.voiced:
        return False
    ahead = np.arange(here.now.time_s, said.end_s + motion_limits().breath.puff_within_s, 0.004)
    return bool(vibrates(here.timeline.moment(ahead).voice).any())
