"""The curves of an utterance are those of its timeline, and pressure nears published values."""

from __future__ import annotations

from functools import cache

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from renders.tracks.curves import PA_PER_CMH2O, scale_of, tracks
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import say


@cache
def spoken(text: str) -> Timeline:
    return say(text)


def test_tracks_are_those_of_the_timeline() -> None:
    shown = spoken("sunny")
    times = np.arange(*shown.speech_s, 0.01)
    by_name = {track.name: track.values for track in tracks(shown, times)}
    moment = shown.moment(times)
    assert np.array_equal(by_name["lips"], moment.lips_mm)
    assert np.array_equal(by_name["velum"], moment.port_mm)
    # 1 cmH2O is 98.0665 Pa by definition.
    assert np.allclose(by_name["mouth pressure"] * 98.0665, moment.pressure_pa)
    assert PA_PER_CMH2O == 98.0665


def test_mouth_pressure_of_a_voiceless_closure_nears_that_of_the_lungs() -> None:
    # Arkebauer, Hixon & Hardy 1967: 0.9 to 1.0 of lung pressure; nasals near 0.
    shown = spoken("backpack")
    p = shown.spans[3]
    assert shown.moment(np.array([p.hold_s[1] - 0.002])).pressure_share[0] >= 0.9
    n = spoken("sunny").spans[2]
    assert spoken("sunny").moment(np.array([sum(n.hold_s) / 2])).pressure_share[0] < 0.1


@given(st.floats(0.0, 800.0), st.floats(1.0, 12.0))
def test_a_scale_has_room_above_its_curve_and_few_lines(highest: float, least: float) -> None:
    top, step = scale_of(highest, least)
    assert top >= max(highest, least) and 1 <= round(top / step) <= 3
    assert top == round(top / step) * step
