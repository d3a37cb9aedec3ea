"""An axis of time goes from seconds to px evenly, and names as many ticks as fit. No outside reference: a property."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from renders.tracks.time_axis import EVERY, TimeAxis, named_every

AXIS = TimeAxis(0.5, 2.5, 100.0, 900.0)


def test_ends_and_middle_lie_where_they_are_told_to() -> None:
    assert np.allclose(AXIS.x(np.array([0.5, 1.5, 2.5])), [100.0, 500.0, 900.0])
    assert AXIS.at(0.0) < AXIS.left and AXIS.px_per_s == 400.0


@given(st.floats(-3.0, 5.0), st.floats(-3.0, 5.0))
def test_a_stretch_is_cut_to_the_axis(a: float, b: float) -> None:
    low, high = AXIS.within(min(a, b), max(a, b))
    assert AXIS.left <= low <= high <= AXIS.right


@pytest.mark.parametrize(("tick", "every"), [(60.0, 1), (30.0, 2), (11.0, 5), (0.9, 100), (0.1, 100)])
def test_names_have_their_room(tick: float, every: int) -> None:
    assert named_every(tick, 55.0) == every
    assert every == EVERY[-1] or every * tick >= 55.0
