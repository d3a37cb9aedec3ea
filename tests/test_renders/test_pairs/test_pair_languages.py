"""Comparisons in every language, as picture, strip and film, keep their texts apart and inside.

Outside: the widths of the typeface.
"""

from __future__ import annotations

from functools import cache

import pytest

from renders.ink.recording import recorded_calls
from renders.marks.moments import moment
from renders.pairs import pair_strip
from renders.pairs.compared import ComparedPair, compared_pair, pair_report
from renders.pairs.in_step import in_step
from renders.pairs.layout import film_layout
from renders.pairs.look import PairLook
from renders.pairs.pair_frame import FilmDress, frame, static_layers
from renders.pairs.picture import pair_picture
from renders.paper.picture import Picture
from renders.paper.style import load
from renders.wording.languages import language_of
from renders.wording.shipped import FIRST, languages
from tests.picture_text import collisions, outside, text_boxes
from vocaltract.pairs.event import alignment
from vocaltract.pairs.occurrences import compare

LIGHT = load("light")
OTHERS = [key for key in languages() if key != FIRST]
PAIRS = [("t", "d"), ("l", "ɹ"), ("θ", "s"), ("[i]", "ɪ"), ("b", "m"), ("late", "date"), ("ticket", "tickets")]


@cache
def pair(a: str, b: str) -> ComparedPair:
    return compared_pair(compare(a, b))


def faults(picture: Picture) -> list[object]:
    """Texts that leave the picture or lie on one another."""
    boxes = text_boxes(recorded_calls(picture, LIGHT))
    assert len(boxes) > 10
    return [*outside(boxes, picture.width, picture.height), *collisions(boxes)]


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_texts_of_a_comparison_keep_their_room(a: str, b: str, key: str) -> None:
    language = language_of(key)
    picture = pair_picture(pair(a, b), PairLook(LIGHT, language))
    assert faults(picture) == []
    assert pair_report(pair(a, b), language)["language"] == key


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize(("a", "b"), [("t", "d"), ("late", "date")])
def test_texts_of_a_strip_of_two_keep_their_room(a: str, b: str, key: str) -> None:
    way = alignment(pair(a, b).said, "")
    assert faults(pair_strip.pair_strip_picture(pair(a, b), way, PairLook(LIGHT, language_of(key)))) == []


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize("size", [(1280, 720), (1080, 1920)])
@pytest.mark.parametrize(("a", "b"), [("late", "date"), ("t", "d")])
def test_texts_of_a_frame_of_two_keep_their_room(a: str, b: str, size: tuple[int, int], key: str) -> None:
    both, look = in_step(pair(a, b)), PairLook(LIGHT, language_of(key))
    dress = FilmDress(film_layout(size), look, look.language.text("speed.0.25"))
    static = static_layers(both, dress)
    for clock_s in (-0.05, 0.02, 0.09):
        now = [moment(s.timeline, float(both.times_s(clock_s, n))) for n, s in enumerate(both.pair.said)]
        picture = frame(both, static, clock_s, (now[0], now[1]), dress)
        assert faults(picture) == []
