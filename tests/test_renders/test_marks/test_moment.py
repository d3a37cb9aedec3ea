"""What a moment gives to be drawn. Outside: conservation of volume, and that drift is steady in film time."""

from __future__ import annotations

import numpy as np
import pytest

from renders.marks.dimensions import dimensions
from renders.marks.moment import drift, travel_mm
from renders.marks.moments import moment
from tests.key_moments import key_moment
from tests.spoken import said


def test_arrowheads_go_with_the_volume_of_air_that_has_passed() -> None:
    shown = said("two")
    times = np.linspace(0, shown.duration_s, 400)
    now = shown.moment(times)
    flow = np.maximum(now.mouth_ml_s + now.nose_ml_s, 0)
    volume = np.concatenate([[0.0], np.cumsum((flow[1:] + flow[:-1]) / 2 * np.diff(times))])
    assert travel_mm(shown, times) == pytest.approx(volume * dimensions().flow.travel_mm_per_ml, abs=2.0)
    assert np.all(np.diff(travel_mm(shown, times)) >= 0)


def test_drift_goes_by_the_film_and_not_by_the_speech() -> None:
    phase = drift(np.array([0.0, 0.1, 0.2, 1 / dimensions().voice.drift_hz]))
    assert phase[0] == 0 and phase[2] == pytest.approx(2 * phase[1]) and phase[3] % 1 == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("symbol", "beside"), [("l", True), ("t", False), ("n", False), ("ɑ", False)])
def test_air_passes_beside_the_tongue_of_a_lateral_alone(symbol: str, beside: bool) -> None:
    assert key_moment(symbol).beside_tongue == beside


def test_lips_that_shut_hold_the_air_of_a_lateral_as_well() -> None:
    # a closure of the lips stops air wherever it comes from: common practice, no source
    shown = said("help desk")
    lips = next(c for c in shown.closures if c.organ == "lips")
    for time_s in np.linspace(lips.start_s, lips.end_s - 1e-6, 9):
        assert not moment(shown, float(time_s)).beside_tongue
