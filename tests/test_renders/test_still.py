"""Stills: labels keep clear of the insets, vowels that move show where they end. Common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from articulators.section import section
from renders import film, still
from renders.picture import Layer, Picture, Stroke
from renders.style import load
from vocaltract.phonetics.inventory import posture, sound


def picture(symbol: str, labels: str = "plain") -> Picture:
    entry = sound(symbol)
    return still.still_picture(entry, film.timeline_of_sound(entry), load(), labels)


def layer(drawn: Picture, name: str) -> Layer:
    return next(found for found in drawn.layers if found.name == name)


@pytest.mark.parametrize("symbol", ["n", "ɑ", "i", "l", "ʔ", "ŋ"])
def test_no_leader_strikes_an_inset(symbol: str) -> None:
    drawn = picture(symbol, "technical")
    boxes = [op.path.vertices for op in layer(drawn, "insets").ops if isinstance(op, Stroke)]
    leaders = [op.path.vertices for op in layer(drawn, "labels").ops if isinstance(op, Stroke)]
    views = {"ɑ": 2, "ʔ": 2}.get(symbol, 3)  # the tongue touches the palate in n, i, l, ŋ
    assert len(boxes) == views and len(leaders) > 15
    for box in boxes:
        shape = shapely.box(*box.min(axis=0), *box.max(axis=0))
        assert not any(shapely.LineString(leader).intersects(shape) for leader in leaders)


@pytest.mark.parametrize("symbol", ["eɪ", "aɪ", "aʊ", "ɔɪ", "oʊ"])
def test_a_vowel_that_moves_shows_its_start_and_its_end(symbol: str) -> None:
    entry = sound(symbol)
    shown = film.timeline_of_sound(entry)
    end = next(
        op
        for op in layer(picture(symbol), "end of the glide").ops
        if isinstance(op, Stroke) and op.name == "tongue at the end"
    )
    wanted = section(shown.head, posture(entry.posture[1]))["tongue"]
    assert end.dash is not None
    assert np.allclose(end.path.vertices[: len(wanted)], still.VIEW.px(wanted))
    now = shown.posture(np.array([still.key_time_s(shown)]))
    first, last = (posture(key).values for key in entry.posture)
    assert np.linalg.norm(now.values[0] - first) < np.linalg.norm(now.values[0] - last)


def test_a_vowel_that_stays_has_no_second_shape() -> None:
    assert all(found.name != "end of the glide" for found in picture("ɑ").layers)
