"""Vowels that move show where they end. Common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.section import section
from renders.marks.moments import moment
from renders.paper.picture import Layer, Stroke
from renders.paper.style import load
from renders.stills import still
from renders.stills.glide import end_layer, glides
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from vocaltract.phonetics.inventory import entries, sound
from vocaltract.phonetics.postures import posture
from vocaltract.speech import say_alone


def layer(symbol: str, name: str) -> Layer | None:
    entry = sound(symbol)
    drawn = still.still_picture(entry, say_alone(entry), StillLook(load()))
    return next((found for found in drawn.layers if found.name == name), None)


@pytest.mark.parametrize("symbol", ["eɪ", "aɪ", "aʊ", "ɔɪ", "oʊ"])
def test_a_vowel_that_moves_shows_its_start_and_its_end(symbol: str) -> None:
    entry = sound(symbol)
    shown = say_alone(entry)
    ends = layer(symbol, "end of the glide")
    assert ends is not None
    end = next(op for op in ends.ops if isinstance(op, Stroke) and op.name == "tongue at the end")
    wanted = section(shown.head, posture(entry.posture[1]))["tongue"]
    assert end.dash is not None
    assert np.allclose(end.path.vertices[: len(wanted)], still_layout().still.view().px(wanted))
    now = shown.posture(np.array([still.key_time_s(shown)]))
    first, last = (posture(key).values for key in entry.posture)
    assert np.linalg.norm(now.values[0] - first) < np.linalg.norm(now.values[0] - last)


def test_a_vowel_that_stays_has_no_second_shape() -> None:
    assert layer("ɑ", "end of the glide") is None


def test_the_arrow_goes_from_the_start_to_the_end() -> None:
    # the tongue of aɪ rises to its front; source: Ladefoged & Johnson, A Course in Phonetics, from memory
    entry = sound("aɪ")
    now = moment(say_alone(entry), still.key_time_s(say_alone(entry)))
    ops = end_layer(say_alone(entry), now, still.view_of(entry), load()).ops
    shaft = next(op for op in ops if isinstance(op, Stroke) and op.name == "from start to end").path.vertices
    assert shaft[1][1] < shaft[0][1] and shaft[1][0] < shaft[0][0]


def test_only_diphthongs_glide() -> None:
    moving = {symbol for symbol, entry in entries().items() if glides(entry)}
    # source: Ladefoged & Johnson, A Course in Phonetics, from memory: the diphthongs of General American
    assert moving == {"eɪ", "aɪ", "ɔɪ", "aʊ", "oʊ"}
