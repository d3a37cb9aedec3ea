"""The record of an instant agrees with its timeline and with itself."""

from __future__ import annotations

import math
from dataclasses import FrozenInstanceError, fields, replace

import numpy as np
import pytest

from tests.spoken import said
from vocaltract.motion.instant import Instant, instant, instants
from vocaltract.motion.limits import motion_limits
from vocaltract.motion.phases import Course, current
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say, say_alone


def through(shown: Timeline, step_s: float = 0.002) -> list[Instant]:
    return instants(Course(shown), np.arange(0, shown.duration_s, step_s))


def middle(symbol: str) -> Instant:
    shown = say_alone(sound(symbol))
    return instant(Course(shown), sum(shown.spans[0].hold_s) / 2)


@pytest.mark.parametrize("text", ["front desk", "[ʕ]"])
def test_a_batch_is_its_instants_one_by_one(text: str) -> None:
    shown = said(text)
    times = np.linspace(-0.05, shown.duration_s + 0.05, 60)
    course = Course(shown)
    assert instants(course, times) == [instant(course, float(time)) for time in times]


def test_a_batch_of_none_is_empty() -> None:
    assert instants(Course(said("two")), np.zeros(0)) == []


def test_an_instant_cannot_be_changed() -> None:
    with pytest.raises(FrozenInstanceError):
        middle("s").voice = 1.0  # type: ignore[misc]


@pytest.mark.parametrize("text", ["backpack", "two", "city", "map room", "check", "[t]"])
def test_phase_contact_and_burst_speak_of_one_instant(text: str) -> None:
    shown = say(text)
    for now in through(shown):
        assert (now.span_index, now.phase) == current(shown, now.time_s)
        assert bool(now.closures) == (now.phase == "hold"), now.time_s
        assert not (now.closures and now.burst > 0), now.time_s
        assert not (now.closures and now.friction), now.time_s


@pytest.mark.parametrize("text", ["city key", "you really", "water room"])
def test_vowels_flaps_and_approximants_do_not_hiss(text: str) -> None:
    shown = say(text)
    for now in through(shown, 0.01):
        if now.friction:
            assert now.span_index is not None
            assert shown.spans[now.span_index].entry.manner in ("fricative", "affricate")


def test_fricatives_and_affricates_hiss() -> None:
    shown = say("suite check")
    hissing = {now.span_index for now in through(shown) if now.friction}
    manners = {shown.spans[index].entry.manner for index in hissing if index is not None}
    assert manners == {"fricative", "affricate"}


def test_an_affricate_hisses_after_its_release_and_not_before_its_closure() -> None:
    # stop, then friction: the definition of an affricate (any phonetics text)
    shown = said("each")
    stop = shown.spans[1]
    hissing = [now.time_s for now in through(shown) if now.friction]
    assert hissing and stop.release_s is not None and min(hissing) >= stop.release_s


@pytest.mark.parametrize(("symbol", "hisses"), [
    ("s", True), ("z", True), ("f", True), ("[ɬ]", True), ("[ħ]", True), ("l", False), ("ɹ", False), ("h", False),
])  # fmt: skip
def test_friction_is_that_of_the_manner(symbol: str, hisses: bool) -> None:
    # manners of the IPA chart; h has its friction at no place of the mouth
    assert middle(symbol).friction == hisses


@pytest.mark.parametrize(("symbol", "open_"), [("l", True), ("[ɬ]", True), ("t", False), ("s", False)])
def test_sides_are_open_in_laterals(symbol: str, open_: bool) -> None:
    assert middle(symbol).sides_open == open_


def test_a_glottal_stop_catches_the_air_and_no_other_sound_does() -> None:
    caught = middle("ʔ")
    assert caught.glottal_catch and caught.folds_together and not caught.vibrates
    for symbol in ("t", "m", "h", "ɑ"):
        assert not middle(symbol).glottal_catch


def test_a_burst_lasts_shorter_than_a_film_shows_it_and_fades() -> None:
    shown = said("two")
    release = shown.spans[0].release_s
    assert release is not None
    course, row = Course(shown), motion_limits().burst
    after = [instant(course, release + step) for step in (0.001, row.lasts_s + 0.001, row.film_s + row.fade_s + 0.001)]
    assert [now.burst_lasts for now in after] == [True, False, False]
    assert [now.burst > 0 for now in after] == [True, True, False]
    assert instant(course, release - 0.001).since_release_s == math.inf
    assert after[0].released is shown.spans[0]


def test_pressure_rises_behind_a_closure_that_has_just_been_made() -> None:
    # gas law: what flows in through the folds and not out raises pressure
    closure = said("backpack").closures[0]
    now = instant(Course(said("backpack")), closure.start_s + 0.01)
    assert now.pressure_rises and now.pressure_after > now.pressure_before


def test_what_an_instant_says_is_in_its_range() -> None:
    for now in through(said("good night"), 0.005):
        for name in ("pressure_share", "voice", "breath", "felt_throat", "felt_contact", "rounded", "spread", "burst"):
            assert 0 <= getattr(now, name) <= 1, name
        assert all(getattr(now, field.name) >= 0 for field in fields(now) if field.name.endswith("_mm"))


def test_a_silenced_instant_does_not_vibrate() -> None:
    voiced = middle("m")
    assert voiced.vibrates and voiced.nose_flows and not voiced.mouth_flows
    assert not replace(voiced, voice=0.0).vibrates
