"""The strip under a picture: sounds, voice, closures and air out along one time axis.

Every bar, wave and curve is read from the timeline at the shown times. Aspiration has no box of its own: it
belongs to its stop, whose box has a broken lower edge while breath runs.
"""

from __future__ import annotations

import unicodedata
from typing import Literal

import numpy as np

from articulators.curves import Array, Bools
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import lacking, width
from renders.tracks.bars import contact_bar
from renders.tracks.strip_plan import RowChoice, StripPlan, strip_plan
from renders.tracks.time_axis import named_every
from renders.wording.languages import Language
from renders.wording.line import Line
from vocaltract.motion.closures import runs
from vocaltract.motion.limits import flows, motion_limits, port_open, vibrates
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline

CURVE_STEP_S = 0.002
TICK_S = 0.1
BREATH_S = 0.025
GUTTER = 74.0  # room for the names of the rows, in units
FULL_EM = 0.84  # size of type in a bar where characters fill their em, which Latin letters do not


def strip_x(timeline: Timeline, box: Box, time_s: float, rows: RowChoice = "all") -> float:
    """The x in px of a time in seconds; outside the shown stretch it lies outside the rows."""
    return strip_plan(timeline, box, rows).at(time_s)


def nose_open(timeline: Timeline) -> tuple[tuple[float, float], ...]:
    """Stretches (start, end) in seconds of speech in which the way to the nose is open."""
    begin, end = timeline.speech_s
    times = np.arange(begin, end, CURVE_STEP_S)
    return tuple((a, b) for a, b in _stretches(times, port_open(timeline.moment(times).port_mm)))


def voiced(timeline: Timeline) -> tuple[tuple[float, float], ...]:
    """Stretches (start, end) in seconds in which the folds vibrate."""
    times = np.arange(0.0, timeline.duration_s, CURVE_STEP_S)
    return tuple(_stretches(times, vibrates(timeline.moment(times).voice)))


def _stretches(times: Array, on: Bools) -> list[tuple[float, float]]:
    return [(float(times[first]), float(times[last])) for first, last in runs(on) if last > first]


def strip_static(timeline: Timeline, box: Box, style: Style, language: Language, rows: RowChoice = "all") -> Layer:
    """Everything of the strip that stays, in a box (x, y, width, height) px.

    rows  "all", or "short" for sounds and voice alone
    """
    plan = strip_plan(timeline, box, rows)
    ops = [*_axis(timeline, plan, style), *sound_boxes(timeline, plan, style, None)]
    ops += _voice(timeline, plan, style, language)
    if plan.shut is not None:
        ops += closure_bars(timeline, plan, style, language)
    if plan.air is not None:
        ops += _air(timeline, plan, style, language)
    return Layer("time strip", tuple(ops), moves=False)


def _size(plan: StripPlan, style: Style, kind: str) -> float:
    return style.size(kind) * min(plan.unit, 2.0)


def _axis(timeline: Timeline, plan: StripPlan, style: Style) -> list[Op]:
    begin = timeline.speech_s[0]
    top, high = plan.ticks
    size = 0.86 * _size(plan, style, "small")
    ops: list[Op] = [Stroke(Path.line([[plan.left, top], [plan.right, top]]), "rule", style.line("rule"))]
    first = int(np.ceil((plan.start_s - begin) / TICK_S - 1e-9))
    last = int(np.floor((plan.end_s - begin) / TICK_S + 1e-9))
    per = TICK_S / (plan.end_s - plan.start_s) * (plan.right - plan.left)
    room = width("1000", size) + 14 * plan.unit
    every = named_every(per, room)
    ticks = [k for k in range(first, last + 1) if every < 10 or k % 5 == 0]
    at = {k: plan.at(begin + k * TICK_S) for k in ticks}
    strokes = [[[x, top], [x, top + (0.32 if k % every == 0 else 0.2) * high]] for k, x in at.items()]
    ops.append(Stroke(Path.lines(strokes), "rule", style.line("rule")))
    y = top + 0.66 * high
    for k in range(first, last + 1):
        x = plan.at(begin + k * TICK_S)
        if k % every == 0 and k >= 0 and x + 0.5 * width(f"{k * 100}", size) <= plan.right + 6 * plan.unit:
            ops.append(Text(f"{k * 100}", x, y, size, "ink2", family="figures", anchor="middle", baseline="middle"))
    ops.append(Text("ms", plan.left - 10 * plan.unit, y, size, "ink2", anchor="end", baseline="middle"))
    return ops


def _label(plan: StripPlan, style: Style, row: tuple[float, float], word: str) -> Op:
    size = 0.92 * _size(plan, style, "small")
    size = min(size, size * GUTTER * min(plan.unit, 1.6) / width(word, size))
    return Text(word, plan.left - 10 * plan.unit, row[0] + row[1] / 2, size, "ink2", anchor="end", baseline="middle")


def sound_boxes(timeline: Timeline, plan: StripPlan, style: Style, only: int | None) -> list[Op]:
    """All sound boxes plain, or the one of index ``only`` lit."""
    top, high = plan.sounds
    ops: list[Op] = []
    for span in timeline.spans:
        if only is not None and span.index != only:
            continue
        x0, x1 = plan.ends(span.start_s, span.end_s)
        wide = max(x1 - x0 - 2.0, 3.0)
        path = Path.rectangle(x0 + 1.0, top, wide, high, 5 * plan.unit)
        lit = only is not None
        symbol = unicodedata.normalize("NFD", span.sound.symbol)
        size = _size(plan, style, "strip")
        weight: Literal["regular", "bold"] = "bold" if lit else "regular"
        room = width(symbol, size, "bold")
        size = min(size, size * (wide - 5.0) / room) if room > wide - 5.0 else size
        size = max(size, 0.5 * _size(plan, style, "strip"))
        ops += [
            Fill(path, "focus" if lit else "panel", name=f"sound {span.index}"),
            Stroke(path, "focus" if lit else "rule", style.line("rule") * 1.2),
            *_breath_edge(span, plan, lit),
            Text(
                symbol,
                x0 + 1 + wide / 2,
                top + high / 2,
                size,
                "on_focus" if lit else "ink",
                weight,
                anchor="middle",
                baseline="middle",
            ),
        ]
    return ops


def _breath_edge(span: Span, plan: StripPlan, lit: bool) -> list[Op]:
    """The lower edge of an aspirated stop's box is broken where its breath runs, from release to voice."""
    if span.release_s is None or span.voice_s is None or span.voice_s - span.release_s < BREATH_S:
        return []
    x0, x1 = plan.ends(span.release_s, min(span.voice_s, span.end_s))
    y = plan.sounds[0] + plan.sounds[1]
    u = plan.unit
    line = Path.line([[x0, y], [x1 - 4.0 * u, y]])
    under = Stroke(line, "focus" if lit else "panel", 3.4 * u, cap="butt")
    return [
        under,
        Stroke(line, "on_focus" if lit else "air", 3.0 * u, dash=(5.0 * u, 3.0 * u), cap="butt", name="breath"),
    ]


def _voice(timeline: Timeline, plan: StripPlan, style: Style, language: Language) -> list[Op]:
    top, high = plan.voice
    ops = [_label(plan, style, plan.voice, language.text("time_strip.voice"))]
    middle = top + high / 2
    rest = Path.line([[plan.left, middle], [plan.right, middle]])
    ops.insert(0, Stroke(rest, "rule", style.line("rule") * 0.8, opacity=0.55))
    wave = 17.0 * plan.unit
    for start, end in voiced(timeline):
        x0, x1 = np.clip(plan.ends(start, end), plan.left, plan.right)
        x = np.linspace(x0, x1, max(3, int((x1 - x0) / (1.4 * plan.unit))))
        # counted from the left edge of the strip, so that neighbouring stretches keep one rhythm
        y = middle - 0.4 * high * np.sin(2 * np.pi * (x - plan.left) / wave)
        wide = 0.85 * style.line("voice") * plan.unit
        line = Path.line(np.stack([x, y], axis=-1))
        ops.append(Stroke(line, "voice", wide, casing=("panel", wide + 4 * plan.unit), name="voice"))
    return ops


def closure_bars(timeline: Timeline, plan: StripPlan, style: Style, language: Language) -> list[Op]:
    """Where which organ shuts the mouth, and where the nose is open."""
    assert plan.shut is not None
    top, high = plan.shut
    name = Line("time_strip.shut_nose" if ("nose",) in plan.lanes else "time_strip.shut")
    ops = [_label(plan, style, plan.shut, language.say(name))]
    count = max(len(plan.lanes), 2)
    lane_high = high / count
    bar_high = lane_high - 1.5 * plan.unit
    for number, lane in enumerate(plan.lanes):
        y = top + number * lane_high + 0.75 * plan.unit
        if lane == ("nose",):
            for start, end in nose_open(timeline):
                ops += _nose_bar(plan, style, language, start, end, y, bar_high)
            continue
        for closure in timeline.closures:
            if closure.organ in lane:
                ops += _bar(plan, style, language, closure.organ, closure.start_s, closure.end_s, y, bar_high)
    return ops


def _bar(
    plan: StripPlan, style: Style, language: Language, organ: str, start: float, end: float, y: float, high: float
) -> list[Op]:
    x0, x1 = plan.ends(start, end)
    path = Path.rectangle(x0, y, x1 - x0, high)
    name = f"closure {organ}"
    ops = contact_bar(path, style, 1.7 * plan.unit, 0.9 * plan.unit, name)
    words = [language.text(f"{kind}.{organ}") for kind in ("organ", "organ_short")]
    ops += _fitted(words, x0, x1, y, high, "contact_edge", plan, style)
    return ops


def _nose_bar(
    plan: StripPlan, style: Style, language: Language, start: float, end: float, y: float, high: float
) -> list[Op]:
    x0, x1 = plan.ends(start, end)
    path = Path.rectangle(x0, y, x1 - x0, high, high / 2)
    ops: list[Op] = [Fill(path, "panel", name="nose open"), Stroke(path, "air", 1.6 * plan.unit)]
    words = [language.say(Line(key)) for key in ("time_strip.nose_open", "organ_short.nose")]
    return ops + _fitted(words, x0, x1, y, high, "air", plan, style)


def _fitted(
    words: list[str], x0: float, x1: float, y: float, high: float, colour: str, plan: StripPlan, style: Style
) -> list[Op]:
    """The first of the words that fits in the middle of a bar, else nothing."""
    share = FULL_EM if any(lacking(text, "bold") for text in words) else 1.0
    size = min(0.92 * _size(plan, style, "small"), 1.02 * high * share)
    for text in words:
        for smaller in (size, 0.86 * size):
            if width(text, smaller, "bold") <= x1 - x0 - 6 * plan.unit:
                return [
                    Text(text, (x0 + x1) / 2, y + high / 2, smaller, colour, "bold", anchor="middle", baseline="middle")
                ]
    return []


def _air(timeline: Timeline, plan: StripPlan, style: Style, language: Language) -> list[Op]:
    """Air out of the mouth as a filled curve; out of the nose hatched and outlined."""
    assert plan.air is not None
    top, high = plan.air
    base = top + high
    times = np.arange(plan.start_s, plan.end_s, CURVE_STEP_S)
    moment = timeline.moment(times)
    x = plan.x(times)
    ops: list[Op] = [_label(plan, style, plan.air, language.text("time_strip.air"))]
    full = max(motion_limits().flow.full_ml_s, float((moment.mouth_ml_s + moment.nose_ml_s).max()))

    def area(flow: np.ndarray, inside: np.ndarray) -> Path:
        y = base - high * np.clip(flow / full, 0.0, 1.0)
        line = np.stack([x, y], axis=-1)[inside]
        return Path.polygon(np.concatenate([[[line[0, 0], base]], line, [[line[-1, 0], base]]]))

    both = np.asarray(moment.mouth_ml_s + moment.nose_ml_s)
    for start, end in _stretches(times, flows(moment.nose_ml_s)):
        inside = (times >= start) & (times <= end)
        shape = area(both, inside)
        step = 6.0 * plan.unit
        a = np.arange(plan.at(start) - high, plan.at(end) + high, step)
        hatch = Path.lines([[[v, base], [v + high, top]] for v in a])
        hatched = (Fill(shape, "panel"), Stroke(hatch, "air", 1.3 * plan.unit))
        ops.append(Group(hatched, clip=shape, name="air out of the nose"))
        ops.append(Stroke(shape, "air", 1.3 * plan.unit, join="bevel"))
    mouth = np.asarray(moment.mouth_ml_s)
    for start, end in _stretches(times, mouth > 1.0):
        ops.append(Fill(area(mouth, (times >= start) & (times <= end)), "air", name="air out of the mouth"))
    return ops
