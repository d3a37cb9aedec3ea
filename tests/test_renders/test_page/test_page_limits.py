"""The page decides by the limits of the model. Outside: none, a rule of ours."""

from __future__ import annotations

import re
from importlib import resources

import pytest

from renders.page.limits import drawn_from
from vocaltract.airway.limits import sides_open
from vocaltract.motion.limits import flows, folds_together, vibrates


@pytest.mark.parametrize(
    ("name", "decide"),
    [("sides_share", sides_open), ("flow_ml_s", flows), ("voice_share", vibrates)],
)
def test_a_limit_is_where_the_model_changes_its_mind(name: str, decide: object) -> None:
    limit = drawn_from()[name]
    assert callable(decide)
    assert decide(limit) and not decide(limit * 0.999)


def test_folds_are_together_up_to_the_limit() -> None:
    limit = drawn_from()["folds_mm"]
    assert folds_together(limit) and not folds_together(limit * 1.001)


def test_every_limit_is_read_by_a_script_and_no_other_is_asked_for() -> None:
    folder = resources.files("renders.page").joinpath("assets")
    scripts = "".join(file.read_text(encoding="utf-8") for file in folder.iterdir() if file.name.endswith(".js"))
    asked = set(re.findall(r"(?:LIMITS|DATA\.limits)\.(\w+)", scripts))
    assert asked == set(drawn_from())
