"""A still shows a burst only as long as it lasts: about 10 ms (common practice, no source)."""

from __future__ import annotations

import pytest

from renders.marks.moments import moment
from renders.sideview.burst import brief_burst
from tests.spoken import said


@pytest.mark.parametrize(("after_s", "shown"), [(0.004, True), (0.012, True), (0.025, False), (0.034, False)])
def test_a_burst_in_a_still_is_as_brief_as_it_is(after_s: float, shown: bool) -> None:
    word = said("two")
    release = word.spans[0].release_s
    assert release is not None
    now = moment(word, release + after_s)
    assert now.instant.burst > 0
    assert (brief_burst(now).instant.burst > 0) == shown
    assert brief_burst(now).instant.mouth_ml_s == now.instant.mouth_ml_s
