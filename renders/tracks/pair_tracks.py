"""Two sounds in time, one above the other and aligned, over one axis, and the stretch that differs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from renders.paper.picture import Box, Fill, Layer, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.tracks.layout import tracks_layout
from renders.tracks.pair_row import Axis, RowPlace, TrackRow, lanes_of, row_ops, seen_row
from renders.wording.languages import Language
from renders.wording.line import Line
from vocaltract.motion.limits import motion_limits


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


def axis_of(box: Box, window_s: tuple[float, float] | None = None) -> Axis:
    """The axis in a box (x, y, width, height) in px; `window_s` is what is seen before and after the zero."""
    x, y, w, h = box
    usual, page = tracks_layout().pair, tracks_layout().pair_page
    before, after = window_s or (usual.before_s, usual.after_s)
    left, right = x + page.labels_px, x + w - page.edge_px
    scale = (right - left) / (before + after)
    top, bottom = y + page.head_px, y + h - page.axis_px - page.bracket_px
    return Axis(left + before * scale, scale, left, right, top, bottom, (before, after))


def tracks_layer(tracks: PairTracks, box: Box, style: Style, language: Language) -> Layer:
    """Rows over one axis in milliseconds in a box (x, y, width, height) in px."""
    rows, differs, axis = tracks.rows, tracks.differs, axis_of(box, tracks.window_s)
    page = tracks_layout().pair_page
    seen = [seen_row(row, axis) for row in rows]
    # the scale of films: one height is one flow in every comparison
    most = max([motion_limits().flow.full_ml_s, *(float(one.now.mouth_ml_s.max()) for one in seen)])
    place = RowPlace(axis, box[0], lanes_of(rows), most, style, language)
    tall = (axis.bottom - axis.top) / len(rows)
    title, zero = _heading(tracks, box, axis, language)
    ops: list[Op] = [title]
    if differs is not None:
        a, b = axis.x(differs.start_s), axis.x(differs.end_s)
        below, corner = page.differs_px
        ground = Path.rectangle(a, axis.top, b - a, axis.bottom - axis.top + below, corner)
        ops.append(Fill(ground, "rule", page.differs_opacity, name="differs"))
    for number, one in enumerate(seen):
        top = axis.top + number * tall
        ops += row_ops(one, place, top, tall)
        rule = Path.line([[axis.left, top + tall - 1], [axis.right, top + tall - 1]])
        ops.append(Stroke(rule, "rule", style.line("rule"), opacity=page.rule_opacity))
    upright = Path.line([[axis.zero, axis.top - page.apart_px], [axis.zero, axis.bottom + page.apart_px]])
    ops.append(Stroke(upright, "ink", page.zero_line_px, cap="butt", name="zero"))
    ops += [*zero, *_ticks(axis, style)]
    if differs is not None:
        ops += _bracket(differs, axis, language)
    return Layer("tracks", tuple(ops))


def _heading(tracks: PairTracks, box: Box, axis: Axis, language: Language) -> tuple[Op, list[Op]]:
    """The title, and what lies at 0 where there is room beside the title; else the title alone says it."""
    page, (x, y, _, _) = tracks_layout().pair_page, box
    title, label = language.text("pair_event.title", event=tracks.title), language.say(tracks.label)
    left, (middle, size), (zero_middle, zero_size) = x + page.edge_px, page.title_px, page.zero_px
    end = left + width(title, size, "bold")
    zero: list[Op] = []
    if axis.zero - width(label, zero_size, "bold") / 2 > end + page.apart_px:
        at = y + zero_middle
        zero.append(Text(label, axis.zero, at, zero_size, "ink", "bold", anchor="middle", baseline="middle"))
    return Text(title, left, y + middle, size, "ink", "bold", baseline="middle"), zero


def _ticks(axis: Axis, style: Style) -> Iterator[Op]:
    look, (before, after) = tracks_layout().pair_ticks, axis.window_s
    start, end = (axis.bottom + px for px in look.line_px)
    middle, size = look.name_px
    step = next(ms for ms in look.steps_ms if ms / 1000 * axis.scale >= look.least_px)
    for ms in range(-int(before * 1000) // step * step, int(after * 1000) + 1, step):
        x = axis.x(ms / 1000)
        if not axis.left - 1 <= x <= axis.right + 1:
            continue
        yield Stroke(Path.line([[x, start], [x, end]]), "ink2", style.line("rule"))
        name = f"{ms} ms" if ms == 0 else f"\u2212{-ms}" if ms < 0 else f"{ms}"
        yield Text(name, x, axis.bottom + middle, size, "ink2", anchor="middle", baseline="middle")


def _bracket(differs: MarkedSpan, axis: Axis, language: Language) -> list[Op]:
    look = tracks_layout().pair_bracket
    y = axis.bottom + tracks_layout().pair_page.axis_px + look.top_px
    a, b = axis.x(differs.start_s), axis.x(differs.end_s)
    label, (below, size) = language.say(differs.label), look.name_px
    half = width(label, size, "bold") / 2
    middle = min(max((a + b) / 2, axis.left + half), axis.right - half)
    high, low = y - look.ends_px[0], y + look.ends_px[1]
    line = [[a, low], [b, low]]
    # no end where the stretch goes on beyond the picture
    line = ([[a, high]] if a > axis.left + 1 else []) + line + ([[b, high]] if b < axis.right - 1 else [])
    return [
        Stroke(Path.line(line), "ink", look.line_px, cap="butt", join="miter", name="bracket"),
        Text(label, middle, y + below, size, "ink", "bold", anchor="middle", baseline="middle"),
    ]
