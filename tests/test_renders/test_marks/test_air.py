"""Marks of air agree with the numbers of their moment. Common practice, no source: held air is not drawn flowing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from renders.marks.air import air_layer, fold_gap_mm, shut_in, tint_of
from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Group, Stroke
from renders.paper.style import load
from renders.paper.view import View
from tests.key_moments import key_moment
from vocaltract.speech import say

CANVAS = Canvas(View((0, 0, 800, 560), 4.0, (17.5, -16.5)), load())


def names(now: Moment) -> dict[str, float]:
    """Names of the strokes and fills of the air, with their opacity."""
    found: dict[str, float] = {}
    layer = air_layer(now, CANVAS)
    for group in layer.ops:
        assert isinstance(group, Group)
        for op in group.ops:
            if isinstance(op, (Stroke, Fill)) and op.name:
                found[op.name] = op.opacity
    return found


@pytest.mark.parametrize("symbol", ["t", "p", "k"])
def test_lines_behind_a_held_voiceless_stop_fade_with_the_flow_through_the_folds(symbol: str) -> None:
    now = key_moment(symbol)
    assert now.instant.glottis_ml_s < 30
    drawn = names(now)
    assert drawn.get("flow lines", 0.0) < 0.3 and "pressure" in drawn
    flowing = replace(now, instant=replace(now.instant, glottis_ml_s=200.0))
    assert names(flowing)["flow lines"] == 1.0


def test_a_glottal_stop_holds_the_air_below_the_folds() -> None:
    now = key_moment("ʔ")
    drawn = names(now)
    assert "pressure" in drawn and "flow lines" not in drawn


def test_air_lines_leave_closed_folds_free_and_pass_open_ones() -> None:
    voiced, open_folds = key_moment("m"), key_moment("s")
    assert fold_gap_mm(voiced) is not None
    assert fold_gap_mm(open_folds) is None
    assert fold_gap_mm(replace(open_folds, instant=replace(open_folds.instant, folds_mm=0.2))) is not None


def test_a_stop_just_let_go_sends_no_air_past_its_sides() -> None:
    shown = say("two")
    release = shown.spans[0].release_s
    assert release is not None
    for after in (0.0, 0.001, 0.003):
        assert "air beside the tongue" not in names(moment(shown, release + after))
    assert key_moment("l").seam is not None and "air beside the tongue" in names(key_moment("l"))


@pytest.mark.parametrize(("symbol", "held"), [("t", True), ("b", True), ("s", False), ("m", False), ("ʔ", False)])
def test_air_is_tinted_where_a_closure_of_the_mouth_holds_it(symbol: str, held: bool) -> None:
    now = key_moment(symbol)
    assert shut_in(now) == held == (tint_of(now) > 0)


def test_a_lateral_fricative_hisses_past_the_sides() -> None:
    # ɬ is a fricative (IPA chart): its air is turbulent though the tongue touches in the midline
    drawn = names(key_moment("[ɬ]"))
    assert "hiss" in drawn and "air beside the tongue" in drawn
    assert "hiss" not in names(key_moment("l"))
