"""The tracks of an utterance as a figure: lips, tongue, velum, glottis, mouth pressure and voicing under its sounds.

Every curve is read from the timeline; shut places are the measured closures, and the stops below are the measured
events.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path as FilePath

import numpy as np

from articulators.curves import Array
from articulators.posture import part_index
from renders.ink import painter
from renders.paper.fitting import fitted, size_for
from renders.paper.picture import Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style, load
from renders.paper.typeface import width
from renders.tracks.timestrip import voiced
from vocaltract.motion.events import STEP_S, Stop, stops
from vocaltract.motion.timeline import Timeline

WIDTH, HEIGHT = 1800, 1250
LEFT, EDGE = 250.0, 38.0
SOUNDS = (112.0, 54.0)
FIRST, TALL, GAP = 186.0, 116.0, 22.0
VOICE_TALL, STOPS_TALL = 60.0, 78.0
BEFORE_S, AFTER_S = 0.12, 0.14
SHUT = 13.0  # height of the bar that marks a closure
PA_PER_CMH2O = 98.0665  # by definition
TICK_S = 0.1


@dataclass(frozen=True, eq=False)
class Track:
    """One curve: its name, what it measures and in which unit, values (n,), and colours of line and ground.

    `least` is the least height of the scale; `shut` are the stretches in which the place is closed.
    """

    name: str
    what: str
    values: Array
    least: float
    line: str
    ground: str
    shut: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class _Scale:
    """From seconds to px, as far as `right` px."""

    start_s: float
    end_s: float
    right: float

    def x(self, times_s: Array | float) -> Array:
        share = (np.asarray(times_s) - self.start_s) / (self.end_s - self.start_s)
        return LEFT + share * (self.right - LEFT)

    def at(self, time_s: float) -> float:
        return float(self.x(time_s))


def write_timing_plot(
    timeline: Timeline, out: FilePath, *, style: str = "light", size: tuple[int, int] = (WIDTH, HEIGHT)
) -> None:
    """Write the figure to .svg, .pdf or .png; a wider size gives time more room.

    BadInput for an unknown style or ending.
    """
    look = load(style)
    wide = max(WIDTH, round(HEIGHT * size[0] / size[1]))
    painter.save(fitted(timing_picture(timeline, look, wide), size), out, look)


def timing_picture(timeline: Timeline, style: Style, wide: float = WIDTH) -> Picture:
    """The figure at `wide` x 1250 px."""
    begin, end = timeline.speech_s
    scale = _Scale(max(0.0, begin - BEFORE_S), min(timeline.duration_s, end + AFTER_S), wide - EDGE)
    times = np.arange(scale.start_s, scale.end_s, STEP_S)
    shown = tracks(timeline, times)
    layers = [_heading(timeline, scale, style)]
    tops = [FIRST + i * (TALL + GAP) for i in range(len(shown))]
    voice_top = tops[-1] + TALL + GAP
    stops_top = voice_top + VOICE_TALL + GAP
    bottom = stops_top + STOPS_TALL
    layers += [
        _grounds([*((top, TALL) for top in tops), (voice_top, VOICE_TALL), (stops_top, STOPS_TALL)], scale, style)
    ]
    layers.append(_grid(timeline, scale, bottom))
    layers += [_track(track, times, top, scale, style) for track, top in zip(shown, tops, strict=True)]
    layers.append(_voicing(timeline, scale, voice_top, style))
    layers.append(_stops(timeline, scale, stops_top, style))
    layers.append(_sounds(timeline, scale, style))
    layers.append(_axis(timeline, scale, bottom, style))
    said = " ".join(timeline.utterance.words)
    return Picture(wide, HEIGHT, "paper", tuple(layers), f"Timing of {said}", _described(timeline))


def tracks(timeline: Timeline, times_s: Array) -> tuple[Track, ...]:
    """The curves of the figure at times (n,), from the lips to the lungs."""
    moment = timeline.moment(times_s)

    def closed(organ: str) -> tuple[tuple[float, float], ...]:
        return tuple((c.start_s, c.end_s) for c in timeline.closures if c.organ == organ)

    folds = np.asarray(timeline.posture(times_s).values[:, part_index("glottis_mm")])
    glottal = tuple(span.hold_s for span in timeline.spans if span.entry.symbol == "ʔ")
    moved = ("mover_line", "mover")
    pressure = np.asarray(moment.pressure_pa) / PA_PER_CMH2O
    return (
        Track("lips", "opening, mm", np.asarray(moment.lips_mm), 10, *moved, closed("lips")),
        Track(
            "tongue tip", "distance, mm", np.asarray(moment.coronal_mm), 10, "mover_line", "mover", closed("coronal")
        ),
        Track("tongue body", "distance, mm", np.asarray(moment.dorsal_mm), 10, "mover_line", "mover", closed("dorsal")),
        Track("velum", "opening to the nose, mm", np.asarray(moment.port_mm), 8, *moved),
        Track("glottis", "folds apart, mm", folds, 8, *moved, glottal),
        Track("mouth pressure", "cmH₂O", pressure, 8, "air", "air"),
    )


def _heading(timeline: Timeline, scale: _Scale, style: Style) -> Layer:
    size = style.size("title", "still")
    title = " ".join(timeline.utterance.words)
    said = timeline.utterance.transcription
    if title == said.strip("[]") or timeline.alone:
        title = ""
    room = scale.right - 40
    size = size_for(f"{title}  {said}", room, size, "bold")
    ops: list[Op] = []
    x = 40.0
    if title:
        ops.append(Text(title, x, 64, size, "ink", "bold"))
        x += width(title, size, "bold") + 0.7 * size
    ops.append(Text(said, x, 64, size, "ink2"))
    return Layer("title", tuple(ops))


def _grounds(boxes: Sequence[tuple[float, float]], scale: _Scale, style: Style) -> Layer:
    ops = [Fill(Path.rectangle(LEFT, top, scale.right - LEFT, tall), "panel") for top, tall in boxes]
    return Layer("grounds", tuple(ops))


def _grid(timeline: Timeline, scale: _Scale, bottom: float) -> Layer:
    """Where one sound ends and the next begins."""
    edges = sorted({span.start_s for span in timeline.spans} | {span.end_s for span in timeline.spans})
    top = SOUNDS[0] + SOUNDS[1]
    lines = Path.lines([[(scale.at(t), top), (scale.at(t), bottom)] for t in edges])
    return Layer("edges", (Stroke(lines, "rule", 1.2, dash=(2.0, 5.0), cap="butt", opacity=0.8),))


def _name(text: str, what: str, top: float, tall: float, style: Style) -> list[Op]:
    x, middle = LEFT - 62, top + tall / 2
    second, small = style.size("second", "still"), 0.86 * style.size("small", "still")
    small = size_for(what, x - 16, small)
    if not what:
        return [Text(text, x, middle, second, "ink", "bold", anchor="end", baseline="middle")]
    return [
        Text(text, x, middle - 14, second, "ink", "bold", anchor="end", baseline="middle"),
        Text(what, x, middle + 16, small, "ink2", anchor="end", baseline="middle"),
    ]


def _steps(highest: float, least: float) -> tuple[float, float]:
    """Top of a scale and the distance of its lines, round numbers that leave room above the curve."""
    need = max(1.08 * highest, least)
    step = next(s for s in (1, 2, 4, 5, 10, 20, 50, 100, 1000) if 3 * s >= need)
    return step * math.ceil(need / step), step


def _track(track: Track, times: Array, top: float, scale: _Scale, style: Style) -> Layer:
    base = top + TALL
    highest, step = _steps(float(track.values.max()), track.least)
    per = (TALL - 6) / highest
    small = 0.86 * style.size("small", "still")
    ops: list[Op] = []
    for k in range(int(highest / step) + 1):
        y = base - k * step * per
        if k:
            ops.append(Stroke(Path.line([(LEFT, y), (scale.right, y)]), "rule", 1.0, opacity=0.3))
        figure = f"{k * step:g}"
        ops.append(Text(figure, LEFT - 12, y, small, "ink2", family="figures", anchor="end", baseline="middle"))
    x = scale.x(times)
    curve = np.stack([x, base - per * np.clip(track.values, 0, highest)], axis=-1)
    area = np.concatenate([[(x[0], base)], curve, [(x[-1], base)]])
    ops.append(Fill(Path.polygon(area), track.ground, opacity=0.2 if track.ground == "air" else 0.45))
    ops.append(Stroke(Path.line(curve), track.line, style.line("tongue"), join="round", name=track.name))
    box = Path.rectangle(LEFT, top, scale.right - LEFT, TALL)
    drawn: list[Op] = [Group(tuple(ops[-2:]), clip=box)]
    bars = [op for start, end in track.shut for op in _shut(start, end, base, scale, style)]
    edge = Stroke(Path.line([(LEFT, base), (scale.right, base)]), "rule", style.line("rule"))
    names = _name(track.name, track.what, top, TALL, style)
    return Layer(track.name, (*ops[:-2], *drawn, edge, *bars, *names))


def _shut(start: float, end: float, base: float, scale: _Scale, style: Style) -> list[Op]:
    """A bar where the place is shut, and the word where there is room."""
    x0, x1 = (float(np.clip(scale.at(t), LEFT, scale.right)) for t in (start, end))
    bar = Path.rectangle(x0, base - SHUT, x1 - x0, SHUT)
    ops: list[Op] = [Fill(bar, "contact", name="shut"), Stroke(bar, "contact_edge", 1.5, join="miter")]
    if style.hex("contact_edge") == style.hex("paper"):
        ops.append(Stroke(bar, "ink", 0.9, join="miter"))
    size = 0.8 * style.size("small", "still")
    if width("shut", size, "bold") <= x1 - x0 - 6:
        middle = (x0 + x1) / 2
        ops.append(
            Text(
                "shut", middle, base - SHUT - 12, size, "ink", "bold", anchor="middle", baseline="middle",
                casing=("panel", 3.0),
            )
        )  # fmt: skip
    return ops


def _voicing(timeline: Timeline, scale: _Scale, top: float, style: Style) -> Layer:
    middle = top + VOICE_TALL / 2
    ops: list[Op] = [
        Stroke(Path.line([(LEFT, middle), (scale.right, middle)]), "rule", style.line("rule"), opacity=0.6)
    ]
    for start, end in voiced(timeline):
        x0, x1 = (float(np.clip(scale.at(t), LEFT, scale.right)) for t in (start, end))
        if x1 - x0 < 1:
            continue
        x = np.linspace(x0, x1, max(3, int((x1 - x0) / 1.2)))
        # counted from the left edge, so that neighbouring stretches keep one rhythm
        y = middle - 0.36 * VOICE_TALL * np.sin(2 * np.pi * (x - LEFT) / 18.0)
        ops.append(Stroke(Path.line(np.stack([x, y], axis=-1)), "voice", style.line("tongue"), name="voice"))
    return Layer("voicing", (*ops, *_name("voicing", "", top, VOICE_TALL, style)))


def _sounds(timeline: Timeline, scale: _Scale, style: Style) -> Layer:
    top, tall = SOUNDS
    ops: list[Op] = []
    for span in timeline.spans:
        x0, x1 = scale.at(span.start_s), scale.at(span.end_s)
        wide = max(x1 - x0 - 2.0, 3.0)
        box = Path.rectangle(x0 + 1, top, wide, tall, min(6.0, 0.2 * wide))
        symbol = unicodedata.normalize("NFD", span.sound.symbol)
        size = max(size_for(symbol, wide - 5, 34.0), 12.0)
        ops += [
            Fill(box, "panel", name=f"sound {span.index}"),
            Stroke(box, "rule", 1.4 * style.line("rule")),
            Text(symbol, x0 + 1 + wide / 2, top + tall / 2, size, "ink", anchor="middle", baseline="middle"),
        ]
    return Layer("sounds", (*ops, *_name("sounds", "", top, tall, style)))


def _stops(timeline: Timeline, scale: _Scale, top: float, style: Style) -> Layer:
    """For each stop its hold, and after the release the time to the voice."""
    found = stops(timeline)
    lanes = _lanes(timeline, found)
    tall = 36.0 if max(lanes, default=0) == 0 else 31.0
    ops: list[Op] = []
    for stop, lane in zip(found, lanes, strict=True):
        y = top + (STOPS_TALL - tall) / 2 if max(lanes) == 0 else top + 5 + lane * (tall + 6)
        beside = [other for other, its in zip(found, lanes, strict=True) if its == lane and other.index > stop.index]
        limit = scale.at(min(other.closure_s for other in beside) + timeline.speech_s[0]) if beside else scale.right
        ops += _stop(timeline, stop, scale, (y, tall), limit, style)
    return Layer("stops", (*ops, *_name("stops", "hold; voice after, ms", top, STOPS_TALL, style)))


def _end_s(timeline: Timeline, stop: Stop) -> float:
    """When a hold ends, on the timeline's own clock."""
    if stop.release_s is None:
        return timeline.spans[stop.index].hold_s[1]
    return stop.release_s + timeline.speech_s[0]


def _lanes(timeline: Timeline, found: Sequence[Stop]) -> list[int]:
    """0 or 1 for each stop: a stop that is shut before the one before is let go lies below it."""
    lanes: list[int] = []
    begin = timeline.speech_s[0]
    for i, stop in enumerate(found):
        overlaps = i > 0 and stop.closure_s + begin < _end_s(timeline, found[i - 1])
        lanes.append(1 - lanes[-1] if overlaps else 0)
    return lanes


def _stop(
    timeline: Timeline, stop: Stop, scale: _Scale, row: tuple[float, float], limit: float, style: Style
) -> list[Op]:
    begin = timeline.speech_s[0]
    end = _end_s(timeline, stop)
    x0, x1 = scale.at(stop.closure_s + begin), scale.at(end)
    y, tall = row
    bar = Path.rectangle(x0, y, x1 - x0, tall)
    ops: list[Op] = [Fill(bar, "contact", name=f"hold {stop.index}"), Stroke(bar, "contact_edge", 1.5, join="miter")]
    if style.hex("contact_edge") == style.hex("paper"):
        ops.append(Stroke(bar, "ink", 0.9, join="miter"))
    size = 0.9 * style.size("small", "still")
    hold = f"{1000 * (end - stop.closure_s - begin):.0f}" if stop.release_s is not None else "held"
    fitting = size_for(hold, x1 - x0 - 6, size, "bold")
    middle = y + tall / 2
    if fitting >= 12:
        at = (x0 + x1) / 2
        ops.append(Text(hold, at, middle, fitting, "contact_edge", "bold", anchor="middle", baseline="middle"))
    lag = stop.voice_onset_time_s
    if lag is None:
        return ops
    text = f"{1000 * lag + 0.0:+.0f}".replace("-", "−")
    mark = x1
    if lag > 0:
        mark = scale.at(end + lag)
        if mark - x1 > 9:
            line = Path.line([(x1, middle), (mark, middle)])
            ops.append(Stroke(line, "air", 4.0, dash=(7.0, 4.0), cap="butt", name=f"breath {stop.index}"))
        ops.append(Stroke(Path.line([(mark, y), (mark, y + tall)]), "voice", 3.4, cap="butt", name="voice begins"))
    if mark + 8 + width(text, size, "bold") <= limit:
        ops.append(Text(text, mark + 8, middle, size, "voice", "bold", baseline="middle"))
    return ops


def _axis(timeline: Timeline, scale: _Scale, top: float, style: Style) -> Layer:
    begin = timeline.speech_s[0]
    small = style.size("small", "still")
    per = TICK_S / (scale.end_s - scale.start_s) * (scale.right - LEFT)
    every = next((n for n in (1, 2, 5, 10, 20, 50) if n * per >= width("1000", small) + 26), 100)
    first = math.ceil((scale.start_s - begin) / TICK_S - 1e-9)
    last = math.floor((scale.end_s - begin) / TICK_S + 1e-9)
    y = top + 10
    ops: list[Op] = [Stroke(Path.line([(LEFT, y), (scale.right, y)]), "rule", style.line("rule"))]
    for k in range(first, last + 1):
        if every >= 10 and k % 5:
            continue
        x = scale.at(begin + k * TICK_S)
        long = k % every == 0
        ops.append(Stroke(Path.line([(x, y), (x, y + (12 if long else 7))]), "rule", style.line("rule")))
        if long:
            text = f"{k * 100}".replace("-", "−")
            ops.append(Text(text, x, y + 30, small, "ink2", family="figures", anchor="middle", baseline="middle"))
    ops.append(Text("ms", LEFT - 12, y + 30, small, "ink2", anchor="end", baseline="middle"))
    return Layer("axis", tuple(ops))


def _described(timeline: Timeline) -> str:
    begin = timeline.speech_s[0]
    told = []
    for stop in stops(timeline):
        how = "held" if stop.release_s is None else f"let go at {1000 * stop.release_s:.0f} ms"
        told.append(f"{stop.symbol} shut at {1000 * stop.closure_s:.0f} ms, {how}")
    length = 1000 * (timeline.speech_s[1] - begin)
    about = f"Movement of lips, tongue, velum and glottis, mouth pressure and voicing over {length:.0f} ms."
    return " ".join([about, *(f"{'; '.join(told)}." for _ in told[:1])])
