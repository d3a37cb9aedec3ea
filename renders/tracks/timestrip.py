"""The strip under a picture: sounds, voice, closures and air out along one time axis.

Every bar, wave and curve is read from the timeline at the shown times. Aspiration has no box of its own: it
belongs to its stop, whose box has a broken lower edge while breath runs.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

import numpy as np

from articulators.curves import Array, Bools
from articulators.errors import BadInput
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import lacking, width
from renders.wording.languages import Language
from renders.wording.line import Line
from vocaltract.motion.closures import runs
from vocaltract.motion.limits import flows, limits, port_open, vibrates
from vocaltract.motion.phases import Course
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline

Rows = Literal["all", "short"]
BEYOND_S = 0.25
STEP_S = 0.002
TICK_S = 0.1
BREATH_S = 0.025
GUTTER = 74.0  # room for the names of the rows, in units
FULL_EM = 0.84  # size of type in a bar where characters fill their em, which Latin letters do not


@dataclass(frozen=True)
class _Plan:
    """Where each row lies, in px: (top, height), or None where it is not shown."""

    left: float
    right: float
    start_s: float
    end_s: float
    unit: float
    marker: tuple[float, float]
    sounds: tuple[float, float]
    voice: tuple[float, float]
    shut: tuple[float, float] | None
    air: tuple[float, float] | None
    ticks: tuple[float, float]
    lanes: tuple[tuple[str, ...], ...]

    def x(self, times_s: np.ndarray) -> np.ndarray:
        share = (times_s - self.start_s) / (self.end_s - self.start_s)
        return self.left + share * (self.right - self.left)

    def at(self, time_s: float) -> float:
        return float(self.x(np.array(time_s)))

    def ends(self, start_s: float, end_s: float) -> tuple[float, float]:
        return self.at(start_s), self.at(end_s)


def _plan(timeline: Timeline, box: Box, rows: Rows) -> _Plan:
    if rows not in ("all", "short"):
        raise BadInput(f"rows {rows!r} is unknown; allowed: all, short")
    x, y, w, h = box
    lanes = _lanes(timeline)
    shut = min(max(13.0 * len(lanes), 33.0), 39.0)
    weights = {"marker": 11.0, "sounds": 27.0, "voice": 15.0, "shut": shut, "air": 52.0 - shut, "ticks": 15.0}
    if rows == "short":
        weights = {"marker": 11.0, "sounds": 30.0, "voice": 18.0, "ticks": 15.0}
    gap = 2.0
    unit = h / (sum(weights.values()) + gap * (len(weights) + 1))
    at, tops = y + 0.5 * gap * unit, {}
    for name, high in weights.items():
        tops[name] = (at, high * unit)
        at += (high + gap) * unit
    begin, end = timeline.speech_s
    gutter = 88.0 * min(unit, 1.6) if rows == "all" else 62.0 * min(unit, 1.6)
    return _Plan(
        left=x + gutter, right=x + w - 16.0 * min(unit, 1.6),
        start_s=max(0.0, begin - BEYOND_S), end_s=min(timeline.duration_s, end + BEYOND_S), unit=unit,
        marker=tops["marker"], sounds=tops["sounds"], voice=tops["voice"], shut=tops.get("shut"),
        air=tops.get("air"), ticks=tops["ticks"], lanes=lanes,
    )  # fmt: skip


def strip_x(timeline: Timeline, box: Box, time_s: float, rows: Rows = "all") -> float:
    """The x in px of a time in seconds; outside the shown stretch it lies outside the rows."""
    return _plan(timeline, box, rows).at(time_s)


def nose_open(timeline: Timeline) -> tuple[tuple[float, float], ...]:
    """Stretches (start, end) in seconds of speech in which the way to the nose is open."""
    begin, end = timeline.speech_s
    times = np.arange(begin, end, STEP_S)
    return tuple((a, b) for a, b in _stretches(times, port_open(timeline.moment(times).port_mm)))


def voiced(timeline: Timeline) -> tuple[tuple[float, float], ...]:
    """Stretches (start, end) in seconds in which the folds vibrate."""
    times = np.arange(0.0, timeline.duration_s, STEP_S)
    return tuple(_stretches(times, vibrates(timeline.moment(times).voice)))


def _stretches(times: Array, on: Bools) -> list[tuple[float, float]]:
    return [(float(times[first]), float(times[last])) for first, last in runs(on) if last > first]


def _nasal_sounds(timeline: Timeline) -> bool:
    return any(span.entry.manner == "nasal" for span in timeline.spans)


def _lanes(timeline: Timeline) -> tuple[tuple[str, ...], ...]:
    """Organs that are never shut at the same time share a lane; the nose has its own."""
    lanes: list[list[str]] = []
    for organ in ("lips", "coronal", "dorsal"):
        mine = [c for c in timeline.closures if c.organ == organ]
        if not mine:
            continue
        for lane in lanes:
            others = [c for c in timeline.closures if c.organ in lane]
            if not any(a.start_s < b.end_s and b.start_s < a.end_s for a in mine for b in others):
                lane.append(organ)
                break
        else:
            lanes.append([organ])
    if _nasal_sounds(timeline):
        lanes.append(["nose"])
    return tuple(tuple(lane) for lane in lanes)


def strip_static(timeline: Timeline, box: Box, style: Style, language: Language, rows: Rows = "all") -> Layer:
    """Everything of the strip that stays, in a box (x, y, width, height) px.

    rows  "all", or "short" for sounds and voice alone
    """
    plan = _plan(timeline, box, rows)
    ops = [*_axis(timeline, plan, style), *_sounds(timeline, plan, style, None)]
    ops += _voice(timeline, plan, style, language)
    if plan.shut is not None:
        ops += _closures(timeline, plan, style, language)
    if plan.air is not None:
        ops += _air(timeline, plan, style, language)
    return Layer("time strip", tuple(ops), moves=False)


class PlayHead:
    """What moves on one strip: play head and lit sound. What is the same at every moment is worked out once."""

    def __init__(
        self,
        timeline: Timeline,
        box: Box,
        style: Style,
        language: Language,
        rows: Rows = "all",
        course: Course | None = None,
    ) -> None:
        self._plan = _plan(timeline, box, rows)
        self._course = course or Course(timeline)
        self._lit = cache(lambda index: Layer("sound said", tuple(_sounds(timeline, self._plan, style, index))))
        drawn = _closures(timeline, self._plan, style, language) if self._plan.shut is not None else []
        self._words = [op for op in drawn if isinstance(op, Text) and op.anchor == "middle"]

    def layers(self, time_s: float) -> list[Layer]:
        """The sound being made, the same layer as long as it lasts, and the play head; neither covers the symbol."""
        index, _ = self._course.at(time_s)
        layers = [] if index is None else [self._lit(index)]
        plan = self._plan
        x = plan.at(time_s)
        if not plan.left - 0.5 <= x <= plan.right + 0.5:
            # before and after what the strip shows there is no place for it
            return layers
        top, high = plan.marker
        half = 0.62 * high
        below = plan.sounds[0] + plan.sounds[1] + 1.5 * plan.unit
        line = Path.line([[x, below], [x, plan.ticks[0] + 0.3 * plan.unit]])
        mark = Path.polygon([[x - half, top], [x + half, top], [x, top + high]])
        casing = ("panel", (2.2 + 2.0) * plan.unit)
        head = Stroke(line, "ink", 2.2 * plan.unit, cap="butt", casing=casing, name="play head")
        marker = Fill(mark, "ink", name="play head marker")
        # two layers: what lies between them need not be drawn again
        return [
            *layers,
            Layer("play head", (head, *_uncovered(self._words, x, plan))),
            Layer("play head marker", (marker,)),
        ]


def _uncovered(words: list[Text], x: float, plan: _Plan) -> list[Op]:
    """The words of bars that the play head crosses, again, so that they can be read over it."""
    ops: list[Op] = []
    for word in words:
        reach = 0.5 * width(word.string, word.size, word.weight) + 2.0 * plan.unit
        if abs(word.x - x) <= reach:
            ground = "panel" if word.colour == "air" else "contact"
            ops.append(replace(word, casing=(ground, 2.0 * plan.unit)))
    return ops


def _size(plan: _Plan, style: Style, kind: str) -> float:
    return style.size(kind) * min(plan.unit, 2.0)


def _axis(timeline: Timeline, plan: _Plan, style: Style) -> list[Op]:
    begin = timeline.speech_s[0]
    top, high = plan.ticks
    size = 0.86 * _size(plan, style, "small")
    ops: list[Op] = [Stroke(Path.line([[plan.left, top], [plan.right, top]]), "rule", style.line("rule"))]
    first = int(np.ceil((plan.start_s - begin) / TICK_S - 1e-9))
    last = int(np.floor((plan.end_s - begin) / TICK_S + 1e-9))
    per = TICK_S / (plan.end_s - plan.start_s) * (plan.right - plan.left)
    room = width("1000", size) + 14 * plan.unit
    every = next((n for n in (1, 2, 5, 10, 20, 50) if n * per >= room), 100)
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


def _label(plan: _Plan, style: Style, row: tuple[float, float], word: str) -> Op:
    size = 0.92 * _size(plan, style, "small")
    size = min(size, size * GUTTER * min(plan.unit, 1.6) / width(word, size))
    return Text(word, plan.left - 10 * plan.unit, row[0] + row[1] / 2, size, "ink2", anchor="end", baseline="middle")


def _sounds(timeline: Timeline, plan: _Plan, style: Style, only: int | None) -> list[Op]:
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


def _breath_edge(span: Span, plan: _Plan, lit: bool) -> list[Op]:
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


def _voice(timeline: Timeline, plan: _Plan, style: Style, language: Language) -> list[Op]:
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


def _closures(timeline: Timeline, plan: _Plan, style: Style, language: Language) -> list[Op]:
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
    plan: _Plan, style: Style, language: Language, organ: str, start: float, end: float, y: float, high: float
) -> list[Op]:
    x0, x1 = plan.ends(start, end)
    path = Path.rectangle(x0, y, x1 - x0, high)
    name = f"closure {organ}"
    ops: list[Op] = [Fill(path, "contact", name=name), Stroke(path, "contact_edge", 1.7 * plan.unit, join="miter")]
    if style.hex("contact_edge") == style.hex("paper"):
        ops.append(Stroke(path, "ink", 0.9 * plan.unit, join="miter"))
    words = [language.text(f"{kind}.{organ}") for kind in ("organ", "organ_short")]
    ops += _fitted(words, x0, x1, y, high, "contact_edge", plan, style)
    return ops


def _nose_bar(
    plan: _Plan, style: Style, language: Language, start: float, end: float, y: float, high: float
) -> list[Op]:
    x0, x1 = plan.ends(start, end)
    path = Path.rectangle(x0, y, x1 - x0, high, high / 2)
    ops: list[Op] = [Fill(path, "panel", name="nose open"), Stroke(path, "air", 1.6 * plan.unit)]
    words = [language.say(Line(key)) for key in ("time_strip.nose_open", "organ_short.nose")]
    return ops + _fitted(words, x0, x1, y, high, "air", plan, style)


def _fitted(
    words: list[str], x0: float, x1: float, y: float, high: float, colour: str, plan: _Plan, style: Style
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


def _air(timeline: Timeline, plan: _Plan, style: Style, language: Language) -> list[Op]:
    """Air out of the mouth as a filled curve; out of the nose hatched and outlined."""
    assert plan.air is not None
    top, high = plan.air
    base = top + high
    times = np.arange(plan.start_s, plan.end_s, STEP_S)
    moment = timeline.moment(times)
    x = plan.x(times)
    ops: list[Op] = [_label(plan, style, plan.air, language.text("time_strip.air"))]
    full = max(limits().flow.full_ml_s, float((moment.mouth_ml_s + moment.nose_ml_s).max()))

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
