"""The small view of a pair keeps inside its frame, in every language. No outside reference: a property."""

from __future__ import annotations

from functools import cache

import pytest

from renders.ink.recording import recorded_calls
from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.pairs.layout import pair_layout
from renders.pairs.look import PairLook
from renders.pairs.small_view import Kind, small_view
from renders.paper.picture import Layer, Picture
from renders.paper.style import load
from renders.wording.languages import language_of
from renders.wording.shipped import languages
from tests.picture_text import collisions, outside, text_boxes
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone


@cache
def now(symbol: str) -> Moment:
    alone = say_alone(sound(symbol))
    return moment(alone, sum(alone.spans[0].hold_s) / 2)


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("kind", ["folds", "lips", "palate"])
@pytest.mark.parametrize("symbol", ["t", "l", "u"])
def test_its_words_keep_inside_the_frame_and_apart(kind: Kind, symbol: str, language: str) -> None:
    style, room = load("light"), pair_layout().picture_view
    size = room.palate_px if kind == "palate" else room.size_px
    ops = small_view(kind, now(symbol), (0.0, 0.0, *size), room, PairLook(style, language_of(language)))
    boxes = text_boxes(recorded_calls(Picture(*size, "paper", (Layer("view", tuple(ops)),)), style))
    assert len(boxes) == 2
    assert outside(boxes, *size) == [] and collisions(boxes) == []
