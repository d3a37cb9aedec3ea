"""Air lines stay in the air; marks agree with the numbers of their moment. Limits: common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from articulators.contact import maxilla_mass, rear_mass
from renders.marks.air import air_layer, contact_layer, fold_gap_mm
from renders.marks.flow_lines import AirLines, mouth_lines, nose_lines, seam_of
from renders.marks.state import mark_states
from renders.marks.tissue import Tissue, kept_inside
from renders.paper.picture import Fill, Group, Stroke
from renders.paper.style import load
from renders.paper.view import View
from renders.sideview import moments
from renders.stills import still
from vocaltract.airway.passage import walls
from vocaltract.motion.phases import current
from vocaltract.phonetics.inventory import entries, sound
from vocaltract.speech import say, say_alone

ORGANS = ("tongue", "velum", "upper_lip", "lower_lip", "upper_incisor", "lower_incisor", "epiglottis")
MOST_MM = 1.0
VIEW = View((0, 0, 800, 560), 4.0, (17.5, -16.5))


def key_moment(symbol: str) -> moments.Moment:
    shown = say_alone(sound(symbol))
    return moments.moment(shown, still.key_time_s(shown))


def inside_mm(lines: list[AirLines], now: moments.Moment) -> float:
    drawn = shapely.MultiLineString([part for some in lines for part in some.parts()])
    organs = shapely.union_all([now.section.polygons(organ) for organ in ORGANS])
    return float(shapely.length(shapely.intersection(drawn, organs)))


def lines_of(now: moments.Moment) -> list[AirLines]:
    sides = float(now.section.posture["sides_open"]) > 0.5
    mouth = mouth_lines(now.section, now.channel, through=not sides and not now.state.closed)
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


def names(now: moments.Moment) -> dict[str, float]:
    """Names of the strokes and fills of the air, with their opacity."""
    found: dict[str, float] = {}
    layer = air_layer(now.section, now.channel, now.airway, now.state, VIEW, load())
    for group in layer.ops:
        assert isinstance(group, Group)
        for op in group.ops:
            if isinstance(op, (Stroke, Fill)) and op.name:
                found[op.name] = op.opacity
    return found


def hiss_at(text: str) -> set[str]:
    shown = say(text)
    times = np.arange(*shown.speech_s, 0.01)
    found = set()
    for now in moments.moments(shown, times):
        if now.state.narrow:
            span = shown.span_at(now.time_s)
            assert span is not None
            found.add(span.entry.manner)
    return found


@pytest.mark.parametrize("text", ["city key", "you really", "water room"])
def test_vowels_flaps_and_approximants_do_not_hiss(text: str) -> None:
    assert hiss_at(text) <= {"fricative", "affricate"}


def test_fricatives_and_affricates_hiss() -> None:
    assert {"fricative", "affricate"} <= hiss_at("suite check")


@pytest.mark.parametrize("symbol", ["t", "p", "k"])
def test_lines_behind_a_held_voiceless_stop_fade_with_the_flow_through_the_folds(symbol: str) -> None:
    now = key_moment(symbol)
    assert now.state.glottis_ml_s < 30
    drawn = names(now)
    assert drawn.get("flow lines", 0.0) < 0.3 and "pressure" in drawn
    flowing = replace(now, state=replace(now.state, glottis_ml_s=200.0))
    assert names(flowing)["flow lines"] == 1.0


def test_a_glottal_stop_holds_the_air_below_the_folds() -> None:
    now = key_moment("ʔ")
    drawn = names(now)
    assert "pressure" in drawn and "flow lines" not in drawn


def test_air_lines_leave_closed_folds_free_and_pass_open_ones() -> None:
    voiced, open_folds = key_moment("m"), key_moment("s")
    assert fold_gap_mm(voiced.section, voiced.state) is not None
    assert fold_gap_mm(open_folds.section, open_folds.state) is None
    shut = replace(open_folds.state, folds_mm=0.2)
    assert fold_gap_mm(open_folds.section, shut) is not None


@pytest.mark.parametrize("text", ["towel", "doctor", "backpack"])
def test_contact_is_drawn_from_the_moment_it_is_made_until_it_is_let_go(text: str) -> None:
    shown = say(text)
    for closure in shown.closures:
        for time_s, there in ((closure.start_s, True), (closure.end_s, False)):
            now = moments.moment(shown, time_s)
            bars = [op.name for op in contact_layer(now.section, now.state, VIEW, load()).ops if isinstance(op, Stroke)]
            assert (f"contact {closure.organ}" in bars) == there


def test_a_stop_just_let_go_sends_no_air_past_its_sides() -> None:
    shown = say("two")
    release = shown.spans[0].release_s
    assert release is not None
    for after in (0.0, 0.001, 0.003):
        assert "air beside the tongue" not in names(moments.moment(shown, release + after))
    assert seam_of(key_moment("l").channel) is not None and "air beside the tongue" in names(key_moment("l"))


@pytest.mark.parametrize("text", ["backpack", "two", "city", "map room", "check", "[t]"])
def test_phase_contact_and_burst_speak_of_one_instant(text: str) -> None:
    shown = say(text)
    times = np.arange(0, shown.duration_s, 0.002)
    for time_s, state in zip(times, mark_states(shown, times, times), strict=True):
        _, phase = current(shown, float(time_s))
        assert bool(state.closed) == (phase == "hold"), time_s
        assert not (state.closed and state.burst > 0), time_s
