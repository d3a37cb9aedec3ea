"""One frame of two texts in step: two side views with their states, over one axis of time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from renders.anatomy import layers as anatomy
from renders.marks.moment import Moment
from renders.pairs.compared import tracks_of
from renders.pairs.in_step import InStep
from renders.pairs.layout import FilmLayout, pair_layout
from renders.pairs.look import PairLook
from renders.pairs.small_view import Kind, small_view
from renders.paper import icons
from renders.paper.canvas import Canvas
from renders.paper.fitting import block, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.composed import side_layers
from renders.tracks.pair_row import Axis
from renders.tracks.pair_tracks import axis_of, tracks_layer
from renders.wording.event_words import event_title
from renders.wording.teller import State
from vocaltract.pairs.occurrences import Occurrence


@dataclass(frozen=True)
class FilmDress:
    """How two texts in step are laid out and dressed; `speed` of the film in words, and what voice is heard, if any."""

    room: FilmLayout
    look: PairLook
    speed: str
    voice: str = ""

    def window(self, card: Box) -> Box:
        """The part of a card that shows the side view."""
        x, y, _, high = card
        head_px = pair_layout().film.head_px
        return (x, y + head_px, self.room.side_px, high - head_px)

    def view(self, card: Box) -> View:
        """How the head lies in a card."""
        x, y, wide, high = self.window(card)
        cards = pair_layout().film
        bleed = cards.bleed_px
        box = (x - bleed, y - bleed, wide + 2 * bleed, high + 2 * bleed)
        return View(box, self.room.scale_px_per_mm, cards.middle_mm)

    def cut(self, layer: Layer, card: Box, moves: bool = True) -> Layer:
        """A layer of a side view, cut to the window of a card."""
        return Layer(layer.name, (Group(layer.ops, clip=Path.rectangle(*self.window(card))),), moves)


def static_layers(both: InStep, dress: FilmDress) -> list[Layer]:
    """What is the same in every frame."""
    room, look = dress.room, dress.look
    ops: list[Op] = [Fill(Path.rectangle(*box, 14), "panel") for box in (room.tracks_px, *room.cards_px)]
    layers = [Layer("ground", tuple(ops), moves=False), _heading(both, dress)]
    for said, card in zip(both.pair.said, room.cards_px, strict=True):
        fixed = anatomy.fixed_layer(said.timeline.head, Canvas(dress.view(card), look.style))
        layers.append(dress.cut(fixed, card, moves=False))
        layers.append(Layer("card head", tuple(_card_head(said, card, look)), moves=False))
    tracks = tracks_layer(tracks_of(both.pair, both.way, both.window_s), room.tracks_px, look.style, look.language)
    return [*layers, Layer("tracks", tracks.ops, moves=False)]


def frame(
    both: InStep,
    static: list[Layer],
    clock_s: float,
    shown: tuple[Moment, Moment],
    dress: FilmDress,
    heard: int | None = None,
) -> Picture:
    """One frame: both at `clock_s` seconds from the shared event; `heard`: which of them, if any."""
    layers, room = list(static), dress.room
    kinds: tuple[Kind, ...] = ("palate", "folds") if both.pair.statement.unseen else ("folds",)
    for teller, now, card in zip(both.tellers, shown, room.cards_px, strict=True):
        canvas = Canvas(dress.view(card), dress.look.style)
        layers += [dress.cut(layer, card) for layer in side_layers(now, canvas)]
        beside = [*_state(teller.at(now.time_s), card, dress), *_small_views(kinds, now, card, dress)]
        layers.append(Layer("state", tuple(beside)))
    if heard is not None:
        layers.append(_heard(room.cards_px[heard], dress.look))
    layers.append(_play_head(clock_s, axis_of(room.tracks_px, both.window_s)))
    title = dress.look.language.say(both.pair.statement.title)
    return Picture(room.width_px, room.height_px, "paper", tuple(layers), title)


def _heading(both: InStep, dress: FilmDress) -> Layer:
    language = dress.look.language
    left, right, y = dress.room.heading_px
    title = language.say(both.pair.statement.title)
    note = language.text(
        "film.pair_note_heard" if dress.voice else "film.pair_note",
        speed=dress.speed,
        event=event_title(both.way.name),
        voice=dress.voice,
    )
    if dress.room.one_line:
        room = right - left
        rest = room - width(note, 20) - 30
        size = size_for(title, rest, 30, "bold")
        ops: list[Op] = [
            Text(title, left, y, size, "ink", "bold"),
            Text(note, right, y, 20, "ink2", anchor="end"),
        ]
        lines, small = block(language.sentences(both.pair.statement.plain), room, 20, 1)
        ops += [Text(row, left, y + 30 + 1.2 * small * i, small, "ink") for i, row in enumerate(lines)]
        return Layer("heading", tuple(ops), moves=False)
    lines, size = block(title, right - left, 28, 2, "bold")
    ops = [Text(row, left, y + 1.15 * size * i, size, "ink", "bold") for i, row in enumerate(lines)]
    ops.append(Text(note, left, y + 1.15 * size * (len(lines) - 1) + 28, 20, "ink2"))
    return Layer("heading", tuple(ops), moves=False)


def _card_head(said: Occurrence, card: Box, look: PairLook) -> list[Op]:
    x, y, w, _ = card
    head = pair_layout().film.head_px
    middle = y + head / 2
    symbol = said.span.sound.symbol
    ops: list[Op] = [Text(symbol, x + 18, middle, 38, "ink", "bold", baseline="middle")]
    start = x + 18 + width(symbol, 38, "bold") + 18
    words = said.word or look.language.text("pair_position.alone")
    room = x + w - 18 - start
    size = size_for(words, room * 0.5, 26)
    ops.append(Text(words, start, middle, size, "ink2", baseline="middle"))
    shown = said.timeline.utterance.transcription
    if said.word and shown != words:
        ops.append(
            Text(shown, x + w - 18, middle, size_for(shown, room * 0.45, 24), "ink2", anchor="end", baseline="middle")
        )
    rule = look.style.line("rule")
    ops.append(Stroke(Path.line([[x, y + head], [x + w, y + head]]), "rule", rule, opacity=0.6, cap="butt"))
    ops.append(Stroke(Path.rectangle(*card, 14), "rule", rule))
    return ops


def _heard(card: Box, look: PairLook) -> Layer:
    """The mark of the card that is heard: a thick edge, and a loudspeaker in its corner."""
    x, y, _, h = card
    room = pair_layout().film
    size = room.heard_px
    left, middle = x + room.apart_px + 4, y + h - size / 2 - room.apart_px
    part = size / 6
    corner = np.array([left, middle])
    cone = np.array([[0, -1], [1, -1], [2.4, -2.4], [2.4, 2.4], [1, 1], [0, 1]])
    ops: list[Op] = [
        Stroke(Path.rectangle(*card, 14), "voice", 3 * look.style.line("rule")),
        Fill(Path.polygon(corner + part * cone), "voice"),
    ]
    turn = np.linspace(-0.9, 0.9, 13)
    for reach in (1.2, 2.4):
        bow = np.stack([2.7 + reach * np.cos(turn), reach * np.sin(turn)], axis=-1)
        ops.append(Stroke(Path.line(corner + part * bow), "voice", part * 0.7))
    return Layer("heard", tuple(ops))


def _state(state: State, card: Box, dress: FilmDress) -> list[Op]:
    """Contact, air and voice in pictogram and word."""
    x, y, w, h = card
    cards, language = pair_layout().film, dress.look.language
    head, icon = cards.head_px, cards.icon_px
    left, right = x + dress.room.side_px + 8, x + w - 16
    ops: list[Op] = []
    high = (h - head - pair_layout().film_view.size_px[1] - 30) / 3
    for number, row in enumerate((state.contact, state.air, state.voice)):
        top = y + head + 10 + number * high
        place = (left, top + (high - icon / 1.1) / 2, icon, icon / 1.1)
        ops.append(Group(tuple(icons.icon(row.icon, place, dress.look.style))))
        lines, size = block(language.say(row.title), right - left - icon - 12, 21, 2, "bold")
        step = 1.15 * size
        first = top + high / 2 - step * (len(lines) - 1) / 2
        ops += [
            Text(t, left + icon + 12, first + i * step, size, "ink", "bold", baseline="middle")
            for i, t in enumerate(lines)
        ]
    return ops


def _small_views(kinds: Sequence[Kind], now: Moment, card: Box, dress: FilmDress) -> list[Op]:
    """The small views of a card, from its right edge to the left."""
    x, y, w, h = card
    room, apart = pair_layout().film_view, pair_layout().film.apart_px
    left, right = x + dress.room.side_px + 8, x + w - 16
    wide = room.size_px[0] if len(kinds) == 1 else (right - left - apart) / 2
    high = room.size_px[1]
    ops: list[Op] = []
    for number, kind in enumerate(reversed(kinds)):
        box = (right - wide - number * (wide + apart), y + h - high - room.beside_px, wide, high)
        ops += small_view(kind, now, box, room, dress.look)
    return ops


def _play_head(clock_s: float, axis: Axis) -> Layer:
    x = min(max(axis.x(clock_s), axis.left), axis.right)
    line = Path.line([[x, axis.top - 2], [x, axis.bottom + 4]])
    head = Path.polygon([[x - 8, axis.top - 11], [x + 8, axis.top - 11], [x, axis.top + 2]])
    return Layer(
        "play head", (Stroke(line, "focus", 3.0, casing=("panel", 6.0), cap="butt", name="now"), Fill(head, "focus"))
    )
