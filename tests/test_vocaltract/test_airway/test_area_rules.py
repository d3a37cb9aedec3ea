"""From distance to area: the rules are the published ones; places are named in order."""

from __future__ import annotations

import csv

import numpy as np
import pytest

from tests.reference.published import HERE
from vocaltract.airway.area_rules import (
    area_rules,
    front_area_cm2,
    lip_area_cm2,
    pharynx_area_cm2,
    place_name,
    power_area_cm2,
)


def rule(key: str) -> float:
    with (HERE / "sagittal_to_area.csv").open(encoding="utf-8") as file:
        return next(float(r["value"]) for r in csv.DictReader(x for x in file if x[0] != "#") if r["id"] == key)


# Rules: P. Mermelstein (1973), rows of sagittal_to_area.csv


def test_rules_are_the_published_ones() -> None:
    own = area_rules()
    assert float(pharynx_area_cm2(np.array(1.0), np.array(1.5))) == pytest.approx(rule("m_ph"), rel=1e-3)
    for d in (0.3, 1.0, 2.2):
        assert float(power_area_cm2(np.array(d), own.soft_palate)) == pytest.approx(rule("m_sp") * d**1.5)
        assert float(power_area_cm2(np.array(d), own.hard_palate)) == pytest.approx(rule("m_hp") * d**1.5)
    # 1.5 d; then 0.75 at 0.5 cm and 5.25 at 2 cm, where the slopes change (rows m_al1 to m_al3)
    for d, area in ((0.2, 0.2 * rule("m_al1")), (0.5, 0.75), (2.0, 5.25), (2.4, 5.25 + 0.4 * rule("m_al3"))):
        assert float(front_area_cm2(np.array(d))) == pytest.approx(area)
    # ellipse of height 1 cm, width 2.0 + 1.5 (1 - 0.2) cm (row m_lip)
    assert float(lip_area_cm2(np.array(1.0), np.array(0.2))) == pytest.approx(
        np.pi / 4 * (rule("m_lip") + 1.2)
    )


def test_rules_start_at_zero_and_rise() -> None:
    """A(0) = 0 and dA/dd > 0 everywhere: row geo_b1."""
    own = area_rules()
    d = np.linspace(0, 3, 301)
    palate = [power_area_cm2(d, region) for region in (own.soft_palate, own.hard_palate)]
    pharynx = pharynx_area_cm2(d, np.array(2.0))
    for area in (*palate, pharynx, front_area_cm2(d), lip_area_cm2(d, 0 * d)):
        assert area[0] == 0 and np.all(np.diff(area) > 0)


def test_places_are_named_from_front_to_back() -> None:
    names = [place_name(x, 10.0) for x in (0.0, 8.0, 14.0, 30.0, 48.0, 62.0)]
    assert names == ["dental", "alveolar", "postalveolar", "palatal", "velar", "uvular"]
    assert [place_name(79.0, y) for y in (-20.0, -45.0, -70.0)] == ["upper pharyngeal", "lower pharyngeal", "laryngeal"]
