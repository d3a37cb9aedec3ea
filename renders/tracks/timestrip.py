"""The strip under a picture: sounds, voice, closures and air out along one time axis.

Every bar, wave and curve is read from the timeline at the shown times. Aspiration has no box of its own: it
belongs to its stop, whose box has a broken lower edge while breath runs.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from articulators.curves import Array, Bools
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import lacking, width
from renders.tracks.bars import contact_bar
from renders.tracks.layout import tracks_layout
from renders.tracks.strip_plan import RowChoice, StripPlan, strip_plan
from renders.tracks.time_axis import named_every
from renders.tracks.wave_row import HeardWave, wave_ops
from renders.wording.languages import Language
from renders.wording.line import Line
from vocaltract.motion.closures import runs
from vocaltract.motion.limits import flows, motion_limits, port_open, vibrates
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline


@dataclass(frozen=True)
class TimeStrip:
    """The strip of one timeline: where its rows lie, and in which style and language it is drawn."""

    timeline: Timeline
    plan: StripPlan
    style: Style
    language: Language
    wave: HeardWave | None = None

    def size(self, kind: str) -> float:
        """Type size in px of that kind of text; it grows with the strip, up to a limit."""
        return self.style.size(kind) * min(self.plan.unit, tracks_layout().strip_type.most_px)


@dataclass(frozen=True)
class BarPlace:
    """Where a bar lies in px: from and to, top and height."""

    left: float
    right: float
    top: float
    high: float

    def path(self, corner: float = 0.0) -> Path:
        """Its outline."""
        return Path.rectangle(self.left, self.top, self.right - self.left, self.high, corner)


def time_strip(
    timeline: Timeline,
    box: Box,
    style: Style,
    language: Language,
    rows: RowChoice = "all",
    wave: HeardWave | None = None,
) -> TimeStrip:
    """The strip of a timeline in a box (x, y, width, height) px; BadInput for other rows.

    rows  "all", or "short" for sounds and voice alone      wave  what is heard of it; None: without that row
    """
    return TimeStrip(timeline, strip_plan(timeline, box, rows, wave is not None), style, language, wave)


def strip_x(timeline: Timeline, box: Box, time_s: float, rows: RowChoice = "all") -> float:
    """The x in px of a time in seconds; outside the shown stretch it lies outside the rows."""
    return strip_plan(timeline, box, rows).at(time_s)


def nose_open(timeline: Timeline) -> tuple[tuple[float, float], ...]:
    """Stretches (start, end) in seconds of speech in which the way to the nose is open."""
    begin, end = timeline.speech_s
    times = np.arange(begin, end, tracks_layout().strip_air.step_s)
    return tuple((a, b) for a, b in _stretches(times, port_open(timeline.moment(times).port_mm)))


def voiced(timeline: Timeline) -> tuple[tuple[float, float], ...]:
    """Stretches (start, end) in seconds in which the folds vibrate."""
    times = np.arange(0.0, timeline.duration_s, tracks_layout().strip_air.step_s)
    return tuple(_stretches(times, vibrates(timeline.moment(times).voice)))


def _stretches(times: Array, on: Bools) -> list[tuple[float, float]]:
    return [(float(times[first]), float(times[last])) for first, last in runs(on) if last > first]


def strip_static(strip: TimeStrip) -> Layer:
    """Everything of the strip that stays."""
    plan = strip.plan
    ops = [*_axis(strip), *sound_boxes(strip, None), *_voice(strip)]
    if plan.shut is not None:
        ops += closure_bars(strip)
    if plan.air is not None:
        ops += _air(strip)
    if strip.wave is not None and plan.wave is not None:
        ops.append(_label(strip, plan.wave, strip.language.text("time_strip.wave")))
        ops += wave_ops(strip.wave, plan.x, (plan.start_s, plan.end_s), plan.wave, strip.style)
    return Layer("time strip", tuple(ops), moves=False)


def _axis(strip: TimeStrip) -> list[Op]:
    plan, style, look = strip.plan, strip.style, tracks_layout().strip_ticks
    begin = strip.timeline.speech_s[0]
    top, high = plan.ticks
    size = tracks_layout().strip_type.tick_share * strip.size("small")
    ops: list[Op] = [Stroke(Path.line([[plan.left, top], [plan.right, top]]), "rule", style.line("rule"))]
    first = int(np.ceil((plan.start_s - begin) / look.every_s - 1e-9))
    last = int(np.floor((plan.end_s - begin) / look.every_s + 1e-9))
    per = look.every_s / (plan.end_s - plan.start_s) * (plan.right - plan.left)
    room = width("1000", size) + look.apart * plan.unit
    every = named_every(per, room)
    ticks = [k for k in range(first, last + 1) if every < 10 or k % 5 == 0]
    at = {k: plan.at(begin + k * look.every_s) for k in ticks}
    strokes = [[[x, top], [x, top + look.line_share[k % every != 0] * high]] for k, x in at.items()]
    ops.append(Stroke(Path.lines(strokes), "rule", style.line("rule")))
    y = top + look.middle_share * high
    for k in range(max(first, 0), last + 1):
        x, name = plan.at(begin + k * look.every_s), f"{round(1000 * k * look.every_s)}"
        if k % every == 0 and x + 0.5 * width(name, size) <= plan.right + look.beyond * plan.unit:
            ops.append(Text(name, x, y, size, "ink2", family="figures", anchor="middle", baseline="middle"))
    left = plan.left - tracks_layout().strip_type.name_apart * plan.unit
    ops.append(Text("ms", left, y, size, "ink2", anchor="end", baseline="middle"))
    return ops


def _label(strip: TimeStrip, row: tuple[float, float], word: str) -> Op:
    plan, look = strip.plan, tracks_layout().strip_type
    size = look.name_share * strip.size("small")
    room = look.name_room * min(plan.unit, tracks_layout().strip_rows.edge_most_px)
    size = min(size, size * room / width(word, size))
    left = plan.left - look.name_apart * plan.unit
    return Text(word, left, row[0] + row[1] / 2, size, "ink2", anchor="end", baseline="middle")


def sound_boxes(strip: TimeStrip, only: int | None) -> list[Op]:
    """All sound boxes plain, or the one of index ``only`` lit."""
    plan, look = strip.plan, tracks_layout().strip_sound
    top, high = plan.sounds
    ops: list[Op] = []
    for span in strip.timeline.spans:
        if only is not None and span.index != only:
            continue
        x0, x1 = plan.ends(span.start_s, span.end_s)
        x, wide = x0 + look.edge_px, max(x1 - x0 - 2 * look.edge_px, look.least_px)
        path = Path.rectangle(x, top, wide, high, look.corner * plan.unit)
        lit = only is not None
        symbol = unicodedata.normalize("NFD", span.sound.symbol)
        largest, free = strip.size("strip"), wide - look.symbol_edge_px
        weight: Literal["regular", "bold"] = "bold" if lit else "regular"
        room = width(symbol, largest, "bold")
        size = max(largest * free / room if room > free else largest, look.least_share * largest)
        colour, at = "on_focus" if lit else "ink", (x + wide / 2, top + high / 2)
        ops += [
            Fill(path, "focus" if lit else "panel", name=f"sound {span.index}"),
            Stroke(path, "focus" if lit else "rule", strip.style.line("rule") * look.line_share),
            *_breath_edge(span, plan, lit),
            Text(symbol, *at, size, colour, weight, anchor="middle", baseline="middle"),
        ]
    return ops


def _breath_edge(span: Span, plan: StripPlan, lit: bool) -> list[Op]:
    """The lower edge of an aspirated stop's box is broken where its breath runs, from release to voice."""
    look, u = tracks_layout().strip_sound, plan.unit
    if span.release_s is None or span.voice_s is None or span.voice_s - span.release_s < look.breath_s:
        return []
    x0, x1 = plan.ends(span.release_s, min(span.voice_s, span.end_s))
    y = plan.sounds[0] + plan.sounds[1]
    line = Path.line([[x0, y], [x1 - look.breath_end * u, y]])
    under, over = (wide * u for wide in look.breath_lines)
    dash = (look.breath_dash[0] * u, look.breath_dash[1] * u)
    return [
        Stroke(line, "focus" if lit else "panel", under, cap="butt"),
        Stroke(line, "on_focus" if lit else "air", over, dash=dash, cap="butt", name="breath"),
    ]


def _voice(strip: TimeStrip) -> list[Op]:
    plan, style, look = strip.plan, strip.style, tracks_layout().strip_voice
    top, high = plan.voice
    middle = top + high / 2
    rest = Path.line([[plan.left, middle], [plan.right, middle]])
    ops: list[Op] = [Stroke(rest, "rule", style.line("rule") * look.rest_share, opacity=look.rest_opacity)]
    ops.append(_label(strip, plan.voice, strip.language.text("time_strip.voice")))
    wave = look.long * plan.unit
    for start, end in voiced(strip.timeline):
        x0, x1 = np.clip(plan.ends(start, end), plan.left, plan.right)
        x = np.linspace(x0, x1, max(3, int((x1 - x0) / (look.every * plan.unit))))
        # counted from the left edge of the strip, so that neighbouring stretches keep one rhythm
        y = middle - look.high_share * high * np.sin(2 * np.pi * (x - plan.left) / wave)
        wide = look.line_share * style.line("voice") * plan.unit
        line = Path.line(np.stack([x, y], axis=-1))
        ops.append(Stroke(line, "voice", wide, casing=("panel", wide + look.rim * plan.unit), name="voice"))
    return ops


def closure_bars(strip: TimeStrip) -> list[Op]:
    """Where which organ shuts the mouth, and where the nose is open."""
    plan, look = strip.plan, tracks_layout().strip_bar
    assert plan.shut is not None
    top, high = plan.shut
    name = Line("time_strip.shut_nose" if ("nose",) in plan.lanes else "time_strip.shut")
    ops = [_label(strip, plan.shut, strip.language.say(name))]
    lane_high = high / max(len(plan.lanes), look.least_lanes)
    bar_high = lane_high - look.apart * plan.unit
    for number, lane in enumerate(plan.lanes):
        y = top + number * lane_high + look.apart / 2 * plan.unit
        if lane == ("nose",):
            for start, end in nose_open(strip.timeline):
                ops += _nose_bar(strip, BarPlace(*plan.ends(start, end), y, bar_high))
            continue
        for closure in strip.timeline.closures:
            if closure.organ in lane:
                ops += _bar(strip, closure.organ, BarPlace(*plan.ends(closure.start_s, closure.end_s), y, bar_high))
    return ops


def _bar(strip: TimeStrip, organ: str, place: BarPlace) -> list[Op]:
    look, u = tracks_layout().strip_bar, strip.plan.unit
    ops = contact_bar(place.path(), strip.style, look.edge * u, look.thin * u, f"closure {organ}")
    words = [strip.language.text(f"{kind}.{organ}") for kind in ("organ", "organ_short")]
    return ops + _fitted(strip, words, place, "contact_edge")


def _nose_bar(strip: TimeStrip, place: BarPlace) -> list[Op]:
    path, line = place.path(place.high / 2), tracks_layout().strip_bar.nose_line * strip.plan.unit
    ops: list[Op] = [Fill(path, "panel", name="nose open"), Stroke(path, "air", line)]
    words = [strip.language.text(key) for key in ("time_strip.nose_open", "organ_short.nose")]
    return ops + _fitted(strip, words, place, "air")


def _fitted(strip: TimeStrip, words: Sequence[str], place: BarPlace, colour: str) -> list[Op]:
    """The first of the words that fits in the middle of a bar, else nothing."""
    look = tracks_layout().strip_bar
    share = look.full_em_share if any(lacking(text, "bold") for text in words) else 1.0
    size = min(tracks_layout().strip_type.name_share * strip.size("small"), look.high_share * place.high * share)
    room = place.right - place.left - look.word_edge * strip.plan.unit
    at = (place.left + place.right) / 2, place.top + place.high / 2
    for text in words:
        for smaller in (size, look.small_share * size):
            if width(text, smaller, "bold") <= room:
                return [Text(text, *at, smaller, colour, "bold", anchor="middle", baseline="middle")]
    return []


def _air(strip: TimeStrip) -> list[Op]:
    """Air out of the mouth as a filled curve; out of the nose hatched and outlined."""
    timeline, plan, look = strip.timeline, strip.plan, tracks_layout().strip_air
    assert plan.air is not None
    top, high = plan.air
    base = top + high
    times = np.arange(plan.start_s, plan.end_s, look.step_s)
    moment = timeline.moment(times)
    x = plan.x(times)
    ops: list[Op] = [_label(strip, plan.air, strip.language.text("time_strip.air"))]
    full = max(motion_limits().flow.full_ml_s, float((moment.mouth_ml_s + moment.nose_ml_s).max()))
    line_px = look.line * plan.unit

    def area(flow: np.ndarray, inside: np.ndarray) -> Path:
        y = base - high * np.clip(flow / full, 0.0, 1.0)
        line = np.stack([x, y], axis=-1)[inside]
        return Path.polygon(np.concatenate([[[line[0, 0], base]], line, [[line[-1, 0], base]]]))

    both = np.asarray(moment.mouth_ml_s + moment.nose_ml_s)
    for start, end in _stretches(times, flows(moment.nose_ml_s)):
        shape = area(both, (times >= start) & (times <= end))
        a = np.arange(plan.at(start) - high, plan.at(end) + high, look.hatch * plan.unit)
        hatch = Path.lines([[[v, base], [v + high, top]] for v in a])
        hatched = (Fill(shape, "panel"), Stroke(hatch, "air", line_px))
        ops.append(Group(hatched, clip=shape, name="air out of the nose"))
        ops.append(Stroke(shape, "air", line_px, join="bevel"))
    mouth = np.asarray(moment.mouth_ml_s)
    for start, end in _stretches(times, mouth > look.least_ml_s):
        ops.append(Fill(area(mouth, (times >= start) & (times <= end)), "air", name="air out of the mouth"))
    return ops
