"""Films in every language: texts of frames keep their room and are large enough to read, whatever is said.

Outside: the widths of the typeface, and the type sizes of the style.
"""

from __future__ import annotations

import pytest

from renders.films import film, frame, layouts
from renders.films.intro import intro_card
from renders.films.look import FrameLook
from renders.films.shot import Shot
from renders.ink.recording import recorded_calls
from renders.marks import moments
from renders.paper.picture import Picture
from renders.paper.style import load
from renders.paper.typeface import width
from renders.wording.languages import Language, language_of
from renders.wording.shipped import FIRST, languages
from tests.picture_text import collisions, outside, text_boxes
from tests.spoken import said

LIGHT = load("light")
OTHERS = [key for key in languages() if key != FIRST]
LEAST = 0.8  # of the type size of the style: at 720 px high still 13 px and more, which is common practice


def faults(picture: Picture) -> list[object]:
    """Texts that leave the picture or lie on one another; the lit box of the strip repeats the symbol it covers."""
    boxes = text_boxes(recorded_calls(picture, LIGHT))
    apart = [pair for pair in collisions(boxes, slack=2.5) if pair[0] != pair[1]]
    return [*outside(boxes, picture.width, picture.height), *apart]


@pytest.mark.parametrize("key", OTHERS)
@pytest.mark.parametrize("size", list(layouts.SHAPES_PX.values()))
@pytest.mark.parametrize("text", ["hands", "check"])
def test_texts_of_a_frame_keep_their_room(text: str, size: tuple[int, int], key: str) -> None:
    timeline, language = said(text), language_of(key)
    look = FrameLook(LIGHT, language, layouts.layout_for(size))
    frames = frame.FilmFrames(timeline, look, frame.speed_text(0.25, False, language))
    begin, end = timeline.speech_s
    for share in (0.02, 0.3, 0.55, 0.8):
        now = moments.moment(timeline, begin + share * (end - begin))
        assert faults(frames.picture(now)) == [], share


@pytest.mark.parametrize("key", OTHERS)
def test_texts_of_an_intro_keep_their_room(key: str) -> None:
    language = language_of(key)
    look = FrameLook(LIGHT, language)
    card = intro_card(said("hands"), look, (1280, 720), frame.speed_text(0.5, True, language))
    assert faults(card) == []


def too_small(language: Language) -> dict[str, float]:
    """Texts of a moment that the widest shape of film sets smaller than LEAST of the style's size, with their share."""
    layout = layouts.layout_for((1280, 720))
    room = layout.right - layout.left
    found = {}
    for kind, size, weight, free in (
        ("cue", "main", "bold", 0.0), ("sound_cue", "main", "bold", 0.0), ("throat_cue", "main", "bold", 0.0),
        ("detail", "second", "regular", 0.0), ("contact", "state", "bold", layout.row_text[0]),
        ("air", "state", "bold", layout.row_text[0]), ("voice", "state", "bold", layout.row_text[0]),
    ):  # fmt: skip
        for key in language.rows(kind):
            text = language.template(f"{kind}.{key}")
            second = key.endswith("_second")
            wide = width(text, layout.size(LIGHT, "second" if second else size), "regular" if second else weight)
            if wide * LEAST > room - free:
                found[f"{kind}.{key}"] = round((room - free) / wide, 2)
    return found


@pytest.mark.parametrize("key", languages())
def test_no_text_of_a_moment_becomes_too_small_to_read(key: str) -> None:
    assert too_small(language_of(key)) == {}


def test_a_film_says_its_shot_in_its_language() -> None:
    made = film.film(said("hands"), Shot(size=(320, 180), language="zh"))
    assert made.shot.wording.key == "zh"
