"""Stills of the woman and the child: the same picture of another head. Outside: none, a rule of ours."""

from __future__ import annotations

import pytest

from renders.ink.recording import recorded_calls
from renders.stills.still import still
from tests.picture_text import TextBox, collisions, outside, text_boxes


def words(symbol: str, speaker: str) -> list[TextBox]:
    drawn = still(f"[{symbol}]", labels="technical", speaker=speaker)
    return text_boxes(recorded_calls(drawn.picture, drawn.style))


@pytest.mark.parametrize("symbol", ["n", "k", "ɑ", "u"])
@pytest.mark.parametrize("speaker", ["woman", "child"])
def test_no_label_is_lost(speaker: str, symbol: str) -> None:
    own, mans = words(symbol, speaker), words(symbol, "man")
    assert {box.string for box in own} == {box.string for box in mans}
    assert outside(own, 1600, 1200) == [] and collisions(own) == []


def test_another_sound_has_other_words() -> None:
    assert {box.string for box in words("n", "child")} != {box.string for box in words("k", "child")}
