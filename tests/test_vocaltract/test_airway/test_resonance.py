"""Resonances against published shapes and printed values (tests/reference/area_functions*.csv, sources in them)."""

from __future__ import annotations

import csv
from functools import cache

import numpy as np
import pytest

from articulators.errors import BadInput
from tests.reference.published import HERE
from vocaltract.airway import losses, nose, resonance
from vocaltract.airway.losses import Losses
from vocaltract.airway.measure import with_peaks

REFERENCE = HERE
LOSSES = {"U3": Losses(1, 0, 0, 0), "U4": Losses(1, 1, 0, 0)}  # what the row's note says is counted


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@cache
def shape(model: str) -> tuple[np.ndarray, np.ndarray]:
    found = [r for r in rows("area_functions.csv") if r["model_id"] == model]
    assert found, model
    return np.array([float(r["length_cm"]) for r in found]), np.array([float(r["area_cm2"]) for r in found])


def five(row: dict[str, str], kind: str) -> np.ndarray:
    return np.array([float(row[f"{kind}_{i}"] or "nan") for i in range(1, 6)])


def off_by(found: np.ndarray, given: np.ndarray) -> float:
    """Largest deviation in %, where a value is given; nan where none is."""
    share = np.abs(found / given - 1) * 100
    return float(np.nanmax(share)) if np.isfinite(share).any() else float("nan")


TABLE = {r["case_id"]: r for r in rows("area_functions_resonances.csv")}
LOSSLESS = [k for k, r in TABLE.items() if r["condition"].startswith("lossless")]
LOSSY = [k for k, r in TABLE.items() if r["quantity"] in ("peak Hz", "-3 dB bandwidth Hz")]


def test_tables_hold_what_is_checked() -> None:
    assert len(LOSSLESS) == 19 and len(LOSSY) == 10


def test_comparer_tells_half_a_percent() -> None:
    assert off_by(np.array([502.6, 1500]), np.array([500.0, 1500])) > 0.5
    assert np.isnan(off_by(np.array([1.0]), np.array([np.nan])))


@pytest.mark.parametrize("case", LOSSLESS)
def test_lossless_shapes(case: str) -> None:
    row = TABLE[case]
    found = resonance.resonances_hz(
        *shape(row["model_id"]),
        lossless=True,
        sound_speed_cm_s=float(row["c_cm_s"]),
        end_correction="end correction" in row["condition"].replace("no end correction", ""),
    )
    assert off_by(found, five(row, "recomputed")) < 0.5
    printed = five(row, "published")
    if np.isfinite(printed).any():
        assert off_by(found, printed) < float(row["recommended_tolerance_pct"])


@pytest.mark.parametrize("case", LOSSY)
def test_lossy_shapes_against_print(case: str) -> None:
    row = TABLE[case]
    counted = LOSSES.get(case[:2], losses.ALL)
    length, area = shape(row["model_id"])
    speed = float(row["c_cm_s"])
    frequency = np.arange(2.0, 6000, 2.0)
    poles = resonance.formants(length, area, losses=counted, sound_speed_cm_s=speed)
    response = resonance.transfer(frequency, length, area, losses=counted, sound_speed_cm_s=speed)
    found = with_peaks(poles, frequency, response)
    value = found.bandwidth_hz if "bandwidth" in row["quantity"] else found.frequency_hz
    assert off_by(value, five(row, "published")) < float(row["recommended_tolerance_pct"])


@pytest.mark.parametrize("case", LOSSY)
def test_zeros_alone_lie_as_near(case: str) -> None:
    """Frequencies from the complex zeros, without looking for peaks, meet the print too (Rabiner & Schafer 1978)."""
    row = TABLE[case]
    if "bandwidth" in row["quantity"]:
        return
    counted = LOSSES.get(case[:2], losses.ALL)
    poles = resonance.formants(*shape(row["model_id"]), losses=counted, sound_speed_cm_s=float(row["c_cm_s"]))
    assert off_by(poles.frequency_hz, five(row, "published")) < float(row["recommended_tolerance_pct"])


# Closed forms and laws (rows U1, X1 to X4, P1 to P4, H1 to H3 of the table)


@pytest.mark.parametrize(("length", "speed"), [(17.5, 35000), (17.0, 34000), (12.0, 35400), (0.5, 35000)])
def test_uniform_tube_is_odd_quarter_waves(length: float, speed: float) -> None:
    """(2n-1) c / 4L: any handbook of acoustics; the number of equal pieces does not matter."""
    law = (2 * np.arange(1, 6) - 1) * speed / (4 * length)
    for pieces in (1, 7, 200):
        found = resonance.resonances_hz(
            np.full(pieces, length / pieces), np.full(pieces, 4.0), lossless=True, sound_speed_cm_s=speed
        )
        assert found == pytest.approx(law, rel=1e-6)


@pytest.mark.parametrize("ratio", [1e-3, 0.1, 1.0, 7.0, 1e3])
def test_two_tubes_meet_their_condition(ratio: float) -> None:
    """tan(k l1) tan(k l2) = A2 / A1 (Fant 1960), written without poles; row X3."""
    back, front = 9.3, 7.1
    found = resonance.resonances_hz([back, front], [1.0, ratio], lossless=True, count=8)
    k = 2 * np.pi * found / 35000
    cosines, sines = np.cos(k * back) * np.cos(k * front), np.sin(k * back) * np.sin(k * front)
    assert np.abs(ratio * cosines - sines).max() < 1e-6 * max(1, ratio)
    assert np.all(np.diff(found) > 0)


def test_scale_of_lengths_and_of_areas() -> None:
    """Wave equation: rows X1 and X2."""
    length, area = shape("fant_i")
    plain = resonance.resonances_hz(length, area, lossless=True)
    assert resonance.resonances_hz(length * 1.2, area, lossless=True) * 1.2 == pytest.approx(plain, rel=1e-3)
    assert resonance.resonances_hz(length, area * 3, lossless=True) == pytest.approx(plain, rel=1e-4)


@pytest.mark.parametrize(("case", "at"), [("P1", 34), ("P2", 0), ("P3", 22), ("P4", 11)])
def test_a_small_widening_follows_first_order_theory(case: str, at: int) -> None:
    """Chiba & Kajiyama 1941; Fant 1960: signs, and within 15 % of the law's size."""
    area = np.full(35, 5.0)
    plain = resonance.resonances_hz(np.full(35, 0.5), area, lossless=True, count=3)
    area[at] *= 1.1
    change = (resonance.resonances_hz(np.full(35, 0.5), area, lossless=True, count=3) / plain - 1) * 100
    law = five(TABLE[case], "published")[:3]
    assert np.all(np.sign(change) == np.sign(law))
    assert off_by(change, law) < float(TABLE[case]["recommended_tolerance_pct"])


@pytest.mark.parametrize(
    ("case", "length", "area"), [("H1", [9, 6], [8, 1]), ("H2", [9, 3], [8, 0.3]), ("H3", [8, 2], [10, 0.15])]
)
def test_lowest_resonance_nears_the_bottle_law_from_below(case: str, length: list[float], area: list[float]) -> None:
    """f = c / 2 pi sqrt(A / V l) (Helmholtz; any handbook) lies above the exact value, within the row's tolerance."""
    law = 35000 / (2 * np.pi) * np.sqrt(area[1] / (length[0] * area[0] * length[1]))
    assert law == pytest.approx(five(TABLE[case], "published")[0], rel=1e-3)
    exact = resonance.resonances_hz(length, area, lossless=True, count=1)[0]
    assert 0 < law / exact - 1 < float(TABLE[case]["recommended_tolerance_pct"]) / 100


def test_end_correction_is_that_of_a_flanged_pipe() -> None:
    """8 / (3 pi) radii (Rayleigh 1896); row X4."""
    assert float(losses.end_correction_cm(np.pi)) == pytest.approx(five(TABLE["X4"], "published")[1], rel=1e-3)


# None missed


def _by_differences(length: np.ndarray, area: np.ndarray, count: int) -> np.ndarray:
    """Lossless resonances by finite elements of the horn equation: another method, solved by scipy."""
    from scipy.linalg import eigh

    per = np.maximum(1, np.round(length / 0.02).astype(int))
    step, local = np.repeat(length / per, per), np.repeat(area, per)
    n = len(step)
    stiff, mass = np.zeros((n + 1, n + 1)), np.zeros((n + 1, n + 1))
    for i, (h, a) in enumerate(zip(step, local, strict=True)):
        stiff[i : i + 2, i : i + 2] += a / h * np.array([[1, -1], [-1, 1]])
        mass[i : i + 2, i : i + 2] += a * h / 6 * np.array([[2, 1], [1, 2]])
    values = eigh(stiff[:-1, :-1], mass[:-1, :-1], eigvals_only=True, subset_by_index=[0, count - 1])
    return np.sqrt(np.maximum(values, 0)) * 35000 / (2 * np.pi)


@pytest.mark.parametrize("seed", range(8))
def test_random_shapes_agree_with_finite_elements(seed: int) -> None:
    """Webster's horn equation solved by scipy.linalg.eigh; areas over four powers of ten."""
    source = np.random.default_rng(seed)
    n = int(source.integers(2, 30))
    length = source.uniform(0.1, 1.0, n) * 17 / n
    area = 10 ** source.uniform(-3, 1, n)
    found = resonance.resonances_hz(length, area, lossless=True, count=6)
    assert found == pytest.approx(_by_differences(length, area, 6), rel=5e-3)


def test_two_close_resonances_are_both_found() -> None:
    """Equal tubes joined by a neck split every resonance in two that close up as the neck narrows (coupled modes)."""
    for neck in (0.1, 0.01, 0.001):
        found = resonance.resonances_hz([8.75, 0.2, 8.75, 0.2, 8.75], [5, neck, 5, neck, 5], lossless=True, count=9)
        assert found == pytest.approx(
            _by_differences(np.array([8.75, 0.2, 8.75, 0.2, 8.75]), np.array([5, neck, 5, neck, 5]), 9), rel=5e-3
        )
        assert np.all(np.diff(found) > 0)


@pytest.mark.parametrize("model", ["fant_a", "fant_i", "sth_i", "sth_a", "sth_u", "twotube_i", "uniform_17"])
def test_every_peak_of_the_response_is_a_resonance_and_none_is_told_twice(model: str) -> None:
    """A peak of |T| needs a zero of the denominator close by: property of the response, no outside value."""
    length, area = shape(model)
    poles = resonance.formants(length, area, count=6)
    frequency = np.arange(1.0, 4900, 1.0)
    peaks = resonance.peaks(frequency, resonance.transfer(frequency, length, area))
    nearest = np.abs(peaks.frequency_hz[:, None] - poles.frequency_hz).argmin(axis=1)
    assert len(set(nearest)) == len(nearest) >= 4
    distance = np.abs(peaks.frequency_hz - poles.frequency_hz[nearest])
    assert np.all(distance < poles.bandwidth_hz[nearest] / 2)


def _zeros_inside(length: np.ndarray, area: np.ndarray, top_hz: float, widest_hz: float) -> float:
    """Number of zeros of the denominator with frequency up to top_hz and bandwidth up to widest_hz."""
    corners = np.pi * np.array([-widest_hz + 120j, 30 + 120j, 30 + 2j * top_hz, -widest_hz + 2j * top_hz])
    share = np.linspace(0, 1, 20000, endpoint=False)
    sides = zip(corners, np.roll(corners, -1), strict=True)
    around = np.concatenate([a + (b - a) * share for a, b in sides])
    value = resonance.denominator(around, length, area, losses.medium(), losses.ALL)
    turns = np.unwrap(np.angle(np.append(value, value[0])))
    return float(turns[-1] - turns[0]) / (2 * np.pi)


@pytest.mark.parametrize("seed", range(12))
def test_lossy_resonances_are_as_many_as_the_argument_principle_counts(seed: int) -> None:
    """Cauchy's argument principle: turns of the denominator round a region count its zeros there."""
    source = np.random.default_rng(seed)
    n = int(source.integers(3, 30))
    length, area = source.uniform(0.2, 1, n) * 27 / n, 10 ** source.uniform(-1.5, 1.2, n)
    found = resonance.formants(length, area, count=8)
    top = float(found.frequency_hz[5:7].mean())
    inside = (found.frequency_hz > 60) & (found.frequency_hz < top) & (found.bandwidth_hz < 1500)
    assert _zeros_inside(length, area, top, 1500) == pytest.approx(inside.sum(), abs=0.1)


# Shapes at the edge, batches, errors


def test_batch_equals_one_by_one() -> None:
    source = np.random.default_rng(3)
    length, area = source.uniform(0.2, 0.6, (3, 4, 20)), source.uniform(0.1, 9, (3, 4, 20))
    batch = resonance.resonances_hz(length, area, lossless=True)
    poles = resonance.formants(length, area)
    assert batch.shape == poles.frequency_hz.shape == (3, 4, 5)
    one = resonance.formants(length[2, 1], area[2, 1])
    assert batch[2, 1] == pytest.approx(resonance.resonances_hz(length[2, 1], area[2, 1], lossless=True), rel=1e-9)
    assert poles.frequency_hz[2, 1] == pytest.approx(one.frequency_hz, rel=1e-6)
    assert poles.bandwidth_hz[2, 1] == pytest.approx(one.bandwidth_hz, rel=1e-5)


@pytest.mark.parametrize("lossless", [True, False])
def test_shut_section_gives_nan_and_leaves_the_others(lossless: bool) -> None:
    area = np.array([[3.0, 0.0, 3.0], [3.0, 1.0, 3.0]])
    found = resonance.resonances_hz(np.full(3, 5.0), area, lossless=lossless)
    assert np.isnan(found[0]).all() and np.isfinite(found[1]).all()


@pytest.mark.parametrize("lossless", [True, False])
def test_narrowing_of_a_thousandth_and_many_sections(lossless: bool) -> None:
    for area in (np.r_[np.full(99, 4.0), 1e-3, np.full(100, 4.0)], np.full(200, 1e-3)):
        found = resonance.resonances_hz(np.full(200, 0.085), area, lossless=lossless)
        assert np.isfinite(found).all() and np.all(np.diff(found) > 0)


@pytest.mark.parametrize(
    ("length", "area", "part"),
    [
        ([1, 1], [1, -2], "section 2"),
        ([1, np.nan], [1, 1], "section 2"),
        ([], [], "at least one"),
        ([0, 0], [1, 1], "no length"),
        ([1, 2, 3], [1, 2], "as many"),
        (["a"], [1], "numbers"),
    ],
)
def test_what_cannot_be_a_tract_is_refused(length: list, area: list, part: str) -> None:
    with pytest.raises(BadInput, match=part):
        resonance.resonances_hz(length, area, lossless=True)


def test_speed_and_count_are_checked() -> None:
    with pytest.raises(BadInput, match="speed of sound"):
        resonance.resonances_hz([17.5], [5], sound_speed_cm_s=350)
    with pytest.raises(BadInput, match="count"):
        resonance.resonances_hz([17.5], [5], count=0)


# The way to the nose


@pytest.mark.parametrize(("case", "length"), [("Z1", 8.0), ("Z2", 5.5)])
def test_shut_mouth_takes_out_its_quarter_wave(case: str, length: float) -> None:
    """c / 4l (Fujimura 1962, from memory; physics): rows Z1, Z2; the response dips there."""
    law = five(TABLE[case], "published")[0]
    area = np.r_[np.full(17, 3.0), np.full(round(length / 0.5), 3.0), 0.0]
    tract = nose.branched(np.full(len(area), 0.5), area, 8.5, 1.0)
    assert tract.mouth_shut
    frequency = np.arange(law * 0.98, law * 1.02, 0.5)
    response = np.abs(nose.branched_transfer(frequency, tract, losses=losses.ALL.scaled(0.01)))
    assert frequency[response.argmin()] == pytest.approx(law, rel=2e-3)


def test_a_hair_of_a_port_leaves_the_mouth_as_it_was() -> None:
    """Continuity: a port that closes ends in the tract without a nose (physics, no outside value)."""
    length, area = shape("fant_a")
    plain = resonance.formants(length, area)
    tract = nose.branched(length, area, 8.25, 1e-4)
    found = nose.branched_formants(tract, count=12).frequency_hz
    gap = np.abs(found[:, None] - plain.frequency_hz).min(axis=0)
    assert np.all(gap < 5.0)


def test_nasal_formants_are_the_peaks_of_the_response() -> None:
    """Peaks found by scipy.signal.find_peaks; between zero and pole the response may also have a low hill."""
    from scipy.signal import find_peaks

    area = np.r_[np.full(17, 3.0), np.full(14, 4.0), 0.0]
    tract = nose.branched(np.full(len(area), 0.5), area, 8.5, 0.8)
    frequency = np.arange(2.0, 4000, 2.0)
    level = 20 * np.log10(np.abs(nose.branched_transfer(frequency, tract)))
    peaks = frequency[find_peaks(level, prominence=1.0)[0]]
    found = nose.branched_formants(tract, count=8)
    nearest = np.abs(peaks[:, None] - found.frequency_hz).argmin(axis=1)
    assert len(peaks) >= 5 and len(set(nearest)) == len(peaks)
    assert np.all(np.abs(peaks - found.frequency_hz[nearest]) < found.bandwidth_hz[nearest] / 2)


def test_no_resonance_of_three_branches_is_missed() -> None:
    """As many as the lossless denominator changes its sign on a fine grid."""
    source = np.random.default_rng(5)
    for port in (0.2, 0.7, 1.5):
        area = np.r_[source.uniform(0.5, 8, 30), 0.0]
        tract = nose.branched(np.full(31, 0.5), area, 8.0, port)
        s = 2j * np.pi * np.arange(1.0, 6000, 0.25)
        value = nose._parts(s, tract, losses.medium(), Losses(0, 0, 0, 1))[0]
        real = value.real + value.imag
        expected = s.imag[:-1][real[1:] * real[:-1] < 0] / (2 * np.pi)
        found = nose._hard_hz(tract, losses.medium(), 8)
        assert found == pytest.approx(expected[:8], abs=0.3)


def test_nose_refuses_what_it_cannot_join() -> None:
    with pytest.raises(BadInput, match="port area"):
        nose.branched([8, 8], [3, 3], 8, 0)
    with pytest.raises(BadInput, match="shut between"):
        nose.branched([4, 4, 8], [3, 0, 3], 8, 1)
    with pytest.raises(BadInput, match="between 0 and"):
        nose.branched([8, 8], [3, 3], 20, 1)
