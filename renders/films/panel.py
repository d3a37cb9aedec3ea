"""What a film frame says beside the side view: sound, word, phases, state rows, clock; placed by a layout."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np

from renders.films.layouts import numbers
from renders.films.look import FrameLook
from renders.paper import icons
from renders.paper.fitting import size_for
from renders.paper.picture import Fill, Group, Op, Path, Stroke, Text
from renders.paper.typeface import width
from renders.wording import teller
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline

PHASES = ("approach", "hold", "release")


def rules(look: FrameLook, title: str, detail: str) -> list[Op]:
    """The rules between the rows and the speed of the film."""
    layout, rule = look.layout, look.style.line("rule")
    ends = layout.side or (layout.left, layout.right)
    ops: list[Op] = [Stroke(Path.line([[ends[0], at], [ends[1], at]]), "rule", rule) for at in layout.rows]
    for string, y, kind in ((title, layout.clock[1], "second"), (detail, layout.clock[2], "small")):
        ops.append(Text(string, layout.right, y, look.size(kind), "ink2", anchor="end", baseline="middle"))
    return ops


@dataclass(frozen=True)
class Piece:
    """A part of the panel: `ops` of equal `says` are equal."""

    name: str
    says: Hashable
    ops: Callable[[], list[Op]]


def panel_parts(timeline: Timeline, time_s: float, state: teller.State, look: FrameLook) -> list[Piece]:
    """Everything of the panel that changes, in parts that change at different times.

    Where the film loops the clock shows nothing before and after what is said, so that the end is like the beginning.
    """
    layout, language, left = look.layout, look.language, look.layout.left
    ends = layout.side or (layout.left, layout.right)
    symbol = state.symbol or "–"
    x, y, most = layout.symbol

    def sign() -> list[Op]:
        return [Text(symbol, x, y, _fitting(symbol, look.size("sound"), most), "ink", "bold")]

    def lines() -> list[Op]:
        main, second = look.size("main"), look.size("second")
        cue, detail, room = language.say(state.cue), language.say(state.detail), layout.right - left
        if layout.side:
            room = layout.side[0] - left - numbers().panel.line_edge_px
        return [
            Text(cue, left, layout.lines[0], size_for(cue, room, main, "bold"), "ink", "bold", baseline="middle"),
            Text(detail, left, layout.lines[1], size_for(detail, room, second), "ink2", baseline="middle"),
        ]

    since = round(1000 * (time_s - timeline.speech_s[0]))
    clock = f"{since} ms" if since >= 0 else f"\u2212{-since} ms"
    if look.loops and not timeline.speech_s[0] <= time_s <= timeline.speech_s[1]:
        clock = ""
    size = look.size("clock")
    made = [
        Piece("sound", symbol, sign),
        Piece("word", state.span_index, lambda: _word(timeline, state, look)),
        Piece("phases", state.phase, lambda: _phase_boxes(state, look)),
        Piece("cue", (state.cue, state.detail), lines),
        Piece(
            "clock",
            clock,
            lambda: [Text(clock, left, layout.clock[0], size, "ink", "bold", family="figures", baseline="middle")],
        ),
    ]
    rows = {"contact": state.contact, "air": state.air, "voice": state.voice}
    for top, (name, row) in zip(layout.rows[:3], rows.items(), strict=True):
        says = row.icon, row.title, row.second
        made.append(Piece(f"{name} row", says, partial(_row, row, ends, top, look)))
        if row.gauge:
            level = row.gauge, _cells(row)
            made.append(Piece(f"{name} gauge", level, partial(_gauge, *level, ends[1], top, look)))
    return made


def _cells(row: teller.StateRow) -> int:
    """How many cells of the gauge are full."""
    cells = numbers().gauge.cells
    return sum(row.level * cells >= step + 0.5 for step in range(cells))


def _word(timeline: Timeline, state: teller.State, look: FrameLook) -> list[Op]:
    utterance, shares = timeline.utterance, numbers().panel
    edge, y, ipa_y, room, side = look.layout.word
    ops: list[Op] = []
    if timeline.alone:
        name = look.language.say(sound_name(timeline.spans[0].entry.name))
        size = _fitting(name, look.size("second"), room)
        ops.append(Text(name, edge, y, size, "ink2", anchor="end" if side == "right" else "start"))
    else:
        size = _fitting(" ".join(utterance.words), look.size("word"), room)
        parts = teller.word_parts(timeline, state.span_index)
        if state.span_index is not None:
            word = timeline.utterance.sounds[state.span_index].word
            before, after = utterance.words[:word], utterance.words[word + 1 :]
            parts = (" ".join([*before, parts[0]]), parts[1], " ".join([parts[2], *after]))
        ops += _underlined(parts, _start(parts, edge, side, size, 0.0), y, size)
    shown = unicodedata.normalize("NFD", utterance.transcription)
    around = _around(timeline, state.span_index, shown)
    size = _fitting(shown, look.size("ipa"), room - shares.sound_room_share * look.size("ipa"))
    apart = shares.sound_apart_share * size
    return ops + _boxed(around, _start(around, edge, side, size, apart), ipa_y, size, apart)


def _start(parts: tuple[str, str, str], edge: float, side: str, size: float, apart: float) -> float:
    wide = sum(_widths(parts, size)) + (2 * apart if parts[1] else 0.0)
    return edge if side == "left" else edge - wide


def _widths(parts: tuple[str, str, str], size: float) -> tuple[float, float, float]:
    before, now, after = parts
    return width(before, size), width(now, size, "bold"), width(after, size)


def _fitting(text: str, size: float, room: float) -> float:
    wide = width(text, size, "bold")
    return size if wide <= room else size * room / wide


def _around(timeline: Timeline, index: int | None, shown: str) -> tuple[str, str, str]:
    """The transcription split before, at and after the sound being said."""
    if index is None:
        return shown, "", ""
    start = 0
    for sound in timeline.utterance.sounds[: index + 1]:
        symbol = unicodedata.normalize("NFD", sound.symbol)
        found = shown.find(symbol, start)
        if found < 0:
            return shown, "", ""
        start, begin = found + len(symbol), found
    return shown[:begin], shown[begin:start], shown[start:]


def _underlined(parts: tuple[str, str, str], x: float, y: float, size: float) -> list[Op]:
    before, now, after = parts
    wide = _widths(parts, size)
    ops: list[Op] = [
        Text(before, x, y, size, "ink2"),
        Text(now, x + wide[0], y, size, "ink", "bold"),
        Text(after, x + wide[0] + wide[1], y, size, "ink2"),
    ]
    if now:
        (below, thick), free = numbers().panel.underline_share, numbers().panel.underline_edge_px
        at = y + below * size
        line = [[x + wide[0] + free, at], [x + wide[0] + wide[1] - free, at]]
        ops.append(Stroke(Path.line(line), "ink", thick * size, cap="butt"))
    return _without_empty(ops)


def _boxed(parts: tuple[str, str, str], x: float, y: float, size: float, apart: float) -> list[Op]:
    before, now, after = parts
    wide = _widths(parts, size)
    at = x + wide[0] + (apart if now else 0.0)
    ops: list[Op] = []
    if now:
        above, high, corner = (share * size for share in numbers().panel.sound_box_share)
        reach = numbers().panel.sound_box_reach_share * apart
        box = Path.rectangle(at - reach, y - above, wide[1] + 2 * reach, high, corner)
        ops.append(Fill(box, "focus"))
    ops += [
        Text(before, x, y, size, "ink2"),
        Text(now, at, y, size, "on_focus", "bold"),
        Text(after, at + wide[1] + (apart if now else 0.0), y, size, "ink2"),
    ]
    return _without_empty(ops)


def _without_empty(ops: list[Op]) -> list[Op]:
    return [op for op in ops if not (isinstance(op, Text) and not op.string)]


def _phase_boxes(state: teller.State, look: FrameLook) -> list[Op]:
    layout, style, shares = look.layout, look.style, numbers().panel
    ops: list[Op] = []
    y, h, gap = layout.phases
    wide = (layout.right - layout.left - 2 * gap) / 3
    size = look.size("phase")
    slots = state.phase in PHASES
    for i, phase in enumerate(PHASES):
        x = layout.left + i * (wide + gap)
        box = Path.rectangle(x, y, wide, h, shares.phase_corner_share * h)
        on = phase == state.phase
        if on:
            ops.append(Fill(box, "focus"))
            middle, half = x + wide / 2, shares.phase_tip_share * h
            below = [[middle - half, y + h], [middle + half, y + h], [middle, y + h + half]]
            ops.append(Fill(Path.polygon(below), "focus"))
        dash = None if slots else shares.phase_dash_px
        ops.append(Stroke(box, "focus" if on else "rule", style.line("rule"), dash=dash))
        if slots:
            name = look.language.say(teller.phase_word(phase), technical=True)
            weight: Literal["regular", "bold"] = "bold" if on else "regular"
            colour = "on_focus" if on else "ink2"
            at = (x + wide / 2, y + h / 2)
            fits = size_for(name, wide - 2 * shares.line_edge_px, size, "bold")
            ops.append(Text(name, *at, fits, colour, weight, anchor="middle", baseline="middle"))
    return ops


def _row(row: teller.StateRow, ends: tuple[float, float], top: float, look: FrameLook) -> list[Op]:
    x, y, w, h = look.layout.row_icon
    text_x, title_y, second_y = look.layout.row_text
    left, room = ends[0], ends[1] - ends[0] - text_x
    ops: list[Op] = [Group(tuple(icons.icon(row.icon, (left + x, top + y, w, h), look.style)))]
    title, second = look.language.say(row.title), look.language.say(row.second)
    size = size_for(title, room, look.size("state"), "bold")
    ops.append(Text(title, left + text_x, top + title_y, size, "ink", "bold", baseline="middle"))
    if row.gauge:
        room -= _gauge_wide(row.gauge, look)
    size = size_for(second, room, look.size("second"))
    ops.append(Text(second, left + text_x, top + second_y, size, "ink2", baseline="middle"))
    return ops


def _gauge_wide(what: str, look: FrameLook) -> float:
    """How much of a row its gauge takes, with the word beside it and a space before that."""
    word, gauge = width(look.language.text(f"gauge.{what}"), look.size("small")), numbers().gauge
    return (gauge.wide_share + gauge.word_apart_share) * look.layout.gauge[0] + word + numbers().panel.line_edge_px


def _gauge(what: str, full: int, right: float, top: float, look: FrameLook) -> list[Op]:
    (pitch, at, high), gauge = look.layout.gauge, numbers().gauge
    start = right - gauge.wide_share * pitch
    cells = partial(_row_of_cells, start, top + at, pitch, high)
    small = look.size("small")
    beside, word = start - gauge.word_apart_share * pitch, look.language.text(f"gauge.{what}")
    return [
        *([Fill(cells(full), "air")] if full else []),
        Stroke(cells(gauge.cells), "air", gauge.line_px),
        Text(word, beside, top + at + high / 2, small, "ink2", anchor="end", baseline="middle"),
    ]


def _row_of_cells(x: float, y: float, pitch: float, high: float, count: int) -> Path:
    """The cells of a gauge from its left end, as one path."""
    wide, corner = (share * pitch for share in numbers().gauge.cell_share)
    cell = Path.rectangle(x, y, wide, high, corner)
    assert cell.codes is not None
    moved = cell.vertices + pitch * np.arange(count)[:, None, None] * (1.0, 0.0)
    return Path(moved.reshape(-1, 2), np.tile(cell.codes, count))
