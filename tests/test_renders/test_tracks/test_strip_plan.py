"""Where the rows of a time strip lie. No outside reference: a property of the layout."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from renders.paper.style import load
from renders.tracks.layout import tracks_layout
from renders.tracks.play_head import PlayHead
from renders.tracks.strip_plan import strip_plan
from renders.tracks.timestrip import time_strip
from renders.wording.languages import language_of
from vocaltract.speech import say

BOX = (10.0, 20.0, 900.0, 150.0)


@pytest.mark.parametrize("rows", ["all", "short"])
def test_rows_follow_one_another_inside_the_box(rows: str) -> None:
    plan = strip_plan(say("backpack"), BOX, rows)  # type: ignore[arg-type]
    found = [row for row in (plan.marker, plan.sounds, plan.voice, plan.shut, plan.air, plan.ticks) if row is not None]
    assert len(found) == (6 if rows == "all" else 4)
    for (top, high), after in zip(found, [*found[1:], (BOX[1] + BOX[3], 0.0)], strict=True):
        assert BOX[1] <= top and top + high <= after[0] + 1e-9


def test_organs_that_are_shut_at_once_have_lanes_of_their_own() -> None:
    # in backpack the k is held while the p shuts (any handbook: stops overlap inside a word)
    lanes = strip_plan(say("backpack"), BOX, "all").lanes
    assert len(lanes) == 2 and not any({"lips", "dorsal"} <= set(lane) for lane in lanes)
    assert ("nose",) in strip_plan(say("sunny"), BOX, "all").lanes


def test_other_rows_are_refused() -> None:
    with pytest.raises(BadInput, match="allowed: all, short"):
        strip_plan(say("desk"), BOX, "both")  # type: ignore[arg-type]


def test_the_play_head_is_gone_where_the_strip_shows_no_time() -> None:
    desk = say("desk")
    head = PlayHead(time_strip(desk, BOX, load("light"), language_of()))
    during = [layer.name for layer in head.layers(sum(desk.speech_s) / 2)]
    assert {"play head", "play head marker"} <= set(during)
    assert head.layers(desk.speech_s[1] + tracks_layout().strip_rows.beyond_s + 0.5) == []
