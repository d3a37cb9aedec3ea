"""The film frame: side view, insets, the sound and its word, phases, state rows, clock and time strip.

Designed at 1280 x 720 px; other sizes are the same picture scaled, centred on the paper colour.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from articulators.head import Head
from renders import anatomy, icons, insets, timestrip, wording
from renders.picture import Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.scene import Moment, side_layers
from renders.style import Style
from renders.typeface import width
from renders.view import View
from vocaltract.motion.timeline import Timeline

WIDTH, HEIGHT = 1280, 720
VIEW = View((14, 14, 812, 558), 4.0, (17.5, -16.5))
PANEL = (840.0, 14.0, 426.0, 558.0)
STRIP = (14.0, 584.0, 1252.0, 128.0)
LIPS_BOX = (26.0, 446.0, 142.0, 114.0)
FOLDS_BOX = (176.0, 446.0, 142.0, 114.0)
PHASES = ("approach", "hold", "release")


@dataclass(frozen=True)
class FrameText:
    """What every frame of a film says: how fast it runs."""

    speed_title: str
    speed_detail: str


def speed_text(speed: float, dwells: bool) -> FrameText:
    """The speed in words, e.g. "half speed"."""
    names = {1.0: "natural speed", 0.5: "half speed", 0.25: "quarter speed", 2.0: "double speed"}
    title = names.get(speed, f"speed x {speed:g}")
    per = 1 / speed
    detail = f"1 s of speech = {per:g} s of film" if not dwells else "slower at contact and release"
    return FrameText(title, detail)


def static_layers(timeline: Timeline, head: Head, style: Style, text: FrameText) -> list[Layer]:
    """Layers that are the same in every frame of a film."""
    x, y, w, h = PANEL
    ops: list[Op] = [
        Fill(anatomy.card(VIEW), "panel"),
        Fill(Path.rectangle(x, y, w, h, 14), "panel"),
        Fill(Path.rectangle(*STRIP, 14), "panel"),
    ]
    back = Layer("ground", tuple(ops), moves=False)
    frame = Layer("panel rules", tuple(_panel_rules(style, text)), moves=False)
    return [
        back,
        anatomy.fixed_layer(head, VIEW, style),
        frame,
        timestrip.strip_static(timeline, STRIP, style),
    ]


def _panel_rules(style: Style, text: FrameText) -> list[Op]:
    x, _, w, _ = PANEL
    left, right = x + 24, x + w - 24
    rule = style.line("rule")
    ops: list[Op] = [Stroke(Path.line([[left, at], [right, at]]), "rule", rule) for at in (294, 368, 442, 516)]
    ops.append(Text(text.speed_title, right, 538, style.size("second"), "ink2", anchor="end", baseline="middle"))
    ops.append(Text(text.speed_detail, right, 559, style.size("small"), "ink2", anchor="end", baseline="middle"))
    return ops


def picture(timeline: Timeline, static: Sequence[Layer], moment: Moment, style: Style) -> Picture:
    """One frame."""
    state = wording.state(timeline, moment.time_s)
    layers = [*static, *side_layers(moment, VIEW, style), _edge(style), _insets(moment, style)]
    layers += [_tag(moment, style), _panel(timeline, moment, state, style)]
    layers.append(timestrip.strip_head(timeline, moment.time_s, STRIP, style))
    return Picture(WIDTH, HEIGHT, "paper", tuple(layers), title=timeline.utterance.text)


def _edge(style: Style) -> Layer:
    return Layer("card edge", (Stroke(anatomy.card(VIEW), "rule", style.line("rule"), opacity=0.6),))


def _insets(moment: Moment, style: Style) -> Layer:
    posture, state = moment.section.posture, moment.state
    lips = {k: float(posture[k]) for k in ("aperture_mm", "rounded", "spread", "tucked", "jaw_mm")}
    ops: list[Op] = []
    small = style.size("small")
    views = (
        (
            LIPS_BOX,
            "lips, front",
            insets.lips_word(**lips),
            insets.lips_view(**lips, box=_inner(LIPS_BOX), style=style),
        ),
        (
            FOLDS_BOX,
            "folds, above",
            insets.folds_word(state.folds_mm, state.voice),
            insets.folds_view(state.folds_mm, state.voice, state.drift, _inner(FOLDS_BOX), style),
        ),
    )
    for box, title, word, drawn in views:
        x, y, w, h = box
        ops.append(Fill(Path.rectangle(*box, 10), "panel"))
        ops.append(Stroke(Path.rectangle(*box, 10), "rule", style.line("rule")))
        ops.append(Text(title, x + w / 2, y + 13, small * 0.88, "ink2", anchor="middle", baseline="middle"))
        ops.append(Group(tuple(drawn)))
        ops.append(Text(word, x + w / 2, y + h - 12, small, "ink", "bold", anchor="middle", baseline="middle"))
    return Layer("insets", tuple(ops))


def _inner(box: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    x, y, w, h = box
    return x + 6, y + 23, w - 12, h - 47


def _tag(moment: Moment, style: Style) -> Layer:
    """One label in the picture: the contact, named where it is made."""
    from renders.marks import contact_line

    organs = list(dict.fromkeys(c.organ for c in moment.state.closed))
    ops: list[Op] = []
    for number, organ in enumerate(organs[:2]):
        line = contact_line(moment.section, organ)
        if line is None:
            continue
        at = VIEW.px(line[len(line) // 2])
        word = wording.contact_word(organ)
        size = style.size("second")
        wide = width(word, size, "bold") + 26
        y = 232.0 if organ == "lips" else (150.0 if number == 0 else 96.0)
        box = (30.0, y - 19, wide, 38.0)
        casing = ("panel", style.line("leader") + style.line("casing"))
        ops += [
            Stroke(Path.line([[30 + wide, y], [at[0], at[1]]]), "ink", style.line("leader"), casing=casing),
            Fill(Path.rectangle(*box, 7), "panel"),
            Stroke(Path.rectangle(*box, 7), "ink", style.line("rule") * 1.3),
            Text(word, 30 + wide / 2, y, size, "ink", "bold", anchor="middle", baseline="middle"),
        ]
    return Layer("contact tag", tuple(ops))


def _panel(timeline: Timeline, moment: Moment, state: wording.State, style: Style) -> Layer:
    x, y, w, _ = PANEL
    left, right = x + 24, x + w - 24
    ops: list[Op] = []
    symbol = state.symbol or "–"
    sound_size = style.size("sound")
    if width(symbol, sound_size, "bold") > 120:
        sound_size *= 120 / width(symbol, sound_size, "bold")
    ops.append(Text(symbol, left, y + 84, sound_size, "ink", "bold"))
    ops += _word(timeline, state, right, style)
    ops += _phase_boxes(state, left, right, style)
    ops.append(Text(state.cue, left, 226, style.size("main"), "ink", "bold", baseline="middle"))
    ops.append(Text(state.detail, left, 257, style.size("second"), "ink2", baseline="middle"))
    for top, row in ((294.0, state.contact), (368.0, state.air), (442.0, state.voice)):
        ops += _row(row, left, right, top, style)
    clock = f"{max(0, round(1000 * (moment.time_s - timeline.speech_s[0])))} ms"
    if moment.time_s < timeline.speech_s[0]:
        clock = f"\u2212{round(1000 * (timeline.speech_s[0] - moment.time_s))} ms"
    ops.append(Text(clock, left, 548, style.size("clock"), "ink", "bold", family="figures", baseline="middle"))
    return Layer("panel", tuple(ops))


def _word(timeline: Timeline, state: wording.State, right: float, style: Style) -> list[Op]:
    utterance = timeline.utterance
    ops: list[Op] = []
    room = 260.0
    text = " ".join(utterance.words)
    if timeline.alone:
        name = timeline.spans[0].entry.name
        ops.append(Text(name, right, 52, _fitting(name, style.size("second"), room), "ink2", anchor="end"))
    else:
        size = _fitting(text, style.size("word"), room)
        parts = wording.word_parts(timeline, state.span_index)
        if state.span_index is not None:
            word = timeline.utterance.sounds[state.span_index].word
            before, after = utterance.words[:word], utterance.words[word + 1 :]
            parts = (" ".join([*before, parts[0]]), parts[1], " ".join([parts[2], *after]))
        ops += _run(parts, right, 52, size, style, underline=True)
    shown = unicodedata.normalize("NFD", utterance.transcription)
    size = _fitting(shown, style.size("ipa"), room)
    ops += _run(_around(timeline, state.span_index, shown), right, 100, size, style, underline=False)
    return ops


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


def _run(parts: tuple[str, str, str], right: float, y: float, size: float, style: Style, underline: bool) -> list[Op]:
    before, now, after = parts
    widths = [width(before, size), width(now, size, "bold"), width(after, size)]
    x = right - sum(widths)
    ops: list[Op] = []
    if now and not underline:
        ops.append(Fill(Path.rectangle(x + widths[0] - 3, y - size * 1.0, widths[1] + 6, size * 1.38, 5), "focus"))
    ops.append(Text(before, x, y, size, "ink2"))
    ops.append(Text(now, x + widths[0], y, size, "ink" if underline else "on_focus", "bold"))
    ops.append(Text(after, x + widths[0] + widths[1], y, size, "ink2"))
    if now and underline:
        line = [[x + widths[0] + 1, y + 10], [x + widths[0] + widths[1] - 1, y + 10]]
        ops.append(Stroke(Path.line(line), "ink", 4.5, cap="butt"))
    return [op for op in ops if not (isinstance(op, Text) and not op.string)]


def _phase_boxes(state: wording.State, left: float, right: float, style: Style) -> list[Op]:
    ops: list[Op] = []
    gap, y, h = 8.0, 132.0, 44.0
    wide = (right - left - 2 * gap) / 3
    size = style.size("phase")
    slots = state.phase in PHASES
    for i, phase in enumerate(PHASES):
        x = left + i * (wide + gap)
        box = Path.rectangle(x, y, wide, h, 8)
        on = phase == state.phase
        if on:
            ops.append(Fill(box, "focus"))
            middle = x + wide / 2
            ops.append(Fill(Path.polygon([[middle - 9, y + h], [middle + 9, y + h], [middle, y + h + 9]]), "focus"))
        ops.append(Stroke(box, "focus" if on else "rule", style.line("rule"), dash=None if slots else (3.0, 4.0)))
        if slots:
            name = wording.phase_word(phase, technical=True)
            at = (x + wide / 2, y + h / 2)
            colour = "on_focus" if on else "ink2"
            weight: Literal["regular", "bold"] = "bold" if on else "regular"
            ops.append(Text(name, *at, size, colour, weight, anchor="middle", baseline="middle"))
    return ops


def _row(row: wording.Row, left: float, right: float, top: float, style: Style) -> list[Op]:
    ops: list[Op] = [Group(tuple(icons.icon(row.icon, (left, top + 19, 40, 36), style)))]
    ops.append(Text(row.title, left + 58, top + 28, style.size("state"), "ink", "bold", baseline="middle"))
    ops.append(Text(row.second, left + 58, top + 54, style.size("second"), "ink2", baseline="middle"))
    if row.gauge:
        for step in range(10):
            cell = Path.rectangle(right - 112 + 11.3 * step, top + 44, 8.6, 12, 1.5)
            if row.level * 10 >= step + 0.5:
                ops.append(Fill(cell, "air"))
            ops.append(Stroke(cell, "air", 1.0))
        ops.append(Text(row.gauge, right - 120, top + 50, style.size("small"), "ink2", anchor="end", baseline="middle"))
    return ops
