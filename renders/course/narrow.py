"""Pictures of a lesson laid out for a telephone: what stands side by side on a wide screen, one below the other."""

from __future__ import annotations

import numpy as np

from renders.course.lesson_table import lesson_table
from renders.marks.moments import moments
from renders.pairs.layout import pair_layout
from renders.paper.picture import Fill, Group, Layer, Op, Path, Picture
from renders.paper.style import Style
from renders.sideview.burst import brief_burst
from renders.stills import strip
from renders.wording import teller
from renders.wording.languages import Language
from renders.wording.line import Series
from vocaltract.motion.timeline import Timeline


def tall_strip(timeline: Timeline, style: Style, language: Language) -> Picture:
    """The key moments of a timeline in rows of two."""
    room = lesson_table().narrow
    edge, apart, across, (card_wide, card_high) = room.edge_px, room.apart_px, room.cards_a_row, room.card_px
    keys = teller.key_moments(timeline, room.most_moments)
    shown = moments(timeline, np.array([key.time_s for key in keys]))
    rows = -(-len(keys) // across)
    wide = 2 * edge + across * card_wide + (across - 1) * apart
    layers: list[Layer] = []
    for number, (key, now) in enumerate(zip(keys, shown, strict=True)):
        row, column = divmod(number, across)
        at = (edge + column * (card_wide + apart), edge + row * (card_high + apart))
        box = (*at, card_wide, card_high)
        layers += strip.card_layers(timeline, strip.MomentCard(key, brief_burst(now), box), style, language)
    high = 2 * edge + rows * card_high + (rows - 1) * apart
    title = language.text("strip.title", text=" ".join(timeline.utterance.words))
    about = language.text("strip.about", moments=Series(tuple(key.label for key in keys)))
    return Picture(wide, high, "paper", tuple(layers), title, about)


def tall_pair(picture: Picture) -> Picture:
    """The three cards of a comparison (`renders.pairs.picture`) one below the other, without the tracks."""
    page, room = pair_layout().picture, lesson_table().narrow
    edge, apart, (wide, high) = room.edge_px, room.apart_px, page.card_px
    layers: list[Layer] = [Layer("ground", (Fill(Path.rectangle(0, 0, wide + 2 * edge, 1), "paper"),))]
    for number in range(3):
        left, top, _, _ = page.card_box(number)
        at = np.array([[1.0, 0.0, edge - left], [0.0, 1.0, edge + number * (high + apart) - top]])
        window = Path.rectangle(left - 2, top - 2, wide + 4, high + 4)
        ops: tuple[Op, ...] = tuple(op for layer in picture.layers for op in layer.ops)
        layers.append(Layer(f"card {number}", (Group(ops, clip=window, transform=at),)))
    size = wide + 2 * edge, 2 * edge + 3 * high + 2 * apart
    return Picture(*size, picture.background, tuple(layers), picture.title, picture.description)


def side_by_side(picture: Picture) -> Picture:
    """The two mouths of a comparison (`renders.pairs.picture`) alone, for print: its second and third card."""
    page = pair_layout().picture
    wide, high = page.card_px
    left, top, _, _ = page.card_box(1)
    right = page.card_box(2)[0] + wide
    edge = lesson_table().narrow.edge_px
    at = np.array([[1.0, 0.0, edge - left], [0.0, 1.0, edge - top]])
    window = Path.rectangle(left - 2, top - 2, right - left + 4, high + 4)
    ops: tuple[Op, ...] = tuple(op for layer in picture.layers for op in layer.ops)
    layer = Layer("cards", (Group(ops, clip=window, transform=at),))
    size = right - left + 2 * edge, high + 2 * edge
    return Picture(*size, picture.background, (layer,), picture.title, picture.description)
