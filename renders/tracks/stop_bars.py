"""Holds of stops along an axis of time, each with its length and the time to the voice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from renders.paper.fitting import size_for
from renders.paper.picture import Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.tracks.bars import contact_bar
from renders.tracks.layout import tracks_layout
from renders.tracks.time_axis import TimeAxis
from vocaltract.motion.events import Stop, stops
from vocaltract.motion.timeline import Timeline


@dataclass(frozen=True)
class StopBar:
    """One stop on the axis: its hold from and to px, its row's top and height, where its voice begins.

    hold_ms   length of the hold in words     limit_px   up to where its numbers may reach
    """

    stop: Stop
    hold_ms: str
    hold_px: tuple[float, float]
    row_px: tuple[float, float]
    voice_px: float
    limit_px: float


def stop_bars(timeline: Timeline, axis: TimeAxis, top: float, style: Style) -> list[Op]:
    """For each stop its hold from `top` px down, and after the release the time to the voice."""
    look, high = tracks_layout().stop, tracks_layout().timing.stops_px
    found = stops(timeline)
    lanes = _lanes(timeline, found)
    tall = look.tall_px[max(lanes, default=0)]
    ops: list[Op] = []
    for stop, lane in zip(found, lanes, strict=True):
        y = top + (high - tall) / 2 if max(lanes) == 0 else top + look.top_px + lane * (tall + look.apart_px)
        beside = [other for other, its in zip(found, lanes, strict=True) if its == lane and other.index > stop.index]
        limit = axis.at(min(other.closure_s for other in beside) + timeline.speech_s[0]) if beside else axis.right
        end_s = _end_s(timeline, stop)
        hold = (axis.at(stop.closure_s + timeline.speech_s[0]), axis.at(end_s))
        lag = stop.voice_onset_time_s
        voice = hold[1] if lag is None or lag <= 0 else axis.at(end_s + lag)
        ops += _stop(StopBar(stop, _hold_ms(timeline, stop), hold, (y, tall), voice, limit), style)
    return ops


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


def _hold_ms(timeline: Timeline, stop: Stop) -> str:
    if stop.release_s is None:
        return "held"
    return f"{1000 * (_end_s(timeline, stop) - stop.closure_s - timeline.speech_s[0]):.0f}"


def _stop(bar: StopBar, style: Style) -> list[Op]:
    look = tracks_layout().stop
    x0, x1 = bar.hold_px
    y, tall = bar.row_px
    name = f"hold {bar.stop.index}"
    ops: list[Op] = contact_bar(Path.rectangle(x0, y, x1 - x0, tall), style, *look.lines_px, name)
    size = look.type_share * style.size("small", "still")
    fitting = size_for(bar.hold_ms, x1 - x0 - look.length_edge_px, size, "bold")
    middle = y + tall / 2
    if fitting >= look.least_px:
        at = (x0 + x1) / 2
        ops.append(Text(bar.hold_ms, at, middle, fitting, "contact_edge", "bold", anchor="middle", baseline="middle"))
    lag = bar.stop.voice_onset_time_s
    if lag is None:
        return ops
    if lag > 0:
        if bar.voice_px - x1 > look.breath_px:
            line, breath = Path.line([(x1, middle), (bar.voice_px, middle)]), f"breath {bar.stop.index}"
            ops.append(Stroke(line, "air", look.breath_line_px, dash=look.breath_dash_px, cap="butt", name=breath))
        mark = Path.line([(bar.voice_px, y), (bar.voice_px, y + tall)])
        ops.append(Stroke(mark, "voice", look.voice_line_px, cap="butt", name="voice begins"))
    text = f"{1000 * lag + 0.0:+.0f}".replace("-", "−")
    if bar.voice_px + look.number_px + width(text, size, "bold") <= bar.limit_px:
        ops.append(Text(text, bar.voice_px + look.number_px, middle, size, "voice", "bold", baseline="middle"))
    return ops
