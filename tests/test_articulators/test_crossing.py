"""Tissue never passes through tissue, and the tongue keeps its size (common practice, no source)."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from articulators.posture import parts, posture_from, posture_of
from articulators.section import Section, rest_tongue_area_mm2, section
from tests.test_articulators.tissues import (
    AREA_SHARE,
    SOFT,
    crossing,
    crossings_mm2,
    folded_mm2,
    head,
    inventory,
    inventory_keys,
    shapes,
)

KEYS = inventory_keys()
LOW, HIGH = (np.array([getattr(p, side) for p in parts()]) for side in ("low", "high"))
RELAXED = settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])


@pytest.fixture(scope="module")
def table() -> Section:
    return section(head(), inventory())


def test_no_tissue_crosses_in_any_sound(table: Section) -> None:
    assert crossing(table) == {}


def test_no_outline_crosses_itself_in_any_sound(table: Section) -> None:
    assert folded_mm2(table) == {}


def test_tongue_keeps_its_area_in_every_sound(table: Section) -> None:
    off = table.tongue_area_mm2() / rest_tongue_area_mm2(head()) - 1
    assert {k: round(float(x), 3) for k, x in zip(KEYS, off, strict=True) if abs(x) > AREA_SHARE} == {}


def _moved(one: Section, organ: str, by: tuple[float, float]) -> Section:
    return replace(one, moving=MappingProxyType({**one.moving, organ: one[organ] + np.array(by)}))


@pytest.mark.parametrize(
    ("organ", "by", "into"),
    [
        ("tongue", (0.0, 18.0), "palate"),
        ("tongue", (-6.0, 0.0), "lower_incisor"),
        ("velum", (4.0, 0.0), "rear wall"),
        ("lower_lip", (0.0, 8.0), "upper_lip"),
        ("epiglottis", (-6.0, 0.0), "tongue"),
    ],
)
def test_comparer_sees_a_planted_overlap(organ: str, by: tuple[float, float], into: str) -> None:
    sound = section(head(), posture_of())
    assert crossing(sound) == {}
    found = crossing(_moved(sound, organ, by))
    assert any({organ, into} == set(pair) for pair in found), found


def test_comparer_sees_a_planted_fold() -> None:
    sound = section(head(), posture_of())
    line = sound["tongue"].copy()
    line[120:160] = line[120:160][::-1]
    assert "tongue" in folded_mm2(replace(sound, moving=MappingProxyType({**sound.moving, "tongue": line})))


def test_comparer_sees_a_planted_area() -> None:
    sound = section(head(), posture_of())
    swollen = replace(sound, moving=MappingProxyType({**sound.moving, "tongue": sound["tongue"] * 1.05}))
    assert float(swollen.tongue_area_mm2()) / rest_tongue_area_mm2(head()) - 1 > AREA_SHARE


@RELAXED
@given(st.lists(st.floats(0, 1), min_size=len(KEYS), max_size=len(KEYS)).filter(lambda w: max(w) > 0.1))
def test_no_tissue_crosses_in_any_mixture_of_sounds(weights: list[float]) -> None:
    share = np.array(weights) ** 4  # so that a few sounds lead
    share = share / share.sum()
    mixed = section(head(), posture_from(share @ inventory().values))
    assert crossing(mixed) == {}
    assert folded_mm2(mixed) == {}
    assert abs(float(mixed.tongue_area_mm2()) / rest_tongue_area_mm2(head()) - 1) < AREA_SHARE


@RELAXED
@given(st.integers(0, len(KEYS) - 1), st.integers(0, len(KEYS) - 1), st.floats(0, 1))
def test_no_tissue_crosses_between_two_sounds(a: int, b: int, share: float) -> None:
    values = inventory().values
    between = section(head(), posture_from((1 - share) * values[a] + share * values[b]))
    assert crossing(between) == {}
    assert folded_mm2(between) == {}


@RELAXED
@given(st.lists(st.floats(0, 1), min_size=len(LOW), max_size=len(LOW)))
def test_any_posture_within_range_gives_whole_outlines_that_do_not_cross(at: list[float]) -> None:
    found = section(head(), posture_from(LOW + np.array(at) * (HIGH - LOW)))
    for organ in SOFT:
        assert np.all(np.isfinite(found[organ])), organ
        assert float(np.max(shapely.area(found.polygons(organ)))) > 0, organ
    assert crossing(found) == {}
    assert folded_mm2(found) == {}


def test_corner_cases_once_found_stay_sound() -> None:
    """A wide jaw with a tucked lip had no gap to measure; these failed once."""
    for corner in (
        {"jaw_mm": 20.26, "tucked": 0.76},
        {"jaw_mm": 24.0, "tucked": 1.0, "aperture_mm": -2.0},
        {"jaw_mm": 21.2, "tucked": 0.28, "spread": 0.55},
    ):
        found = section(head(), posture_of(**corner))
        assert all(np.all(np.isfinite(line)) for line in found.moving.values()), corner


def test_shared_area_is_measured_on_known_squares() -> None:
    """Two squares of 2 mm whose corners overlap by 1 mm share 1 mm2 (arithmetic)."""
    found = {"tongue": np.array([shapely.box(0, 0, 2, 2)]), "palate": np.array([shapely.box(1, 1, 3, 3)])}
    assert crossings_mm2(found) == {("tongue", "palate"): pytest.approx(1.0)}


def test_every_soft_organ_is_compared(table: Section) -> None:
    pairs = crossings_mm2(shapes(table))
    assert {organ for pair in pairs for organ in pair} >= set(SOFT)
    assert len(pairs) > 40
