"""Two sounds in time, one above the other and aligned: contact, air and voice, and the stretch that differs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from renders.paper.fitting import size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.tracks.layout import tracks_layout
from renders.wording.languages import Language
from renders.wording.line import Line, Lines
from vocaltract.motion.closures import runs
from vocaltract.motion.limits import motion_limits, narrow, vibrates
from vocaltract.motion.stops import STEP_S
from vocaltract.motion.timeline import Signals, Timeline
from vocaltract.pairs.event import contacts

LABELS_PX = 196.0
HEAD_PX, AXIS_PX, BRACKET_PX = 46.0, 40.0, 36.0
LEAST_ML_S = 8.0
LEAST_TICK_PX = 70.0
SPECK = 4  # samples: air that would be seen for less is a speck at the edge of the picture


@dataclass(frozen=True)
class TrackRow:
    """One sound in time: the time in s that lies at 0 on the axis, which span it is, degree of its narrowing.

    place  what its bar of contact says, in full and short; nothing where it has none
    """

    symbol: str
    timeline: Timeline
    zero_s: float
    index: int
    place: Lines
    degree: str


@dataclass(frozen=True)
class MarkedSpan:
    """What is marked as different: from and to in s from the zero of the axis, and its label."""

    start_s: float
    end_s: float
    label: Line


@dataclass(frozen=True)
class PairTracks:
    """Rows in time: what lies at 0, in full and short, and what is marked as different.

    window_s  seconds seen before and after the zero; None: what suits two sounds
    """

    rows: tuple[TrackRow, ...]
    title: Line
    label: Line
    differs: MarkedSpan | None
    window_s: tuple[float, float] | None = None


@dataclass(frozen=True)
class Axis:
    """The axis of time under the rows: px of its zero, px a second, from x and to x, from y and to y."""

    zero: float
    scale: float
    left: float
    right: float
    top: float
    bottom: float

    def x(self, time_s: float) -> float:
        """Where a time in s from the zero lies, in px."""
        return self.zero + time_s * self.scale


def axis_of(box: Box, window_s: tuple[float, float] | None = None) -> Axis:
    """The axis in a box (x, y, width, height) in px; `window_s` is what is seen before and after the zero."""
    x, y, w, h = box
    before, after = window_s or _usual()
    left, right = x + LABELS_PX, x + w - 24
    scale = (right - left) / (before + after)
    return Axis(left + before * scale, scale, left, right, y + HEAD_PX, y + h - AXIS_PX - BRACKET_PX)


def _usual() -> tuple[float, float]:
    seen = tracks_layout().pair
    return seen.before_s, seen.after_s


def tracks_layer(tracks: PairTracks, box: Box, style: Style, language: Language) -> Layer:
    """Rows over one axis in milliseconds in a box (x, y, width, height) in px."""
    x, y, w, _ = box
    rows, differs = tracks.rows, tracks.differs
    before, after = tracks.window_s or _usual()
    axis = axis_of(box, tracks.window_s)
    left, right, scale, zero, top, bottom = axis.left, axis.right, axis.scale, axis.zero, axis.top, axis.bottom
    tall = (bottom - top) / len(rows)
    title, zero_label = language.text("pair_event.title", event=tracks.title), language.say(tracks.label)
    ops: list[Op] = [Text(title, x + 24, y + 28, 22, "ink", "bold", baseline="middle")]
    title_end = x + 24 + width(title, 22, "bold")
    if differs is not None:
        a, b = zero + differs.start_s * scale, zero + differs.end_s * scale
        ops.append(Fill(Path.rectangle(a, top, b - a, bottom - top + 4, 3), "rule", 0.12, name="differs"))
    moments = [_window(row, before, after)[1] for row in rows]
    # the scale of films: one height is one flow in every comparison
    most = max([motion_limits().flow.full_ml_s, *(float(m.mouth_ml_s.max()) for m in moments)])
    lanes = _lanes(rows)
    for number, row in enumerate(rows):
        at = top + number * tall
        ops += _row(row, (x, at, w, tall), left, scale, zero, most, (before, after), lanes, style, language)
        line = at + tall - 1
        ops.append(Stroke(Path.line([[left, line], [right, line]]), "rule", style.line("rule"), opacity=0.7))
    ops.append(Stroke(Path.line([[zero, top - 8], [zero, bottom + 8]]), "ink", 2.2, cap="butt", name="zero"))
    if zero - width(zero_label, 18, "bold") / 2 > title_end + 8:  # else the title alone says it
        ops.append(Text(zero_label, zero, y + 26, 18, "ink", "bold", anchor="middle", baseline="middle"))
    step = next(ms for ms in (50, 100, 200, 500, 1000, 5000) if ms / 1000 * scale >= LEAST_TICK_PX)
    for ms in range(-int(before * 1000) // step * step, int(after * 1000) + 1, step):
        tick = zero + ms / 1000 * scale
        if not left - 1 <= tick <= right + 1:
            continue
        ops.append(Stroke(Path.line([[tick, bottom + 4], [tick, bottom + 11]]), "ink2", style.line("rule")))
        name = f"{ms} ms" if ms == 0 else f"\u2212{-ms}" if ms < 0 else f"{ms}"
        ops.append(Text(name, tick, bottom + 26, 17, "ink2", anchor="middle", baseline="middle"))
    if differs is not None:
        ops += _bracket(differs, zero, scale, bottom + AXIS_PX + 2, (left, right), language)
    return Layer("tracks", tuple(ops))


def _window(row: TrackRow, before: float, after: float) -> tuple[Array, Signals]:
    times = row.zero_s + np.arange(-before, after + STEP_S / 2, STEP_S)
    return times, row.timeline.moment(times)


def _row(
    row: TrackRow,
    box: Box,
    left: float,
    scale: float,
    zero: float,
    most: float,
    window: tuple[float, float],
    lanes: Sequence[str],
    style: Style,
    language: Language,
) -> list[Op]:
    x, y, _, tall = box
    before, after = window
    times, now = _window(row, before, after)
    size = min(58.0, 58.0 * 62.0 / max(width(row.symbol, 58, "bold"), 1.0))
    high = tall / len(lanes)
    at = {name: y + high * (number + 0.52) for number, name in enumerate(lanes)}
    ops: list[Op] = [Text(row.symbol, x + 24, y + tall / 2, size, "ink", "bold", baseline="middle")]
    for name, lane in at.items():
        said = "narrow" if name == "contact" and row.degree == "narrow" else name
        if name != "contact" or row.place:
            label = language.text(f"pair_tracks.{said}")
            size = size_for(label, LABELS_PX - 100, 17)
            ops.append(Text(label, x + 100, lane, size, "ink2", baseline="middle"))

    def px(t: float) -> float:
        return float(np.clip(zero + (t - row.zero_s) * scale, left, zero + after * scale))

    if row.place:
        ops += _contact(row, times, now, px, at["contact"], min(0.23 * tall, 0.78 * high), (left, zero), language)
    lane_of_mouth = at.get("air", at.get("mouth_air", 0.0))
    ops += _air(times, now.mouth_ml_s, px, lane_of_mouth + 0.36 * high, 0.82 * high, most, False)
    if "nose_air" in at:
        ops += _air(times, now.nose_ml_s, px, at["nose_air"] + 0.36 * high, 0.82 * high, most, True)
    ops += _voice(times, now, px, at["voice"], 0.07 * tall, style)
    return ops


def _lanes(rows: Sequence[TrackRow]) -> tuple[str, ...]:
    """The lanes of every row: contact where one has any, air (mouth and nose apart for a nasal sound), voice."""
    middles = [(row, np.array([sum(row.timeline.spans[row.index].hold_s) / 2])) for row in rows]
    nose = any(float(row.timeline.moment(at).nose_ml_s[0]) >= LEAST_ML_S for row, at in middles)
    air = ("mouth_air", "nose_air") if nose else ("air",)
    return (*(("contact",) if any(row.place for row in rows) else ()), *air, "voice")


def _contact(
    row: TrackRow, times: Array, now: Signals, px: Callable[[float], float], y: float, tall: float,
    ends: tuple[float, float], language: Language,
) -> list[Op]:  # fmt: skip
    """The bar of the row's own sound; what its neighbours touch is no part of the comparison."""
    ops: list[Op] = []
    words = tuple(language.say(one) for one in row.place)
    for start, end in contacts(row.timeline, row.index):
        if end <= times[0] or start >= times[-1]:
            continue
        ops += _bar(px(start), px(end), y, tall, words)
    for start, end in _narrow_runs(row, times, now):
        ops += _broken_bar(px(start), px(end), y, tall, words)
    if row.degree == "wide":
        left, zero = ends
        middle = px(sum(row.timeline.spans[row.index].hold_s) / 2)
        half = width(words[0], 17) / 2
        if middle < zero:
            middle = min(middle, zero - half - 8)
        ops.append(Text(words[0], max(middle, left + half), y, 17, "ink", anchor="middle", baseline="middle"))
    return ops


def _narrow_runs(row: TrackRow, times: Array, now: Signals) -> list[tuple[float, float]]:
    span = row.timeline.spans[row.index]
    if span.entry.manner != "fricative":
        return []
    gaps = (now.lips_mm, now.coronal_mm, now.dorsal_mm)
    gap = min(gaps, key=lambda g: float(np.interp(sum(span.hold_s) / 2, times, g)))
    inside = (times >= span.start_s) & (times <= span.end_s)
    near = runs(narrow(gap) & inside)
    return [(float(times[first]), float(times[last])) for first, last in near if last - first > 5]


def _bar(a: float, b: float, y: float, tall: float, words: tuple[str, ...]) -> list[Op]:
    shape = Path.rectangle(a, y - tall / 2, b - a, tall, 3)
    ops: list[Op] = [Fill(shape, "contact"), Stroke(shape, "contact_edge", 1.6, name="contact")]
    return ops + _named(words, a, b, y, "contact_edge")


def _named(words: tuple[str, ...], a: float, b: float, y: float, colour: str) -> list[Op]:
    """The first of the words that fits between a and b."""
    for word in words:
        if width(word, 17, "bold") + 12 <= b - a:
            return [Text(word, (a + b) / 2, y, 17, colour, "bold", anchor="middle", baseline="middle")]
    return []


def _broken_bar(a: float, b: float, y: float, tall: float, words: tuple[str, ...]) -> list[Op]:
    """Narrow, not shut: an open frame with broken edges."""
    ops: list[Op] = [
        Stroke(Path.line([[a, edge], [b, edge]]), "ink", 2.4, dash=(9.0, 5.0), cap="butt", name="narrow")
        for edge in (y - tall / 2, y + tall / 2)
    ]
    return ops + _named(words, a, b, y, "ink")


def _air(
    times: Array, flow: Array, px: Callable[[float], float], base: float, tall: float, most: float, nose: bool
) -> list[Op]:
    """Air out of the mouth filled, out of the nose in bars."""
    ops: list[Op] = []
    xs = np.array([px(t) for t in times])
    level = np.where(flow > LEAST_ML_S, flow, 0.0) / most * tall
    for first, last in runs(level > 0):
        if last - first < SPECK:
            continue
        line = np.stack([xs[first : last + 1], base - level[first : last + 1]], axis=-1)
        ring = np.concatenate([line, [[line[-1, 0], base], [line[0, 0], base]]])
        if not nose:
            ops.append(Fill(Path.polygon(ring), "air", name="air out"))
            continue
        posts = np.arange(line[0, 0] + 4, line[-1, 0], 8.0)
        bars = [[[p, base], [p, float(np.interp(p, line[:, 0], line[:, 1]))]] for p in posts]
        ops.append(Stroke(Path.lines(bars), "air", 1.6, cap="butt"))
        ops.append(Stroke(Path.polygon(ring), "air", 1.8, name="air out of the nose"))
    return ops


def _voice(times: Array, now: Signals, px: Callable[[float], float], y: float, swing: float, style: Style) -> list[Op]:
    ops: list[Op] = []
    for first, last in runs(vibrates(now.voice)):
        a, b = px(times[first]), px(times[last])
        s = np.arange(a, b, 1.5)
        wave = np.stack([s, y - swing * np.sin((s - a) / 6.2)], axis=-1)
        ops.append(Group((Stroke(Path.line(wave), "voice", style.line("voice") * 0.9, name="voice"),)))
        if first > 0:
            start = Path.line([[a, y - swing - 6], [a, y + swing + 6]])
            ops.append(Stroke(start, "voice", 2.2, cap="butt", name="voice starts"))
    return ops


def _bracket(
    differs: MarkedSpan, zero: float, scale: float, y: float, room: tuple[float, float], language: Language
) -> list[Op]:
    a, b = zero + differs.start_s * scale, zero + differs.end_s * scale
    label = language.say(differs.label)
    half = width(label, 20, "bold") / 2
    middle = min(max((a + b) / 2, room[0] + half), room[1] - half)
    line = [[a, y + 3], [b, y + 3]]
    # no end where the stretch goes on beyond the picture
    line = ([[a, y - 5]] if a > room[0] + 1 else []) + line + ([[b, y - 5]] if b < room[1] - 1 else [])
    return [
        Stroke(Path.line(line), "ink", 2.0, cap="butt", join="miter", name="bracket"),
        Text(label, middle, y + 20, 20, "ink", "bold", anchor="middle", baseline="middle"),
    ]
