"""The page decides by the limits of the model. Outside: none, a rule of ours."""

from __future__ import annotations

import re
from importlib import resources

from renders.page.limits import drawn_from
from vocaltract.motion.limits import vibrates


def test_a_limit_is_where_the_model_changes_its_mind() -> None:
    limit = drawn_from()["voice_share"]
    assert vibrates(limit) and not vibrates(limit * 0.999)


def test_every_limit_is_read_by_a_script_and_no_other_is_asked_for() -> None:
    folder = resources.files("renders.page").joinpath("assets")
    scripts = "".join(file.read_text(encoding="utf-8") for file in folder.iterdir() if file.name.endswith(".js"))
    asked = set(re.findall(r"(?:LIMITS|DATA\.limits)\.(\w+)", scripts))
    assert asked == set(drawn_from())
