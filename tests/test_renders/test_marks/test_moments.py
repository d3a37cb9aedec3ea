"""Moments of a run are those of the times one by one; what does not change is shared."""

from __future__ import annotations

import numpy as np
import pytest

from renders.marks.moments import BATCH, LateAirway, moment, moments
from tests.spoken import said
from vocaltract.airway.passage import airway


def test_a_run_of_moments_is_its_moments_one_by_one() -> None:
    shown = said("two")
    times = np.linspace(0.1, shown.duration_s, BATCH + 5)
    for now, time_s in zip(moments(shown, times), times, strict=True):
        alone = moment(shown, float(time_s))
        assert now.instant == alone.instant and now.travel_mm == alone.travel_mm
        assert np.allclose(now.section["tongue"], alone.section["tongue"], atol=1e-6)
        assert np.allclose(now.channel.width_mm, alone.channel.width_mm, atol=1e-6, equal_nan=True)


@pytest.mark.xfail(strict=True, reason="known fault: movement of least acceleration is never quite still")
def test_moments_of_one_posture_share_its_section() -> None:
    shown = said("two")
    rest = list(moments(shown, np.array([0.0, 0.001, 0.002])))
    assert rest[0].section is rest[1].section is rest[2].section
    assert rest[0].airway is rest[2].airway


def test_film_time_moves_vibration_and_nothing_else() -> None:
    shown = said("two")
    times = np.array([0.3, 0.3])
    first, second = moments(shown, times, np.array([0.0, 0.25]))
    assert first.instant == second.instant and first.travel_mm == second.travel_mm
    assert (first.film_s, second.film_s) == (0.0, 0.25) and first.drift != second.drift


def test_air_spaces_found_late_are_those_found_at_once() -> None:
    section = moment(said("two"), 0.4).section
    late, known = LateAirway(section), airway(section)
    assert bool(late.mouth) == bool(known.mouth) and bool(late.nose) == bool(known.nose)
    assert np.array_equal(np.asarray(late.shapes) == np.asarray(known.shapes), np.ones(np.shape(known.shapes), bool))
