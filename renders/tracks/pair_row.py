"""One sound in time on an axis that it shares with another: its symbol, contact, air and voice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from renders.paper.fitting import size_for
from renders.paper.picture import Fill, Group, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.tracks.layout import tracks_layout
from renders.wording.languages import Language
from renders.wording.line import Lines
from vocaltract.airway.limits import narrow
from vocaltract.motion.closures import runs
from vocaltract.motion.limits import vibrates
from vocaltract.motion.stops import STEP_S
from vocaltract.motion.timeline import Signals, Timeline
from vocaltract.pairs.event import contacts


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
class Axis:
    """The axis of time under the rows: px of its zero, px a second, from x and to x, from y and to y.

    window_s  seconds seen before and after the zero
    """

    zero: float
    scale: float
    left: float
    right: float
    top: float
    bottom: float
    window_s: tuple[float, float]

    def x(self, time_s: float) -> float:
        """Where a time in s from the zero lies, in px."""
        return self.zero + time_s * self.scale


@dataclass(frozen=True)
class RowPlace:
    """Where the rows are drawn, and how.

    left    edge of the picture in px, before symbols and names
    lanes   of every row, from top to bottom
    full_ml_s  the flow that is as high as a lane allows
    """

    axis: Axis
    left: float
    lanes: tuple[str, ...]
    full_ml_s: float
    style: Style
    language: Language


@dataclass(frozen=True, eq=False)
class SeenRow:
    """What is seen of a row: its times (n,) in s of its own timeline, its signals then, and the axis they lie on."""

    row: TrackRow
    axis: Axis
    times_s: Array
    now: Signals

    def x(self, time_s: float) -> float:
        """A time in s of the row's own timeline in px, within the axis."""
        return float(np.clip(self.axis.x(time_s - self.row.zero_s), self.axis.left, self.axis.right))

    @property
    def middle_s(self) -> float:
        """The middle of what the sound holds, in s."""
        return sum(self.row.timeline.spans[self.row.index].hold_s) / 2


def seen_row(row: TrackRow, axis: Axis) -> SeenRow:
    """What is seen of a row on an axis."""
    before, after = axis.window_s
    times = row.zero_s + np.arange(-before, after + STEP_S / 2, STEP_S)
    return SeenRow(row, axis, times, row.timeline.moment(times))


def lanes_of(rows: Sequence[TrackRow]) -> tuple[str, ...]:
    """The lanes of every row: contact where one has any, air (mouth and nose apart for a nasal sound), voice."""
    middles = [(row, np.array([sum(row.timeline.spans[row.index].hold_s) / 2])) for row in rows]
    least = tracks_layout().pair_air.least_ml_s
    nose = any(float(row.timeline.moment(at).nose_ml_s[0]) >= least for row, at in middles)
    air = ("mouth_air", "nose_air") if nose else ("air",)
    return (*(("contact",) if any(row.place for row in rows) else ()), *air, "voice")


def row_ops(seen: SeenRow, place: RowPlace, top: float, tall: float) -> list[Op]:
    """A row from `top` px down, `tall` px high: symbol, names of its lanes, contact, air and voice."""
    look, row = tracks_layout().pair_row, seen.row
    high = tall / len(place.lanes)
    at = {name: top + high * (number + look.lane_middle_share) for number, name in enumerate(place.lanes)}
    ops = [_symbol(row.symbol, place, top + tall / 2), *_names(row, place, at)]
    if row.place:
        ops += _contact(seen, place.language, at["contact"], min(look.bar_share[0] * tall, look.bar_share[1] * high))
    foot, tallest = (share * high for share in look.air_share)
    mouth, nose = seen.now.mouth_ml_s, seen.now.nose_ml_s
    for lane, flow in (("air", mouth), ("mouth_air", mouth), ("nose_air", nose)):
        if lane in at:
            heights = tallest * _share(flow, place.full_ml_s)
            draw = _nose_air if lane == "nose_air" else _mouth_air
            ops += [op for line in _curves(seen, heights, at[lane] + foot) for op in draw(line, at[lane] + foot)]
    return [*ops, *_voice(seen, place.style, at["voice"], look.voice_share * tall)]


def _symbol(symbol: str, place: RowPlace, y: float) -> Op:
    x, size, room = tracks_layout().pair_row.symbol_px
    size = min(size, size * room / max(width(symbol, size, "bold"), 1.0))
    return Text(symbol, place.left + x, y, size, "ink", "bold", baseline="middle")


def _names(row: TrackRow, place: RowPlace, at: dict[str, float]) -> Iterator[Op]:
    x, size = tracks_layout().pair_row.name_px
    for name, y in at.items():
        said = "narrow" if name == "contact" and row.degree == "narrow" else name
        if name != "contact" or row.place:
            label = place.language.text(f"pair_tracks.{said}")
            fits = size_for(label, tracks_layout().pair_page.labels_px - x, size)
            yield Text(label, place.left + x, y, fits, "ink2", baseline="middle")


def _contact(seen: SeenRow, language: Language, y: float, tall: float) -> list[Op]:
    """The bar of the row's own sound; what its neighbours touch is no part of the comparison."""
    row, look = seen.row, tracks_layout().pair_bar
    ops: list[Op] = []
    words = tuple(language.say(one) for one in row.place)
    for start, end in contacts(row.timeline, row.index):
        if end <= seen.times_s[0] or start >= seen.times_s[-1]:
            continue
        ops += _bar((seen.x(start), seen.x(end)), y, tall, words)
    for start, end in _narrow_runs(seen):
        ops += _broken_bar((seen.x(start), seen.x(end)), y, tall, words)
    if row.degree == "wide":
        middle = seen.x(seen.middle_s)
        half = width(words[0], look.word_px) / 2
        if middle < seen.axis.zero:
            middle = min(middle, seen.axis.zero - half - look.word_apart_px)
        x = max(middle, seen.axis.left + half)
        ops.append(Text(words[0], x, y, look.word_px, "ink", anchor="middle", baseline="middle"))
    return ops


def _narrow_runs(seen: SeenRow) -> list[tuple[float, float]]:
    span, times, now = seen.row.timeline.spans[seen.row.index], seen.times_s, seen.now
    if span.entry.manner != "fricative":
        return []
    gaps = (now.lips_mm, now.coronal_mm, now.dorsal_mm)
    gap = min(gaps, key=lambda g: float(np.interp(seen.middle_s, times, g)))
    inside = (times >= span.start_s) & (times <= span.end_s)
    near, least = runs(narrow(gap) & inside), tracks_layout().pair_bar.narrow_samples
    return [(float(times[first]), float(times[last])) for first, last in near if last - first > least]


def _bar(ends: tuple[float, float], y: float, tall: float, words: tuple[str, ...]) -> list[Op]:
    look = tracks_layout().pair_bar
    shape = Path.rectangle(ends[0], y - tall / 2, ends[1] - ends[0], tall, look.corner_px)
    edge = Stroke(shape, "contact_edge", look.edge_px, name="contact")
    return [Fill(shape, "contact"), edge, *_named(words, ends, y, "contact_edge")]


def _broken_bar(ends: tuple[float, float], y: float, tall: float, words: tuple[str, ...]) -> list[Op]:
    """Narrow, not shut: an open frame with broken edges."""
    look, (a, b) = tracks_layout().pair_bar, ends
    ops: list[Op] = [
        Stroke(Path.line([[a, edge], [b, edge]]), "ink", look.broken_px, dash=look.dash_px, cap="butt", name="narrow")
        for edge in (y - tall / 2, y + tall / 2)
    ]
    return ops + _named(words, ends, y, "ink")


def _named(words: tuple[str, ...], ends: tuple[float, float], y: float, colour: str) -> list[Op]:
    """The first of the words that fits between two ends."""
    look, (a, b) = tracks_layout().pair_bar, ends
    for word in words:
        if width(word, look.word_px, "bold") + look.word_room_px <= b - a:
            return [Text(word, (a + b) / 2, y, look.word_px, colour, "bold", anchor="middle", baseline="middle")]
    return []


def _share(flow_ml_s: Array, full_ml_s: float) -> Array:
    """Flows (n,) as shares of the full one; 0 where there is no air to speak of."""
    return np.where(flow_ml_s > tracks_layout().pair_air.least_ml_s, flow_ml_s, 0.0) / full_ml_s


def _curves(seen: SeenRow, heights: Array, foot: float) -> Iterator[Array]:
    """Lines (n, 2) in px over each stretch of air, `heights` (n,) above the foot."""
    xs = np.array([seen.x(t) for t in seen.times_s])
    for first, last in runs(heights > 0):
        if last - first >= tracks_layout().pair_air.speck_samples:
            yield np.stack([xs[first : last + 1], foot - heights[first : last + 1]], axis=-1)


def _ring(line: Array, foot: float) -> Path:
    return Path.polygon(np.concatenate([line, [[line[-1, 0], foot], [line[0, 0], foot]]]))


def _mouth_air(line: Array, foot: float) -> list[Op]:
    """Air out of the mouth: filled."""
    return [Fill(_ring(line, foot), "air", name="air out")]


def _nose_air(line: Array, foot: float) -> list[Op]:
    """Air out of the nose: posts under an outline."""
    look = tracks_layout().pair_air
    posts = np.arange(line[0, 0] + look.post_px[0], line[-1, 0], look.post_px[1])
    bars = [[[p, foot], [p, float(np.interp(p, line[:, 0], line[:, 1]))]] for p in posts]
    return [
        Stroke(Path.lines(bars), "air", look.post_line_px, cap="butt"),
        Stroke(_ring(line, foot), "air", look.nose_line_px, name="air out of the nose"),
    ]


def _voice(seen: SeenRow, style: Style, y: float, swing: float) -> list[Op]:
    look = tracks_layout().pair_voice
    beyond, line_px = look.start_px
    ops: list[Op] = []
    for first, last in runs(vibrates(seen.now.voice)):
        a, b = seen.x(seen.times_s[first]), seen.x(seen.times_s[last])
        s = np.arange(a, b, look.every_px)
        wave = np.stack([s, y - swing * np.sin((s - a) / look.radian_px)], axis=-1)
        ops.append(Group((Stroke(Path.line(wave), "voice", style.line("voice") * look.line_share, name="voice"),)))
        if first > 0:
            start = Path.line([[a, y - swing - beyond], [a, y + swing + beyond]])
            ops.append(Stroke(start, "voice", line_px, cap="butt", name="voice starts"))
    return ops
