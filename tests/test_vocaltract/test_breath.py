"""Air by the orifice and gas laws: worked examples and measured limits from air_of_speech.csv."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from articulators.curves import Array
from tests.reference.published import CMH2O_PA, air
from vocaltract.airway.breath import Openings, breathe, constants, flow_ml_s

LUNGS_PA = 8 * CMH2O_PA
STEP_S = 0.00025


def _closing(glottis_cm2: float, mouth_cm2: float, seconds: float = 0.3, at_s: float = 0.05) -> tuple[Array, Openings]:
    """A mouth that is open and then narrowed to an area at once."""
    t = np.arange(0, seconds, STEP_S)
    mouth = np.where(t < at_s, 1.5, mouth_cm2)
    return t, Openings(np.full(len(t), glottis_cm2), mouth, np.zeros(len(t)))


def _voice_dies_s(give: float) -> float:
    """Time from closure until less than the least pressure that keeps voice is left across the folds."""
    t, areas = _closing(glottis_cm2=0.05, mouth_cm2=0.0, seconds=0.6)
    out = breathe(t, areas, np.full(len(t), LUNGS_PA), give)
    across = LUNGS_PA - out.pressure_pa
    return float(t[np.argmax((t > 0.05) & (across < air("ptg_min").mean * CMH2O_PA))] - 0.05)


def test_orifice_law_worked_example() -> None:
    """Row orif: 0.1 cm2 at 8 cmH2O gives 371 cm3/s (Bernoulli; Stevens 1971)."""
    assert float(flow_ml_s(0.1, LUNGS_PA)) == pytest.approx(air("orif").mean, rel=0.01)


@settings(max_examples=50, deadline=None, derandomize=True)
@given(st.floats(0, 2), st.floats(-2000, 2000))
def test_flow_goes_down_the_pressure(area: float, drop: float) -> None:
    flow = float(flow_ml_s(area, drop))
    assert flow == pytest.approx(-float(flow_ml_s(area, -drop)))
    assert flow * drop >= 0
    assert float(flow_ml_s(area, 4 * drop)) == pytest.approx(2 * flow)
    assert float(flow_ml_s(2 * area, drop)) == pytest.approx(2 * flow)


def test_two_orifices_in_series() -> None:
    """Row series: glottis 0.3 and mouth 0.1 cm2 leave 0.9 of the pressure between them."""
    t, areas = _closing(0.3, 0.1)
    out = breathe(t, areas, np.full(len(t), LUNGS_PA))
    assert out.pressure_pa[-1] / LUNGS_PA == pytest.approx(air("series").mean, rel=0.01)
    assert out.mouth_ml_s[-1] == pytest.approx(out.glottis_ml_s[-1], rel=0.01), "what comes in goes out"


def test_sealed_mouth_reaches_lung_pressure() -> None:
    """Row pio_ratio_vl: lips sealed, port closed, glottis open: mouth pressure equals the lungs'."""
    t, areas = _closing(0.3, 0.0)
    out = breathe(t, areas, np.full(len(t), LUNGS_PA))
    assert 0.99 <= out.pressure_pa[-1] / LUNGS_PA <= 1.0 + 1e-6


def test_pressure_rises_in_the_measured_time() -> None:
    """Row t_rise: 10 to 60 ms to nine tenths, glottis at the measured area of a voiceless stop."""
    t, areas = _closing(0.3, 0.0)
    out = breathe(t, areas, np.full(len(t), LUNGS_PA))
    rise_ms = 1000 * (t[np.argmax(out.pressure_pa >= 0.9 * LUNGS_PA)] - 0.05)
    low, high = air("t_rise").range
    assert low - 1 <= rise_ms <= high


def test_passive_walls_let_voice_last() -> None:
    """Row t_passive (Ohala & Riordan 1979): 40 to 90 ms measured, tolerance 30 to 100."""
    assert 0.030 <= _voice_dies_s(give=1.0) <= 0.100


def test_hard_walls_stop_voice_at_once() -> None:
    """Row t_rigid: 5 to 10 ms (tolerance 3 to 15) in a cavity of 100 cm3 that only the gas law makes yield.

    Row dv_rigid gives that cavity's compliance: 0.562 cm3 for 8 cmH2O.
    """
    gas_m3_pa = air("dv_rigid").mean * 1e-6 / LUNGS_PA
    assert gas_m3_pa == pytest.approx(100e-6 / (1.14 * 350**2), rel=0.02)  # V / (rho c2)
    give = gas_m3_pa / constants()["air"]["wall_compliance_m3_pa"]
    dies = _voice_dies_s(give)
    assert 0.003 - STEP_S <= dies <= 0.015
    assert dies < _voice_dies_s(1.0) / 3
    assert _voice_dies_s(4.0) > 2 * _voice_dies_s(1.0), "a cavity that is enlarged keeps voice longer"


def test_hard_walled_cavity_fills_at_the_gas_laws_rate() -> None:
    """Row dv_t: 0.562 cm3 at 100 cm3/s takes 5.6 ms; here at a nearly steady flow, far below the lungs' pressure."""
    give = air("dv_rigid").mean * 1e-6 / LUNGS_PA / constants()["air"]["wall_compliance_m3_pa"]
    t, areas = _closing(0.0027, 0.0, seconds=0.2)
    lungs = 100 * LUNGS_PA  # so high that the flow in hardly falls while 8 cmH2O build up
    out = breathe(t, areas, np.full(len(t), lungs), give)
    steady = float(out.glottis_ml_s[np.argmax(t >= 0.051)])
    took = float(np.interp(LUNGS_PA, out.pressure_pa[t >= 0.05], t[t >= 0.05]) - 0.05)
    assert took * steady == pytest.approx(air("dv_rigid").mean, rel=0.12)


def test_steps_agree_with_a_reference_integrator() -> None:
    """scipy's stiff solver on the same law, through a closing and an opening."""
    law = constants()["air"]
    root = np.sqrt(2 / law["density_kg_m3"]) * 1e-4

    def mouth(t: float) -> float:
        return float(np.interp(t, [0, 0.03, 0.05, 0.12, 0.14], [1.0, 1.0, 0.0, 0.0, 0.6]))

    def slope(t: float, p: Array) -> Array:
        # a root rounded off below 1 Pa, because an integrator cannot step over its upright tangent
        through = 0.2 * (LUNGS_PA - p) / (np.abs(LUNGS_PA - p) + 1.0) ** 0.5
        out = mouth(t) * p / (np.abs(p) + 1.0) ** 0.5
        return (through - out) * root / law["wall_compliance_m3_pa"]

    t = np.arange(0, 0.2, STEP_S)
    areas = Openings(np.full(len(t), 0.2), np.array([mouth(x) for x in t]), np.zeros(len(t)))
    out = breathe(t, areas, np.full(len(t), LUNGS_PA))
    reference = solve_ivp(slope, (0, t[-1]), [out.pressure_pa[0]], method="LSODA", t_eval=t, rtol=1e-6, max_step=2e-3)
    assert np.abs(out.pressure_pa - reference.y[0]).max() < 0.03 * LUNGS_PA


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(0, 1), st.floats(0, 2), st.floats(0, 1), st.floats(0, 1500))
def test_pressure_stays_between_outside_and_lungs(glottis: float, mouth: float, port: float, lungs: float) -> None:
    t = np.arange(0, 0.05, 0.001)
    areas = Openings(np.full(50, glottis), np.linspace(mouth, 0, 50), np.full(50, port))
    out = breathe(t, areas, np.full(50, lungs))
    assert np.all(out.pressure_pa >= -1e-6)
    assert np.all(out.pressure_pa <= lungs + 1e-6)
    for each in (out.mouth_ml_s, out.nose_ml_s, out.glottis_ml_s, out.share):
        assert np.all(np.isfinite(each))
    assert np.all((out.share >= 0) & (out.share <= 1))


def test_no_breath_no_air() -> None:
    t, areas = _closing(0.3, 0.0)
    out = breathe(t, areas, np.zeros(len(t)))
    assert np.all(out.pressure_pa == 0)
    assert np.all(out.mouth_ml_s == 0)
    shut = Openings(*(np.zeros(len(t)) for _ in range(3)))
    assert np.all(np.isfinite(breathe(t, shut, np.full(len(t), LUNGS_PA)).pressure_pa))
