"""The small views under the chin: inside the card, apart, the palate only where the tongue makes the sound."""

from __future__ import annotations

import numpy as np
import pytest

from renders.marks.moments import moment
from renders.paper.picture import Layer, Stroke, Text
from renders.paper.style import load
from renders.stills import still
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.stills.small_views import small_views_layer
from vocaltract.phonetics.inventory import entries, sound
from vocaltract.speech import say_alone


def views(symbol: str) -> Layer:
    entry = sound(symbol)
    now = moment(say_alone(entry), still.key_time_s(say_alone(entry)))
    return small_views_layer(entry, now, StillLook(load()), still.view_of(entry))


# Source of what makes which sound: Ladefoged & Johnson, A Course in Phonetics, from memory.
@pytest.mark.parametrize(
    ("symbol", "palate"), [("t", True), ("k", True), ("i", True), ("p", False), ("h", False), ("ɑ", False)]
)
def test_the_palate_is_shown_where_the_tongue_touches_it(symbol: str, palate: bool) -> None:
    words = {op.string for op in views(symbol).ops if isinstance(op, Text)}
    assert {"lips, front", "folds, above"} <= words
    assert ("palate, below" in words) is palate


@pytest.mark.parametrize("symbol", sorted(entries()))
def test_they_lie_inside_the_card_and_apart(symbol: str) -> None:
    x, y, wide, high = still_layout().still.card_px
    frames = [op.path.vertices for op in views(symbol).ops if isinstance(op, Stroke)]
    assert len(frames) in (2, 3)
    for frame, after in zip(frames, [*frames[1:], None], strict=True):
        (left, top), (right, bottom) = frame.min(axis=0), frame.max(axis=0)
        assert x < left and right < x + wide and y < top and bottom < y + high
        assert after is None or right < np.min(after[:, 0])
