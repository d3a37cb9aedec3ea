"""The tracks of an utterance as a figure: lips, tongue, velum, glottis, mouth pressure and voicing under its sounds.

Every curve is read from the timeline; shut places are the measured closures, and the stops below are the measured
events.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from pathlib import Path as FilePath

import numpy as np

from articulators.curves import Array
from renders.ink import painter
from renders.paper.fitting import fitted, size_for
from renders.paper.picture import Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style, load
from renders.paper.typeface import width
from renders.tracks.bars import contact_bar
from renders.tracks.curves import Track, scale_of, tracks
from renders.tracks.layout import tracks_layout
from renders.tracks.stop_bars import stop_bars
from renders.tracks.time_axis import TimeAxis, named_every
from renders.tracks.timestrip import voiced
from renders.tracks.wave_row import HeardWave, wave_ops
from vocaltract.motion.events import STEP_S, stops
from vocaltract.motion.timeline import Timeline


def write_timing_plot(
    timeline: Timeline,
    out: FilePath,
    *,
    style: str = "light",
    size: tuple[int, int] | None = None,
    wave: HeardWave | None = None,
    force: bool = False,
) -> None:
    """Write the figure to .svg, .pdf or .png; a wider size in px gives time more room. As drawn where none is given.

    BadInput for an unknown style or ending, and for a file that exists without `force`.
    """
    look, page = load(style), tracks_layout().timing
    high = page.height_px + (0 if wave is None else round(page.wave_px + page.apart_px))
    size = size or (page.width_px, high)
    wide = max(page.width_px, round(high * size[0] / size[1]))
    painter.save(fitted(timing_picture(timeline, look, wide, wave), size), out, look, force=force)


def timing_picture(
    timeline: Timeline, style: Style, wide: float | None = None, wave: HeardWave | None = None
) -> Picture:
    """The figure `wide` px wide; as wide as it is laid out where not given. `wave`: what is heard, in a row of its
    own."""
    page, (begin, end) = tracks_layout().timing, timeline.speech_s
    wide = wide or page.width_px
    shown_s = (max(0.0, begin - page.before_s), min(timeline.duration_s, end + page.after_s))
    axis = TimeAxis(*shown_s, page.left_px, wide - page.edge_px)
    times = np.arange(axis.start_s, axis.end_s, STEP_S)
    shown = tracks(timeline, times)
    layers = [_heading(timeline, axis, style)]
    tops = [page.first_px + i * (page.track_px + page.apart_px) for i in range(len(shown))]
    voice_top = tops[-1] + page.track_px + page.apart_px
    wave_top = voice_top + page.voice_px + page.apart_px
    more = 0.0 if wave is None else page.wave_px + page.apart_px
    stops_top = wave_top + more
    bottom = stops_top + page.stops_px
    rows = [*((top, page.track_px) for top in tops), (voice_top, page.voice_px), (stops_top, page.stops_px)]
    if wave is not None:
        rows.append((wave_top, page.wave_px))
    layers.append(_grounds(rows, axis))
    layers.append(_grid(timeline, axis, bottom))
    layers += [_track(track, times, top, axis, style) for track, top in zip(shown, tops, strict=True)]
    layers.append(_voicing(timeline, axis, voice_top, style))
    if wave is not None:
        layers.append(_wave(timeline, wave, axis, wave_top, style))
    named = _name("stops", "hold; voice after, ms", stops_top, page.stops_px, style)
    layers.append(Layer("stops", (*stop_bars(timeline, axis, stops_top, style), *named)))
    layers.append(_sounds(timeline, axis, style))
    layers.append(_axis(timeline, axis, bottom, style))
    said = " ".join(timeline.utterance.words)
    return Picture(wide, page.height_px + more, "paper", tuple(layers), f"Timing of {said}", _described(timeline))


def _heading(timeline: Timeline, axis: TimeAxis, style: Style) -> Layer:
    size = style.size("title", "still")
    title = " ".join(timeline.utterance.words)
    said = timeline.utterance.transcription
    if title == said.strip("[]") or timeline.alone:
        title = ""
    left, baseline = tracks_layout().timing.title_px
    room = axis.right - left
    size = size_for(f"{title}  {said}", room, size, "bold")
    ops: list[Op] = []
    x = left
    if title:
        ops.append(Text(title, x, baseline, size, "ink", "bold"))
        x += width(title, size, "bold") + tracks_layout().timing_name.symbol_gap_share * size
    ops.append(Text(said, x, baseline, size, "ink2"))
    return Layer("title", tuple(ops))


def _grounds(rows: Sequence[tuple[float, float]], axis: TimeAxis) -> Layer:
    ops = [Fill(Path.rectangle(axis.left, top, axis.right - axis.left, tall), "panel") for top, tall in rows]
    return Layer("grounds", tuple(ops))


def _grid(timeline: Timeline, axis: TimeAxis, bottom: float) -> Layer:
    """Where one sound ends and the next begins."""
    edges = sorted({span.start_s for span in timeline.spans} | {span.end_s for span in timeline.spans})
    top, look = sum(tracks_layout().timing.sounds_px), tracks_layout().timing_line
    lines = Path.lines([[(axis.at(t), top), (axis.at(t), bottom)] for t in edges])
    return Layer("edges", (
        Stroke(lines, "rule", look.edge_px, dash=look.edge_dash_px, cap="butt", opacity=look.edge_opacity),
    ))  # fmt: skip


def _name(text: str, what: str, top: float, tall: float, style: Style) -> list[Op]:
    look = tracks_layout().timing_name
    x, middle = tracks_layout().timing.left_px - look.left_px, top + tall / 2
    second, small = style.size("second", "still"), look.small_share * style.size("small", "still")
    small = size_for(what, x - look.edge_px, small)
    if not what:
        return [Text(text, x, middle, second, "ink", "bold", anchor="end", baseline="middle")]
    return [
        Text(text, x, middle - look.above_px, second, "ink", "bold", anchor="end", baseline="middle"),
        Text(what, x, middle + look.below_px, small, "ink2", anchor="end", baseline="middle"),
    ]


def _track(track: Track, times: Array, top: float, axis: TimeAxis, style: Style) -> Layer:
    page, look = tracks_layout().timing, tracks_layout().timing_line
    tall, left = page.track_px, axis.left
    base = top + tall
    highest, step = scale_of(float(track.values.max()), track.least)
    per = (tall - look.scale_room_px) / highest
    small = tracks_layout().timing_name.small_share * style.size("small", "still")
    ops: list[Op] = []
    for k in range(int(highest / step) + 1):
        y = base - k * step * per
        if k:
            line = Path.line([(left, y), (axis.right, y)])
            ops.append(Stroke(line, "rule", look.scale_px, opacity=look.scale_opacity))
        figure = f"{k * step:g}"
        at = left - look.figure_px
        ops.append(Text(figure, at, y, small, "ink2", family="figures", anchor="end", baseline="middle"))
    x = axis.x(times)
    curve = np.stack([x, base - per * np.clip(track.values, 0, highest)], axis=-1)
    area = np.concatenate([[(x[0], base)], curve, [(x[-1], base)]])
    ops.append(Fill(Path.polygon(area), track.ground, opacity=look.ground_opacity[track.ground != "air"]))
    ops.append(Stroke(Path.line(curve), track.line, style.line("tongue"), join="round", name=track.name))
    box = Path.rectangle(left, top, axis.right - left, tall)
    curve_in_box = Group(tuple(ops[-2:]), clip=box)
    bars = [op for start, end in track.shut for op in _shut(start, end, base, axis, style)]
    edge = Stroke(Path.line([(left, base), (axis.right, base)]), "rule", style.line("rule"))
    names = _name(track.name, track.what, top, tall, style)
    return Layer(track.name, (*ops[:-2], curve_in_box, edge, *bars, *names))


def _shut(start: float, end: float, base: float, axis: TimeAxis, style: Style) -> list[Op]:
    """A bar where the place is shut, and the word where there is room."""
    x0, x1 = axis.within(start, end)
    high, look = tracks_layout().timing.shut_px, tracks_layout().timing_shut
    ops = contact_bar(Path.rectangle(x0, base - high, x1 - x0, high), style, *look.lines_px, "shut")
    size = look.type_share * style.size("small", "still")
    if width("shut", size, "bold") <= x1 - x0 - look.word_edge_px:
        middle = (x0 + x1) / 2
        ops.append(
            Text(
                "shut", middle, base - high - look.word_px, size, "ink", "bold", anchor="middle", baseline="middle",
                casing=("panel", look.rim_px),
            )
        )  # fmt: skip
    return ops


def _voicing(timeline: Timeline, axis: TimeAxis, top: float, style: Style) -> Layer:
    tall, wave = tracks_layout().timing.voice_px, tracks_layout().wave
    middle = top + tall / 2
    rest, opacity = Path.line([(axis.left, middle), (axis.right, middle)]), tracks_layout().timing_line.rest_opacity
    ops: list[Op] = [Stroke(rest, "rule", style.line("rule"), opacity=opacity)]
    for start, end in voiced(timeline):
        x0, x1 = axis.within(start, end)
        if x1 - x0 < 1:
            continue
        x = np.linspace(x0, x1, max(3, int((x1 - x0) / wave.every_px)))
        # counted from the left edge, so that neighbouring stretches keep one rhythm
        y = middle - wave.high_share * tall * np.sin(2 * np.pi * (x - axis.left) / wave.long_px)
        ops.append(Stroke(Path.line(np.stack([x, y], axis=-1)), "voice", style.line("tongue"), name="voice"))
    return Layer("voicing", (*ops, *_name("voicing", "", top, tall, style)))


def _wave(timeline: Timeline, wave: HeardWave, axis: TimeAxis, top: float, style: Style) -> Layer:
    tall = tracks_layout().timing.wave_px
    ops = wave_ops(wave, axis.x, (axis.start_s, axis.end_s), (top, tall), style)
    whose = "computed voice"
    if timeline.leading is not None:
        whose = "recording"
        ops += _boundaries(timeline, axis, top, tall, style)
    return Layer("wave", (*ops, *_name("sound", whose, top, tall, style)))


def _boundaries(timeline: Timeline, axis: TimeAxis, top: float, tall: float, style: Style) -> list[Op]:
    """Lines over a wave where sounds begin and end, and strong ones where a closure is let go."""
    edges = {t for span in timeline.spans for t in (span.start_s, span.end_s)}
    let_go = {span.release_s for span in timeline.spans if span.entry.is_stop and span.release_s is not None}
    both = [(t, "rule", "boundary") for t in sorted(edges)] + [(t, "ink", "release") for t in sorted(let_go)]
    return [
        Stroke(Path.line([(axis.at(t), top), (axis.at(t), top + tall)]), colour, style.line("rule"), name=name)
        for t, colour, name in both
        if axis.start_s <= t <= axis.end_s
    ]


def _sounds(timeline: Timeline, axis: TimeAxis, style: Style) -> Layer:
    (top, tall), look = tracks_layout().timing.sounds_px, tracks_layout().timing_sound
    ops: list[Op] = []
    for span in timeline.spans:
        x0, x1 = axis.at(span.start_s), axis.at(span.end_s)
        x, wide = x0 + look.edge_px, max(x1 - x0 - 2 * look.edge_px, look.least_px)
        box = Path.rectangle(x, top, wide, tall, min(look.corner_px, look.corner_share * wide))
        symbol = unicodedata.normalize("NFD", span.sound.symbol)
        size = max(size_for(symbol, wide - look.symbol_edge_px, look.symbol_px[0]), look.symbol_px[1])
        ops += [
            Fill(box, "panel", name=f"sound {span.index}"),
            Stroke(box, "rule", look.line_share * style.line("rule")),
            Text(symbol, x + wide / 2, top + tall / 2, size, "ink", anchor="middle", baseline="middle"),
        ]
    return Layer("sounds", (*ops, *_name("sounds", "", top, tall, style)))


def _axis(timeline: Timeline, axis: TimeAxis, top: float, style: Style) -> Layer:
    begin = timeline.speech_s[0]
    small = style.size("small", "still")
    tick_s, look = tracks_layout().timing.tick_s, tracks_layout().timing_ticks
    every = named_every(tick_s * axis.px_per_s, width("1000", small) + look.apart_px)
    first = math.ceil((axis.start_s - begin) / tick_s - 1e-9)
    last = math.floor((axis.end_s - begin) / tick_s + 1e-9)
    y = top + look.top_px
    middle = y + look.name_px
    ops: list[Op] = [Stroke(Path.line([(axis.left, y), (axis.right, y)]), "rule", style.line("rule"))]
    for k in range(first, last + 1):
        if every >= 10 and k % 5:
            continue
        x = axis.at(begin + k * tick_s)
        long = k % every == 0
        ops.append(Stroke(Path.line([(x, y), (x, y + look.line_px[not long])]), "rule", style.line("rule")))
        if long:
            text = f"{round(1000 * k * tick_s)}".replace("-", "−")
            ops.append(Text(text, x, middle, small, "ink2", family="figures", anchor="middle", baseline="middle"))
    left = axis.left - tracks_layout().timing_line.figure_px
    ops.append(Text("ms", left, middle, small, "ink2", anchor="end", baseline="middle"))
    return Layer("axis", tuple(ops))


def _described(timeline: Timeline) -> str:
    begin = timeline.speech_s[0]
    holds = []
    for stop in stops(timeline):
        how = "held" if stop.release_s is None else f"let go at {1000 * stop.release_s:.0f} ms"
        holds.append(f"{stop.symbol} shut at {1000 * stop.closure_s:.0f} ms, {how}")
    length = 1000 * (timeline.speech_s[1] - begin)
    about = f"Movement of lips, tongue, velum and glottis, mouth pressure and voicing over {length:.0f} ms."
    return " ".join([about, *(f"{'; '.join(holds)}." for _ in holds[:1])])
