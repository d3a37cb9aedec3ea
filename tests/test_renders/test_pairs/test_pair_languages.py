"""Comparisons in every language, as picture, strip and film, keep their texts apart and inside.

Outside: the widths of the typeface.
"""

from __future__ import annotations

from functools import cache

import pytest
from vocaltract.pairs.chosen import told

from renders.ink.recording import record
from renders.pairs import comparison, event, pair_film, pair_strip
from renders.paper.picture import Picture
from renders.paper.style import load
from renders.sideview.moments import moment
from renders.wording.languages import language_of
from renders.wording.shipped import FIRST, languages
from tests.picture_text import collisions, outside, text_boxes

LIGHT = load("light")
OTHERS = [key for key in languages() if key != FIRST]
PAIRS = [("t", "d"), ("l", "ɹ"), ("θ", "s"), ("i", "ɪ"), ("b", "m"), ("late", "date"), ("ticket", "tickets")]


@cache
def pair(a: str, b: str) -> comparison.Compared:
    return comparison.compared_as(told(a, b))


def faults(picture: Picture) -> list[object]:
    """Texts that leave the picture or lie on one another."""
    boxes = text_boxes(record(picture, LIGHT))
    assert len(boxes) > 10
    return [*outside(boxes, picture.width, picture.height), *collisions(boxes)]


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_texts_of_a_comparison_keep_their_room(a: str, b: str, key: str) -> None:
    language = language_of(key)
    picture = comparison.drawn(pair(a, b), LIGHT, language)
    assert faults(picture) == []
    assert comparison.report(pair(a, b), language)["language"] == key


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize(("a", "b"), [("t", "d"), ("late", "date")])
def test_texts_of_a_strip_of_two_keep_their_room(a: str, b: str, key: str) -> None:
    way = event.alignment(pair(a, b).said, "")
    assert faults(pair_strip.strip_picture(pair(a, b), way, LIGHT, language_of(key))) == []


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize("size", [(1280, 720), (1080, 1920)])
@pytest.mark.parametrize(("a", "b"), [("late", "date"), ("t", "d")])
def test_texts_of_a_frame_of_two_keep_their_room(a: str, b: str, size: tuple[int, int], key: str) -> None:
    both, layout, language = pair_film.in_step(pair(a, b)), pair_film.layout_for(size), language_of(key)
    static = pair_film.static_layers(both, language.text("speed.0.25"), layout, LIGHT, language)
    for clock_s in (-0.05, 0.02, 0.09):
        now = [moment(s.timeline, float(both.times_s(clock_s, n))) for n, s in enumerate(both.pair.said)]
        picture = pair_film.frame(both, static, clock_s, (now[0], now[1]), layout, LIGHT, language)
        assert faults(picture) == []
