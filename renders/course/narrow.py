"""Pictures of a lesson laid out for a telephone: what stands side by side on a wide screen, one below the other."""

from __future__ import annotations

import numpy as np

from renders.pairs.layout import layout
from renders.paper.picture import Fill, Group, Layer, Op, Path, Picture
from renders.paper.style import Style
from renders.sideview.burst import brief_burst
from renders.sideview.moments import moments
from renders.stills import strip
from renders.wording import teller
from renders.wording.languages import Language
from renders.wording.line import Series
from vocaltract.motion.timeline import Timeline

EDGE, GAP = 8.0, 10.0
CARDS_A_ROW = 2
CARD_W, CARD_H = 232.0, 338.0  # as in the wide strip, so that texts keep their size


def tall_strip(timeline: Timeline, style: Style, language: Language, most: int = 8) -> Picture:
    """The key moments of a timeline in rows of two."""
    keys = teller.key_moments(timeline, most)
    shown = moments(timeline, np.array([key.time_s for key in keys]))
    rows = -(-len(keys) // CARDS_A_ROW)
    wide = 2 * EDGE + CARDS_A_ROW * CARD_W + (CARDS_A_ROW - 1) * GAP
    layers: list[Layer] = []
    for number, (key, now) in enumerate(zip(keys, shown, strict=True)):
        row, column = divmod(number, CARDS_A_ROW)
        box = (EDGE + column * (CARD_W + GAP), EDGE + row * (CARD_H + GAP), CARD_W, CARD_H)
        layers += strip.card_layers(timeline, strip.Card(key, brief_burst(now), box), style, language)
    high = 2 * EDGE + rows * CARD_H + (rows - 1) * GAP
    title = language.text("strip.title", text=" ".join(timeline.utterance.words))
    about = language.text("strip.about", moments=Series(tuple(key.label for key in keys)))
    return Picture(wide, high, "paper", tuple(layers), title, about)


def tall_pair(picture: Picture) -> Picture:
    """The three cards of a comparison (`renders.pairs.picture`) one below the other, without the tracks."""
    page = layout().picture
    wide, high = page.card_px
    layers: list[Layer] = [Layer("ground", (Fill(Path.rectangle(0, 0, wide + 2 * EDGE, 1), "paper"),))]
    for number in range(3):
        left, top, _, _ = page.card_box(number)
        at = np.array([[1.0, 0.0, EDGE - left], [0.0, 1.0, EDGE + number * (high + GAP) - top]])
        window = Path.rectangle(left - 2, top - 2, wide + 4, high + 4)
        ops: tuple[Op, ...] = tuple(op for layer in picture.layers for op in layer.ops)
        layers.append(Layer(f"card {number}", (Group(ops, clip=window, transform=at),)))
    size = wide + 2 * EDGE, 2 * EDGE + 3 * high + 2 * GAP
    return Picture(*size, picture.background, tuple(layers), picture.title, picture.description)
