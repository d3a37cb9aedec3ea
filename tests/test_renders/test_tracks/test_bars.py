"""Bars of contact are seen on any ground. Common practice, no source."""

from __future__ import annotations

import pytest

from renders.paper.picture import Fill, Path, Stroke
from renders.paper.style import load, names
from renders.tracks.bars import contact_bar

BAR = Path.rectangle(0.0, 0.0, 40.0, 10.0)


@pytest.mark.parametrize("name", names())
def test_a_bar_has_an_edge_that_differs_from_the_paper(name: str) -> None:
    style = load(name)
    ops = contact_bar(BAR, style, 1.5, 0.9, "shut")
    assert isinstance(ops[0], Fill) and ops[0].name == "shut"
    edges = {style.hex(op.colour) for op in ops if isinstance(op, Stroke)}
    assert edges - {style.hex("paper")}
