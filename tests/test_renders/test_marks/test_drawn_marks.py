"""The list of marks: every one can be shown and hidden by parts that there are. Outside: none, a rule of ours."""

from __future__ import annotations

import pytest

from renders.anatomy.layers import DRAWN_ORGANS, MARKS, parts_to_draw
from renders.marks.drawn_marks import DRAWN_MARKS, DrawnMark
from renders.paper.canvas import Canvas
from renders.paper.style import load
from renders.paper.view import View
from tests.key_moments import key_moment


@pytest.mark.parametrize("mark", DRAWN_MARKS, ids=lambda mark: mark.name)
def test_a_mark_is_shown_with_its_part_and_its_organ(mark: DrawnMark) -> None:
    assert mark.part in MARKS and mark.organ in ("", *DRAWN_ORGANS)
    assert mark.shown(parts_to_draw(None)) and not mark.shown(parts_to_draw(None, [mark.part]))
    if mark.organ:
        assert not mark.shown(parts_to_draw(None, [mark.organ]))
    canvas = Canvas(View((0, 0, 800, 900), 4.0, (17.5, -56.5)), load())
    assert mark.layer(key_moment("m"), canvas).ops
