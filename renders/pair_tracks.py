"""Two sounds in time, one above the other and aligned: contact, air and voice, and the stretch that differs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index
from renders.markstate import numbers
from renders.picture import Fill, Group, Layer, Op, Path, Stroke, Text
from renders.statement import texts
from renders.style import Style
from renders.typeface import width
from vocaltract.motion.closures import runs
from vocaltract.motion.timeline import Moment, Timeline

Box: TypeAlias = tuple[float, float, float, float]

STEP_S = 0.001
LABELS_PX = 196.0
HEAD_PX, AXIS_PX, BRACKET_PX = 46.0, 40.0, 36.0
ORGAN_WORDS = {"lips": "lips", "coronal": "tongue tip", "dorsal": "tongue back"}


@dataclass(frozen=True)
class Row:
    """One sound in time: the time in s that lies at 0 on the axis, which span it is, place in words, degree there."""

    symbol: str
    timeline: Timeline
    zero_s: float
    index: int
    place: str
    degree: str


@dataclass(frozen=True)
class Span:
    """What is marked as different: from and to in s from the zero of the axis, and its label."""

    start_s: float
    end_s: float
    label: str


def tracks_layer(
    rows: Sequence[Row], title: str, zero_label: str, differs: Span | None, box: Box, style: Style
) -> Layer:
    """Rows over one axis in milliseconds in a box (x, y, width, height) in px."""
    x, y, w, h = box
    before, after = texts()["layout"]["before_ms"] / 1000, texts()["layout"]["after_ms"] / 1000
    left, right = x + LABELS_PX, x + w - 24
    scale = (right - left) / (before + after)
    zero = left + before * scale
    top, bottom = y + HEAD_PX, y + h - AXIS_PX - BRACKET_PX
    tall = (bottom - top) / len(rows)
    ops: list[Op] = [Text(title, x + 24, y + 28, 22, "ink", "bold", baseline="middle")]
    if differs is not None:
        a, b = zero + differs.start_s * scale, zero + differs.end_s * scale
        ops.append(Fill(Path.rectangle(a, top, b - a, bottom - top + 4, 3), "rule", 0.12, name="differs"))
    most = max(float(_window(row, before, after)[1].mouth_ml_s.max()) for row in rows)
    for number, row in enumerate(rows):
        at = top + number * tall
        ops += _row(row, (x, at, w, tall), left, scale, zero, most, (before, after), style)
        line = at + tall - 1
        ops.append(Stroke(Path.line([[left, line], [right, line]]), "rule", style.line("rule"), opacity=0.7))
    ops.append(Stroke(Path.line([[zero, top - 8], [zero, bottom + 8]]), "ink", 2.2, cap="butt", name="zero"))
    ops.append(Text(zero_label, zero, y + 26, 18, "ink", "bold", anchor="middle", baseline="middle"))
    for ms in range(-int(before * 1000) // 50 * 50, int(after * 1000) + 1, 50):
        tick = zero + ms / 1000 * scale
        if not left - 1 <= tick <= right + 1:
            continue
        ops.append(Stroke(Path.line([[tick, bottom + 4], [tick, bottom + 11]]), "ink2", style.line("rule")))
        name = f"{ms} ms" if ms == 0 else f"\u2212{-ms}" if ms < 0 else f"{ms}"
        ops.append(Text(name, tick, bottom + 26, 17, "ink2", anchor="middle", baseline="middle"))
    if differs is not None:
        ops += _bracket(differs, zero, scale, bottom + AXIS_PX + 2, (left, right), style)
    return Layer("tracks", tuple(ops))


def _window(row: Row, before: float, after: float) -> tuple[Array, Moment]:
    times = row.zero_s + np.arange(-before, after + STEP_S / 2, STEP_S)
    return times, row.timeline.moment(times)


def _row(
    row: Row, box: Box, left: float, scale: float, zero: float, most: float, window: tuple[float, float], style: Style
) -> list[Op]:
    x, y, _, tall = box
    before, after = window
    times, now = _window(row, before, after)
    labels = texts()["tracks"]
    size = min(58.0, 58.0 * 62.0 / max(width(row.symbol, 58, "bold"), 1.0))
    lanes = [y + tall * share for share in (0.19, 0.52, 0.83)]
    ops: list[Op] = [Text(row.symbol, x + 24, y + tall / 2, size, "ink", "bold", baseline="middle")]
    narrow = _narrow_runs(row.timeline, times, now)
    contact = labels["narrow" if row.degree == "narrow" else "contact"]
    for name, lane in zip((contact, labels["air"], labels["voice"]), lanes, strict=True):
        ops.append(Text(name, x + 100, lane, 17, "ink2", baseline="middle"))

    def px(t: float) -> float:
        return float(np.clip(zero + (t - row.zero_s) * scale, left, zero + after * scale))

    bar = tall * 0.23
    own = sum(row.timeline.spans[row.index].hold_s) / 2

    def words(organ: str, start: float, end: float) -> tuple[str, ...]:
        return (row.place, ORGAN_WORDS[organ]) if start <= own <= end else (ORGAN_WORDS[organ],)

    for organ, start, end in _closed(row.timeline, times):
        ops += _bar(px(start), px(end), lanes[0], bar, words(organ, start, end))
    for organ, start, end in narrow:
        ops += _broken_bar(px(start), px(end), lanes[0], bar, words(organ, start, end))
    if row.degree == "wide" and row.place:
        middle = px(own)
        half = width(row.place, 17) / 2
        if middle < zero:
            middle = min(middle, zero - half - 8)
        ops.append(Text(row.place, max(middle, left + half), lanes[0], 17, "ink", anchor="middle", baseline="middle"))
    ops += _air(times, now, px, before, lanes[1] + tall * 0.13, tall * 0.30, most, style)
    ops += _voice(times, now, px, lanes[2], tall * 0.07, style)
    return ops


def _closed(timeline: Timeline, times: Array) -> list[tuple[str, float, float]]:
    """Contacts in the window by organ; a lateral's counts, though its sides stay open."""
    found = [(c.organ, c.start_s, c.end_s) for c in timeline.closures if c.end_s > times[0] and c.start_s < times[-1]]
    sides = timeline.posture(times).values[:, part_index("sides_open")] > 0.5
    for first, last in runs((timeline.moment(times).coronal_mm <= 0) & sides):
        found.append(("coronal", float(times[first]), float(times[last])))
    return found


def _narrow_runs(timeline: Timeline, times: Array, now: Moment) -> list[tuple[str, float, float]]:
    table = numbers()["hiss"]
    gaps = {"lips": now.lips_mm, "coronal": now.coronal_mm, "dorsal": now.dorsal_mm}
    found = []
    for span in timeline.spans:
        if span.entry.manner != "fricative":
            continue
        organ = min(gaps, key=lambda k: float(np.interp(sum(span.hold_s) / 2, times, gaps[k])))
        inside = (times >= span.start_s) & (times <= span.end_s)
        for first, last in runs((gaps[organ] > 0) & (gaps[organ] < table["gap_mm"]) & inside):
            if last - first > 5:
                found.append((organ, float(times[first]), float(times[last])))
    return found


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
    times: Array,
    now: Moment,
    px: Callable[[float], float],
    zero_at: float,
    base: float,
    tall: float,
    most: float,
    style: Style,
) -> list[Op]:
    ops: list[Op] = []
    xs = np.array([px(t) for t in times])
    for flow, nose in ((now.mouth_ml_s, False), (now.nose_ml_s, True)):
        level = np.where(flow > 8.0, flow, 0.0) / max(most, 1.0) * tall
        for first, last in runs(level > 0):
            line = np.stack([xs[first : last + 1], base - level[first : last + 1]], axis=-1)
            ring = np.concatenate([line, [[line[-1, 0], base], [line[0, 0], base]]])
            if not nose:
                ops.append(Fill(Path.polygon(ring), "air", name="air out"))
                continue
            posts = np.arange(line[0, 0] + 4, line[-1, 0], 8.0)
            bars = [[[p, base], [p, float(np.interp(p, line[:, 0], line[:, 1]))]] for p in posts]
            ops.append(Stroke(Path.lines(bars), "air", 1.6, cap="butt"))
            ops.append(Stroke(Path.polygon(ring), "air", 1.8, name="air out of the nose"))
            word = texts()["tracks"]["nose"]
            if last - first > 40:
                half = width(word, 16, "bold") / 2
                middle = float(line[np.argmin(line[:, 1]), 0])
                zero = px(times[0] + zero_at)
                if abs(middle - zero) < half + 8:
                    middle = zero - half - 8
                high = float(np.interp(middle, line[:, 0], line[:, 1]))
                casing = ("panel", 3.0)
                ops.append(
                    Text(word, middle, high - 9, 16, "air", "bold", anchor="middle", baseline="middle", casing=casing)
                )
    return ops


def _voice(times: Array, now: Moment, px: Callable[[float], float], y: float, swing: float, style: Style) -> list[Op]:
    ops: list[Op] = []
    for first, last in runs(now.voice > 0.5):
        a, b = px(times[first]), px(times[last])
        s = np.arange(a, b, 1.5)
        wave = np.stack([s, y - swing * np.sin((s - a) / 6.2)], axis=-1)
        ops.append(Group((Stroke(Path.line(wave), "voice", style.line("voice") * 0.9, name="voice"),)))
        if first > 0:
            start = Path.line([[a, y - swing - 6], [a, y + swing + 6]])
            ops.append(Stroke(start, "voice", 2.2, cap="butt", name="voice starts"))
    return ops


def _bracket(differs: Span, zero: float, scale: float, y: float, room: tuple[float, float], style: Style) -> list[Op]:
    a, b = zero + differs.start_s * scale, zero + differs.end_s * scale
    half = width(differs.label, 20, "bold") / 2
    middle = min(max((a + b) / 2, room[0] + half), room[1] - half)
    line = [[a, y + 3], [b, y + 3]]
    # no end where the stretch goes on beyond the picture
    line = ([[a, y - 5]] if a > room[0] + 1 else []) + line + ([[b, y - 5]] if b < room[1] - 1 else [])
    return [
        Stroke(Path.line(line), "ink", 2.0, cap="butt", join="miter", name="bracket"),
        Text(differs.label, middle, y + 20, 20, "ink", "bold", anchor="middle", baseline="middle"),
    ]
