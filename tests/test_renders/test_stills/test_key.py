"""What is said around a still: nothing runs into anything else. No outside reference: a property of the layout."""

from __future__ import annotations

from functools import cache

import pytest

from renders.marks.moments import Moment, moment
from renders.paper.picture import Fill, Group, Text
from renders.paper.style import load
from renders.paper.typeface import width
from renders.sideview import acting
from renders.stills.key import state_layer, title_layer
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.stills.still import key_time_s
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import entries, sound
from vocaltract.speech import say_alone

LOOK = StillLook(load())


@cache
def now(symbol: str) -> tuple[Timeline, Moment]:
    alone = say_alone(sound(symbol))
    return alone, moment(alone, key_time_s(alone))


def test_no_title_runs_into_the_key() -> None:
    for symbol, entry in entries().items():
        layer = title_layer(entry, LOOK, acting.resting(entry, now(symbol)[1].section))
        texts = [op for op in layer.ops if isinstance(op, Text)]
        name = next(op for op in texts if op.string == entry.name)
        swatch = min(op.path.vertices[:, 0].min() for op in layer.ops if isinstance(op, Fill))
        assert name.x + width(name.string, name.size, "bold") < swatch - 10.0, symbol


def test_the_title_of_a_vowel_that_moves_says_from_where_to_where() -> None:
    def said(symbol: str) -> str:
        return " ".join(op.string for op in title_layer(sound(symbol), LOOK, frozenset()).ops if isinstance(op, Text))

    assert "start [a], dashed: end [ɪ]" in said("aɪ")
    assert "dashed" not in said("i") + said("tʃ")


def test_the_key_names_what_is_left_free_only_where_something_is() -> None:
    def words(symbol: str, free: frozenset[str]) -> set[str]:
        return {op.string for op in title_layer(sound(symbol), LOOK, free).ops if isinstance(op, Text)}

    assert {"works here", "at rest"} <= words("m", frozenset({"tongue"}))
    assert "moves" in words("m", frozenset()) and "at rest" not in words("m", frozenset())


@pytest.mark.parametrize("symbol", ["t", "m", "s", "l", "\u0251"])
def test_the_state_stands_inside_the_picture_and_apart_from_the_caution(symbol: str) -> None:
    layer = state_layer(*now(symbol), LOOK)
    texts = [op for op in layer.ops if isinstance(op, Text)]
    assert len(texts) == 3 and len([op for op in layer.ops if isinstance(op, Group)]) == 3
    page, title = still_layout().still, still_layout().title
    for text, after in zip(texts, [*texts[1:], None], strict=True):
        end = text.x + width(text.string, text.size, "bold")
        assert text.x > 0 and end < (page.width_px if after is None else after.x)
        assert text.y + text.size < page.height_px - title.caution_y_px


def test_words_on_any_ground_have_a_rim() -> None:
    for look, rimmed in ((LOOK, False), (StillLook(load(), transparent=True), True)):
        layer = title_layer(sound("t"), look, frozenset())
        assert all((op.casing is not None) is rimmed for op in layer.ops if isinstance(op, Text))
