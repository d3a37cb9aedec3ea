"""Air lines stay in the air; marks agree with the numbers of their moment. Limits: common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from renders import film, scene, still
from renders.airlines import AirLines, mouth_lines, nose_lines, seam_of
from renders.marks import air_layer, contact_layer, fold_gap_mm
from renders.markstate import mark_states
from renders.phases import current
from renders.picture import Fill, Group, Stroke
from renders.style import load
from renders.view import View
from vocaltract.phonetics.inventory import entries, sound

ORGANS = ("tongue", "velum", "upper_lip", "lower_lip", "upper_incisor", "lower_incisor", "epiglottis")
MOST_MM = 1.0
VIEW = View((0, 0, 800, 560), 4.0, (17.5, -16.5))


def key_moment(symbol: str) -> scene.Moment:
    shown = film.timeline_of_sound(sound(symbol))
    return scene.moment(shown, still.key_time_s(shown))


def inside_mm(lines: list[AirLines], now: scene.Moment) -> float:
    drawn = shapely.MultiLineString([part for some in lines for part in some.parts()])
    organs = shapely.union_all([now.section.polygons(organ) for organ in ORGANS])
    return float(shapely.length(shapely.intersection(drawn, organs)))


def lines_of(now: scene.Moment) -> list[AirLines]:
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


def names(now: scene.Moment) -> dict[str, float]:
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
    shown = film.timeline_of_text(text)
    times = np.arange(*shown.speech_s, 0.01)
    found = set()
    for now in scene.moments(shown, times):
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
    shown = film.timeline_of_text(text)
    for closure in shown.closures:
        for time_s, there in ((closure.start_s, True), (closure.end_s, False)):
            now = scene.moment(shown, time_s)
            bars = [op.name for op in contact_layer(now.section, now.state, VIEW, load()).ops if isinstance(op, Stroke)]
            assert (f"contact {closure.organ}" in bars) == there


def test_a_stop_just_let_go_sends_no_air_past_its_sides() -> None:
    shown = film.timeline_of_text("two")
    release = shown.spans[0].release_s
    assert release is not None
    for after in (0.0, 0.001, 0.003):
        assert "air beside the tongue" not in names(scene.moment(shown, release + after))
    assert seam_of(key_moment("l").channel) is not None and "air beside the tongue" in names(key_moment("l"))


@pytest.mark.parametrize("text", ["backpack", "two", "city", "map room", "check", "[t]"])
def test_phase_contact_and_burst_speak_of_one_instant(text: str) -> None:
    shown = film.timeline_of_text(text)
    times = np.arange(0, shown.duration_s, 0.002)
    for time_s, state in zip(times, mark_states(shown, times, times), strict=True):
        _, phase = current(shown, float(time_s))
        assert bool(state.closed) == (phase == "hold"), time_s
        assert not (state.closed and state.burst > 0), time_s
