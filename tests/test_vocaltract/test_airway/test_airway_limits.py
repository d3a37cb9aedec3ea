"""Sides open and midline shut are decided once. Outside: air passes the sides of laterals alone (IPA chart)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from articulators.head import adult_male
from articulators.section import section
from tests.planted import refuses_planted_faults
from vocaltract.airway.breath import beside_tongue_cm2
from vocaltract.airway.channel import Channel, channel
from vocaltract.airway.gaps import gaps
from vocaltract.airway.limits import AirwayLimits, airway_limits, narrow, seam, sides_open
from vocaltract.phonetics.postures import posture


def way(symbol: str) -> Channel:
    return channel(section(adult_male(), posture(symbol)))


def test_a_fault_in_the_table_is_told() -> None:
    refuses_planted_faults("vocaltract.airway", "limits.toml", AirwayLimits)


def test_air_passes_the_sides_exactly_where_they_let_any_through() -> None:
    lowered = np.linspace(0, 1, 1001)
    area = beside_tongue_cm2(lowered)
    at = airway_limits().sides.open_from
    assert np.array_equal(sides_open(lowered), lowered >= at)
    assert np.all(area[~sides_open(lowered)] == 0) and np.all(area[lowered > at + 1e-9] > 0)


def test_a_contact_is_a_closure_exactly_where_the_sides_are_not_open() -> None:
    found = gaps(section(adult_male(), posture("t")))
    for lowered in (0.0, 0.39, 0.4, 1.0):
        assert bool(replace(found, sides=np.asarray(lowered)).shut("coronal")) != bool(sides_open(lowered))


@pytest.mark.parametrize(("symbol", "shut"), [*((s, True) for s in "tkpl"), *((s, False) for s in "si")])
def test_the_midline_is_shut_in_stops_and_laterals(symbol: str, shut: bool) -> None:
    assert (seam(way(symbol)) is not None) == shut


def test_seams_come_in_the_order_of_the_places() -> None:
    # from the throat on: velar, alveolar, bilabial
    places = [seam(way(symbol)) for symbol in "ktp"]
    assert None not in places and places == sorted(places)  # type: ignore[type-var]


def test_a_channel_that_is_wide_everywhere_has_no_seam() -> None:
    found = way("t")
    assert seam(replace(found, width_mm=np.full_like(found.width_mm, 5.0))) is None


def test_a_gap_that_is_shut_is_not_narrow() -> None:
    assert narrow(0.5) and not narrow(0.0) and not narrow(5.0)


def test_the_narrowing_of_a_hiss_has_an_area_that_makes_noise() -> None:
    # 0.03 to 0.2 cm2 (Stevens 1971; Catford 1977), with a groove as wide as the air's rules have it: 0.8 cm
    assert 0.03 <= airway_limits().hiss.gap_mm / 10 * 0.8 <= 0.2


def test_an_array_of_gaps_is_decided_as_its_numbers_are() -> None:
    values = np.array([0.0, 0.05, 0.9, 1.69, 1.7, 3.0])
    assert narrow(values).tolist() == [bool(narrow(float(value))) for value in values]
