"""Lines of air stay in the air. Limits: common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from articulators.contact import maxilla_mass, rear_mass
from renders.marks.flow_lines import AirLines, mouth_lines, nose_lines
from renders.marks.moment import Moment
from renders.marks.tissue import Tissue, kept_inside
from tests.key_moments import key_moment
from vocaltract.airway.passage import walls
from vocaltract.phonetics.inventory import entries

ORGANS = ("tongue", "velum", "upper_lip", "lower_lip", "upper_incisor", "lower_incisor", "epiglottis")
MOST_MM = 1.2


def inside_mm(lines: list[AirLines], now: Moment) -> float:
    drawn = shapely.MultiLineString([part for some in lines for part in some.parts()])
    organs = shapely.union_all([now.section.polygons(organ) for organ in ORGANS])
    return float(shapely.length(shapely.intersection(drawn, organs)))


def lines_of(now: Moment) -> list[AirLines]:
    through = not now.beside_tongue and not now.instant.closures
    mouth = mouth_lines(now.section, now.channel, through)
    return [mouth, nose_lines(now.section, now.channel)] if now.airway.nose else [mouth]


@pytest.mark.parametrize("symbol", list(entries()))
def test_no_air_line_runs_through_an_organ(symbol: str) -> None:
    now = key_moment(symbol)
    assert inside_mm(lines_of(now), now) < MOST_MM


def test_the_check_of_organs_can_fail() -> None:
    now = key_moment("ɑ")
    lowered = [replace(some, points=some.points - [0.0, 4.0]) for some in lines_of(now)]
    assert inside_mm(lowered, now) > MOST_MM


@pytest.mark.parametrize("symbol", ["m", "n", "ŋ"])
def test_nose_lines_pass_behind_the_soft_palate_to_the_nostril(symbol: str) -> None:
    now = key_moment(symbol)
    velum = now.section["velum"]
    tip = velum[np.argmin(velum[:, 1])]
    for line in nose_lines(now.section, now.channel).points:
        level = (line[:, 1] > tip[1]) & (line[:, 1] < tip[1] + 15)
        assert np.all(line[level, 0] > tip[0] - 3.0)
        assert line[-1, 0] < -20 and line[0, 1] < -90


@pytest.mark.parametrize("symbol", ["t", "ŋ", "ɹ", "i", "ɑ", "f"])
def test_points_in_tissue_are_found_as_by_asking_every_organ(symbol: str) -> None:
    section = key_moment(symbol).section
    points = np.random.default_rng(7).uniform((-35.0, -110.0), (95.0, 60.0), (4000, 2))
    solid = [maxilla_mass(section.head), rear_mass(section.head), *map(shapely.Polygon, walls(section))]
    inside = np.logical_or.reduce([shapely.contains_xy(part, *points.T) for part in solid])
    # before the lips and below the nose a line is free
    free = (points[:, 0] < max(section[f"{side}_red"][:, 0].min() for side in ("upper", "lower"))) & (points[:, 1] < 10)
    found = np.zeros(len(points), dtype=bool)
    found[Tissue(section).holding(points)[0]] = True
    assert np.array_equal(found, inside & ~free)
    assert 0.1 < found.mean() < 0.9


def test_a_line_laid_through_the_tongue_is_brought_out_of_it() -> None:
    now = key_moment("ɑ")
    top = now.section["tongue"][np.argmax(now.section["tongue"][:, 1])]
    line = np.stack([top + [x, -0.8] for x in np.linspace(-3.0, 3.0, 12)])[None]
    tongue = now.section.polygons("tongue")
    kept, moved = kept_inside(line, Tissue(now.section))
    assert shapely.contains_xy(tongue, *line[0].T).any() and moved.any()
    assert not shapely.contains_xy(tongue, *kept[0].T).any()


def test_what_travels_along_a_line_is_not_held_up_where_the_line_gives_way() -> None:
    now = key_moment("ɑ")
    lines = mouth_lines(now.section, now.channel, through=True)
    bent = lines.points.copy()
    bent[:, 100:103, 0] += [0.5, 1.0, 0.5]
    given_way = replace(lines, points=bent)
    number, run = np.zeros(5, dtype=np.intp), np.array([20.0, 40.0, 90.0, 110.0, 130.0])
    assert np.array_equal(given_way.along(number, run), lines.along(number, run))
    assert np.allclose(lines.along(number, lines.step_mm[0] * np.arange(5)), lines.points[0, :5])
