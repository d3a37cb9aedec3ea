"""Names on a still: the ones asked for, of what is shown. Common practice, no source."""

from __future__ import annotations

import pytest

from renders.anatomy.layers import parts_to_draw
from renders.marks.moments import moment
from renders.paper.picture import Layer, Text
from renders.paper.style import load
from renders.stills import still
from renders.stills.look import StillLook
from renders.stills.naming import labels_layer
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone


def words(look: StillLook) -> str:
    entry = sound("n")
    now = moment(say_alone(entry), still.key_time_s(say_alone(entry)))
    layer: Layer = labels_layer(now, still.view_of(entry), look)
    return " ".join(op.string for op in layer.ops if isinstance(op, Text))


def test_learners_and_coaches_read_their_own_words() -> None:
    assert "gum ridge" in words(StillLook(load())) and "alveolar" not in words(StillLook(load()))
    assert "alveolar" in words(StillLook(load(), "technical"))


@pytest.mark.parametrize("labels", ["plain", "technical"])
def test_only_what_is_shown_is_named(labels: str) -> None:
    assert "tongue" in words(StillLook(load(), labels, parts_to_draw(["tongue"])))
    assert "tongue" not in words(StillLook(load(), labels, parts_to_draw(None, ["tongue"])))
    assert words(StillLook(load(), labels, frozenset())) == ""
