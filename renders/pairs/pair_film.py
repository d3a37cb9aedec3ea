"""Two sounds, words or phrases running in step: two side views over one axis of time, aligned at a chosen event."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput
from renders.anatomy import layers as anatomy
from renders.files.writer import Frame
from renders.films.film import Film, Reel
from renders.films.frame import speed_text
from renders.films.shot import Shot
from renders.ink.painter import Raster
from renders.insets import palate
from renders.insets.folds import folds_view, folds_word
from renders.marks.moment import Moment
from renders.pairs.comparison import Compared, compared_as, differs, report, rows_of
from renders.paper import icons
from renders.paper.canvas import Canvas
from renders.paper.fitting import block, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.composed import side_layers
from renders.sideview.moments import moments
from renders.tracks.pair_tracks import Axis, axis_of, tracks_layer
from renders.wording import teller
from renders.wording.event_words import event_label, event_title
from renders.wording.languages import Language
from renders.wording.line import Line
from vocaltract.motion.playback import Playback, constant
from vocaltract.pairs.event import Alignment, alignment
from vocaltract.pairs.occurrences import Occurrence, compare
from vocaltract.speech import USUAL, Speech

HEAD, BLEED = 52.0, 20.0
CENTRE_MM = (20.5, -22.5)
INSET, GAP = (150.0, 124.0), 10.0
ALONE = ("dwell", "captions", "transparent", "loop", "intro_s", "holds")  # of a shot: for one text only
MARGIN_S = 0.16  # shown before the first sound of either text and after the last
ICON = 44.0


@dataclass(frozen=True)
class Layout:
    """Where the pieces lie, in px of a picture of `width` x `height`; `scale` is that of the side views in px/mm."""

    width: int
    height: int
    cards: tuple[Box, Box]
    side_width: float
    scale: float
    tracks: Box
    heading: tuple[float, float, float]  # left, right, baseline of the first line


WIDE = Layout(
    1440, 810, ((14, 78, 699, 404), (727, 78, 699, 404)), 430.0, 3.05, (14, 492, 1412, 310), (26, 1414, 36)
)  # fmt: skip
TALL = Layout(
    720, 1280, ((12, 104, 696, 404), (12, 518, 696, 404)), 430.0, 3.05, (12, 932, 696, 338), (22, 698, 40)
)  # fmt: skip


def layout_for(size: tuple[int, int]) -> Layout:
    """The layout that fills more of a picture of that size (width, height) in px."""
    return max((WIDE, TALL), key=lambda layout: min(size[0] / layout.width, size[1] / layout.height))


@dataclass(frozen=True)
class InStep:
    """Two texts on one clock: seconds from the shared event, from `start_s` to `end_s`."""

    pair: Compared
    way: Alignment
    start_s: float
    end_s: float

    @cached_property
    def window_s(self) -> tuple[float, float]:
        """Seconds before and after the event that the tracks show: all that is said."""
        said = [(s.timeline.speech_s, zero) for s, zero in zip(self.pair.said, self.way.zeros_s, strict=True)]
        before = max(zero - speech[0] for speech, zero in said)
        after = max(speech[1] - zero for speech, zero in said)
        return max(before, 0.05) + MARGIN_S / 2, max(after, 0.05) + MARGIN_S / 2

    def times_s(self, clock_s: Array, number: int) -> Array:
        """Times on one of the two timelines; outside it the mouth rests."""
        timeline = self.pair.said[number].timeline
        return np.clip(clock_s + self.way.zeros_s[number], 0.0, timeline.duration_s)


def in_step(pair: Compared, event: str = "") -> InStep:
    """Two compared texts aligned at an event of `pair_align.EVENTS`; "" takes the one that suits."""
    way = alignment(pair.said, event)
    said = list(zip(pair.said, way.zeros_s, strict=True))
    start = min(s.timeline.speech_s[0] - zero for s, zero in said) - MARGIN_S
    end = max(s.timeline.speech_s[1] - zero for s, zero in said) + MARGIN_S
    return InStep(pair, way, start, end)


def write_pair_film(
    a: str,
    b: str,
    out: FilePath,
    shot: Shot,
    *,
    event: str = "",
    speech: Speech = USUAL,
    force: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """Write two sounds, words or phrases in step as a film; returns what the comparison says and how long it is.

    event  closure, release or vowel: what coincides; "" takes the one that suits
    BadInput as for `comparison.write_pair`, `pair_align.alignment` and `Film.save`.
    """
    shot.encoding(out)  # before the texts are worked out
    both = in_step(compared_as(compare(a, b, speech)), event)
    return film(both, shot).save(out, force=force, progress=progress)


def film(both: InStep, shot: Shot) -> Film:
    """The film of two texts in step. BadInput for a shot with what only the film of one text can have."""
    usual = Shot()
    more = [name for name in ALONE if getattr(shot, name) != getattr(usual, name)]
    if more:
        raise BadInput(f"a film of two in step has no {' and no '.join(more)}; leave it out")
    return Film(shot, shot.wording.say(both.pair.told.title), lambda rate: reel(both, shot, rate))


def event_frame(both: InStep, playback: Playback, fps: float) -> int:
    """Number of the frame nearest to the shared event."""
    clock = playback.frame_times_s(fps) + both.start_s
    return int(np.argmin(np.abs(clock)))


def reel(both: InStep, shot: Shot, fps: float) -> Reel:
    """The film of two texts in step at a frame rate; what all its frames have is worked out here, once."""
    style, language, size = shot.look, shot.wording, shot.size
    playback = constant(both.end_s - both.start_s, shot.speed)
    layout = layout_for(size)
    static = static_layers(both, speed_text(shot.speed, False, language).speed_title, layout, style, language)
    clock = playback.frame_times_s(fps) + both.start_s
    film_s = np.arange(len(clock)) / fps

    def draw(first: int, step: int, pixels: Iterator[Frame]) -> Iterator[Frame]:
        raster = Raster(*size, style, centred=True)
        at = slice(first, None, step)
        runs = [moments(s.timeline, both.times_s(clock[at], n), film_s[at]) for n, s in enumerate(both.pair.said)]
        for now, first_text, second_text in zip(clock[at], *runs, strict=True):
            picture = frame(both, static, float(now), (first_text, second_text), layout, style, language)
            yield raster.into(picture, next(pixels))

    aligned = {
        "aligned_at_s": [round(zero, 4) for zero in both.way.zeros_s],
        "event_frame": event_frame(both, playback, fps),
    }
    return Reel(draw, len(clock), {**report(both.pair, language), **aligned})


def static_layers(
    both: InStep, speed_title: str, layout: Layout, style: Style, language: Language
) -> list[Layer]:
    """What is the same in every frame."""
    pair = both.pair
    ops: list[Op] = [Fill(Path.rectangle(*layout.tracks, 14), "panel")]
    ops += [Fill(Path.rectangle(*card, 14), "panel") for card in layout.cards]
    layers = [Layer("ground", tuple(ops), moves=False), _heading(both, speed_title, layout, language)]
    for said, card in zip(pair.said, layout.cards, strict=True):
        fixed = anatomy.fixed_layer(said.timeline.head, Canvas(_view(card, layout), style))
        layers.append(_cut(fixed, card, layout, moves=False))
        layers.append(Layer("card head", tuple(_card_head(said, card, style, language)), moves=False))
    rows = rows_of(pair, both.way)
    named = event_title(both.way.name), event_label(both.way.name)
    tracks = tracks_layer(rows, named, differs(pair, rows), layout.tracks, style, language, both.window_s)
    return [*layers, Layer("tracks", tracks.ops, moves=False)]


def frame(
    both: InStep, static: list[Layer], clock_s: float, shown: tuple[Moment, Moment], layout: Layout, style: Style,
    language: Language,
) -> Picture:  # fmt: skip
    """One frame: both at `clock_s` seconds from the shared event."""
    layers, below = list(static), bool(both.pair.told.unseen)
    for said, now, card in zip(both.pair.said, shown, layout.cards, strict=True):
        view = _view(card, layout)
        layers += [_cut(layer, card, layout) for layer in side_layers(now, Canvas(view, style))]
        layers.append(Layer("state", tuple(_state(said, now, card, layout, style, language, below))))
    layers.append(_play_head(clock_s, axis_of(layout.tracks, both.window_s)))
    title = language.say(both.pair.told.title)
    return Picture(layout.width, layout.height, "paper", tuple(layers), title)


def _window(card: Box, layout: Layout) -> Box:
    x, y, _, h = card
    return x, y + HEAD, layout.side_width, h - HEAD


def _view(card: Box, layout: Layout) -> View:
    x, y, w, h = _window(card, layout)
    return View((x - BLEED, y - BLEED, w + 2 * BLEED, h + 2 * BLEED), layout.scale, CENTRE_MM)


def _cut(layer: Layer, card: Box, layout: Layout, moves: bool = True) -> Layer:
    return Layer(layer.name, (Group(layer.ops, clip=Path.rectangle(*_window(card, layout))),), moves)


def _heading(both: InStep, speed_title: str, layout: Layout, language: Language) -> Layer:
    left, right, y = layout.heading
    title = language.say(both.pair.told.title)
    note = language.text("film.pair_note", speed=speed_title, event=event_title(both.way.name))
    if layout is WIDE:
        room = right - left
        rest = room - width(note, 20) - 30
        size = size_for(title, rest, 30, "bold")
        ops: list[Op] = [
            Text(title, left, y, size, "ink", "bold"),
            Text(note, right, y, 20, "ink2", anchor="end"),
        ]
        lines, small = block(language.sentences(both.pair.told.plain), room, 20, 1)
        ops += [Text(row, left, y + 30 + 1.2 * small * i, small, "ink") for i, row in enumerate(lines)]
        return Layer("heading", tuple(ops), moves=False)
    lines, size = block(title, right - left, 28, 2, "bold")
    ops = [Text(row, left, y + 1.15 * size * i, size, "ink", "bold") for i, row in enumerate(lines)]
    ops.append(Text(note, left, y + 1.15 * size * (len(lines) - 1) + 28, 20, "ink2"))
    return Layer("heading", tuple(ops), moves=False)


def _card_head(said: Occurrence, card: Box, style: Style, language: Language) -> list[Op]:
    x, y, w, _ = card
    middle = y + HEAD / 2
    symbol = said.span.sound.symbol
    ops: list[Op] = [Text(symbol, x + 18, middle, 38, "ink", "bold", baseline="middle")]
    start = x + 18 + width(symbol, 38, "bold") + 18
    words = said.word or language.text("pair_position.alone")
    room = x + w - 18 - start
    size = size_for(words, room * 0.5, 26)
    ops.append(Text(words, start, middle, size, "ink2", baseline="middle"))
    shown = said.timeline.utterance.transcription
    if said.word and shown != words:
        ops.append(
            Text(shown, x + w - 18, middle, size_for(shown, room * 0.45, 24), "ink2", anchor="end", baseline="middle")
        )
    rule = style.line("rule")
    ops.append(Stroke(Path.line([[x, y + HEAD], [x + w, y + HEAD]]), "rule", rule, opacity=0.6, cap="butt"))
    ops.append(Stroke(Path.rectangle(*card, 14), "rule", rule))
    return ops


def _state(
    said: Occurrence, now: Moment, card: Box, layout: Layout, style: Style, language: Language, below: bool
) -> list[Op]:
    """Contact, air and voice in pictogram and word, the folds from above and, if `below`, the palate from below."""
    x, y, w, h = card
    left, right = x + layout.side_width + 8, x + w - 16
    state = teller.state(said.timeline, now.time_s)
    ops: list[Op] = []
    high = (h - HEAD - INSET[1] - 30) / 3
    for number, row in enumerate((state.contact, state.air, state.voice)):
        top = y + HEAD + 10 + number * high
        icon = (left, top + (high - ICON / 1.1) / 2, ICON, ICON / 1.1)
        ops.append(Group(tuple(icons.icon(row.icon, icon, style))))
        room = right - left - ICON - 12
        lines, size = block(language.say(row.title), room, 21, 2, "bold")
        step = 1.15 * size
        first = top + high / 2 - step * (len(lines) - 1) / 2
        ops += [
            Text(t, left + ICON + 12, first + i * step, size, "ink", "bold", baseline="middle")
            for i, t in enumerate(lines)
        ]
    views: list[tuple[Line, Line, Callable[[Box], tuple[Op, ...]]]] = [
        (
            Line("view.folds"),
            folds_word(now.instant.folds_mm, now.instant.voice),
            lambda box: folds_view(now.instant.folds_mm, now.instant.voice, now.drift, box, style),
        )
    ]
    if below:
        flows = now.instant.mouth_flows
        views.insert(
            0,
            (
                Line("view.palate"),
                palate.contact_word(now.section),
                lambda box: palate.contact_view(now.section, box, style, flows),
            ),
        )
    wide = INSET[0] if len(views) == 1 else (right - left - GAP) / 2
    for number, (title, word, drawn) in enumerate(reversed(views)):
        box = (right - wide - number * (wide + GAP), y + h - INSET[1] - 14, wide, INSET[1])
        ops += _inset(box, language.say(title), language.say(word), drawn, style)
    return ops


def _inset(box: Box, title: str, word: str, drawn: Callable[[Box], tuple[Op, ...]], style: Style) -> list[Op]:
    x, y, w, h = box
    size = size_for(word, w - 8, 18, "bold")
    return [
        Stroke(Path.rectangle(*box, 10), "rule", style.line("rule")),
        Text(title, x + w / 2, y + 12, size_for(title, w - 8, 15), "ink2", anchor="middle", baseline="middle"),
        Group(tuple(drawn((x + 8, y + 20, w - 16, h - 44)))),
        Text(word, x + w / 2, y + h - 13, size, "ink", "bold", anchor="middle", baseline="middle"),
    ]


def _play_head(clock_s: float, axis: Axis) -> Layer:
    x = min(max(axis.x(clock_s), axis.left), axis.right)
    line = Path.line([[x, axis.top - 2], [x, axis.bottom + 4]])
    head = Path.polygon([[x - 8, axis.top - 11], [x + 8, axis.top - 11], [x, axis.top + 2]])
    return Layer(
        "play head", (Stroke(line, "focus", 3.0, casing=("panel", 6.0), cap="butt", name="now"), Fill(head, "focus"))
    )
