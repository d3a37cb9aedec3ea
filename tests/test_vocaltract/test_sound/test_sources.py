"""Pulses, noise and pressure let go, against the laws that they follow."""

from __future__ import annotations

import numpy as np
import pytest

from vocaltract.sound import sources
from vocaltract.sound.sound_rules import sound_rules


def test_pulses_are_the_change_of_a_flow_that_rises_slowly_and_stops_at_once() -> None:
    """Klatt & Klatt (1990): flow a x^2 - b x^3; its change is steepest where it ends, and adds up to 0."""
    phases = (np.arange(10000) + 0.5) / 10000
    change, flow = sources.pulses(phases, np.full(10000, 0.6)), sources.flow_shape(phases, np.full(10000, 0.6))
    assert change.mean() == pytest.approx(0, abs=1e-3)
    assert np.cumsum(change) / 10000 == pytest.approx(flow, abs=2e-3)
    assert phases[np.argmin(change)] == pytest.approx(0.6, abs=1e-3)
    assert flow.max() == pytest.approx(1, abs=1e-3)


def test_a_reynolds_number_is_speed_times_width_over_viscosity() -> None:
    """Bernoulli and Stevens (1971): 8 cmH2O through a hole of 0.1 cm2 gives 37 m/s, and a number about 8,000 there."""
    wide = np.sqrt(4 * 0.1 / np.pi)
    assert sources.reynolds(np.array([784.5]), np.array([wide]))[0] == pytest.approx(3700 * wide / 0.163, rel=0.03)


def test_no_noise_below_the_critical_number() -> None:
    row = sound_rules().hiss
    low, high = (
        sources.turbulence_dyn_cm2(np.array([pa]), np.array([0.1]), np.array([0.36]), row)[0] for pa in (10.0, 700.0)
    )
    assert low == 0 < high


def test_noise_is_the_same_wherever_a_stretch_begins() -> None:
    whole = sources.noise_at(-64, 20000, 3)
    assert np.array_equal(sources.noise_at(5000, 4000, 3), whole[5064:9064])
    assert whole.std() == pytest.approx(1, abs=0.02)
    assert not np.array_equal(sources.noise_at(0, 100, 4), sources.noise_at(0, 100, 3))


def test_voice_begins_anew_and_comes_up_in_a_few_periods() -> None:
    on = np.zeros(300, dtype=bool)
    on[50:150] = on[200:250] = True
    phase = sources.phase(np.full(300, 110.0), on)
    assert phase[50] == phase[200] == sound_rules().folds.starts_at_share
    strength = sources.steadied(on)
    assert strength[:50].max() == 0 and strength[49] < strength[60] < strength[100] and strength[199] < 0.05
