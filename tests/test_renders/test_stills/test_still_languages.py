"""Stills, strips and sheets in every language keep texts apart and inside. Outside: widths of the typeface."""

from __future__ import annotations

import pytest

from renders.ink.recording import recorded_calls
from renders.paper.picture import Picture
from renders.paper.style import load
from renders.stills import chart, still, strip
from renders.stills.look import StillLook
from renders.wording.languages import language_of
from renders.wording.shipped import FIRST, languages
from tests.picture_text import collisions, outside, text_boxes
from tests.spoken import said
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone

LIGHT = load("light")
OTHERS = [key for key in languages() if key != FIRST]


def faults(picture: Picture) -> list[object]:
    """Texts that leave the picture or lie on one another."""
    boxes = text_boxes(recorded_calls(picture, LIGHT))
    assert len(boxes) > 5
    return [*outside(boxes, picture.width, picture.height), *collisions(boxes)]


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize(
    ("symbol", "labels"), [("t", "technical"), ("l", "plain"), ("aɪ", "plain"), ("[ʈ]", "none"), ("m", "technical")]
)
def test_texts_of_a_still_keep_their_room(symbol: str, labels: str, key: str) -> None:
    entry = sound(symbol)
    look = StillLook(LIGHT, labels, language=language_of(key))
    assert faults(still.still_picture(entry, say_alone(entry), look)) == []


def test_the_check_of_a_still_finds_texts_that_lie_on_one_another() -> None:
    entry = sound("t")
    picture = still.still_picture(entry, say_alone(entry), StillLook(LIGHT, language=language_of("es")))
    assert faults(Picture(picture.width, picture.height, "paper", picture.layers[-2:] * 2)) != []


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize("text", ["front desk", "button", "keys"])
def test_texts_of_a_strip_keep_their_room(text: str, key: str) -> None:
    # bars of closures lie close beneath one another: their words are judged with the strip's own tests
    picture = strip.strip_picture(said(text), LIGHT, language_of(key))
    assert faults(picture) == []
    assert picture.title != strip.strip_picture(said(text), LIGHT, language_of()).title


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize("kind", chart.KINDS)
def test_texts_of_a_sheet_keep_their_room(kind: str, key: str) -> None:
    assert faults(chart.sheet(kind, LIGHT, language_of(key))) == []
