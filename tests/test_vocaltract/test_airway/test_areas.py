"""Areas from the section: rules against the published ones, laws of acoustics on the model, anatomical plausibility."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.head import adult_male
from articulators.posture import Posture, posture_from, posture_of, stack
from articulators.section import section
from vocaltract.airway import areas, resonance
from vocaltract.airway.areas import AreaFunction, tract_areas
from vocaltract.airway.measure import measure_sound
from vocaltract.phonetics.postures import posture

# A. C. Lammert & S. S. Narayanan (2015); U. G. Goldstein (1980); Fant (1960): adult man, neutral (from memory)
NEUTRAL_CM = (15.5, 18.5)


def of(made: Posture) -> AreaFunction:
    return tract_areas(section(adult_male(), made))


def formants(made: Posture) -> np.ndarray:
    found = of(made)
    return resonance.formants(found.length_cm, found.area_cm2, count=3).frequency_hz


# The tract


def test_neutral_tract_is_a_mans() -> None:
    length = float(of(posture("ə")).total_cm)
    assert NEUTRAL_CM[0] < length < NEUTRAL_CM[1]


def test_sections_are_short_and_run_from_the_folds_to_the_lips() -> None:
    found = of(stack([posture(k) for k in "iɑuəts"]))
    assert np.all(found.length_cm < 0.5)
    assert found.length_cm.shape == found.area_cm2.shape == found.place_cm.shape
    larynx = np.array([float(posture(k)["larynx_mm"]) for k in "iɑuəts"])
    fold = adult_male().larynx.vocal_fold_height + larynx
    assert found.midline_mm[:, 0, 1] == pytest.approx(fold, abs=0.5)
    assert np.all(found.midline_mm[:, -1, 0] < 0)
    assert np.all(np.diff(found.place_cm, axis=-1) > 0)
    assert np.all(found.least_cm2 <= found.area_cm2 + 1e-12)


NAMES = ("area_cm2", "least_cm2", "length_cm", "midline_mm", "roof_mm", "lip_cm2", "lips_at")


def test_batch_equals_one_by_one_and_keeps_its_shape() -> None:
    keys = ["i", "ɑ", "u", "t", "f", "l"]
    whole = section(adult_male(), stack([posture(k) for k in keys]))
    batch = tract_areas(whole)
    square = of(posture_from(whole.posture.values.reshape(2, 3, -1)))
    assert square.area_cm2.shape[:2] == (2, 3)
    for i, key in enumerate(keys):
        one = tract_areas(whole.at(i))
        for name in NAMES:
            assert np.array_equal(getattr(batch, name)[i], getattr(one, name)), (key, name)
            assert getattr(square, name)[divmod(i, 3)] == pytest.approx(getattr(one, name), abs=1e-9), (key, name)


def test_slanted_passage_is_measured_across() -> None:
    """Two parallel walls 10 mm apart at 40 degrees to the gridlines are 10 mm apart at right angles (geometry)."""
    grid = areas._grid(adult_male())
    along = np.deg2rad(40)
    steps = np.linspace(0, 60, len(grid.start))[:, None] * np.array([np.cos(along), np.sin(along)])
    turn = areas._tangent(steps)
    upright = np.array([0.0, 1.0])
    slant = np.abs(upright[0] * turn[:, 1] - upright[1] * turn[:, 0])
    assert 10 / np.cos(along) * slant == pytest.approx(10.0)


@pytest.mark.parametrize("key", ["p", "t", "k", "tʃ", "ɾ"])
def test_a_closed_place_has_no_area(key: str) -> None:
    found = of(posture(key))
    assert found.area_cm2.min() == 0 and found.least_cm2.min() == 0


@pytest.mark.parametrize(("key", "place"), [("l", "alveolar"), ("ʎ", "palatal"), ("ʟ", "velar")])
def test_sides_count_for_a_lateral(key: str, place: str) -> None:
    """Places: the IPA chart (2020)."""
    shut = posture(key).with_parts(sides_open=0.0)
    assert of(shut).area_cm2.min() == 0
    found = measure_sound(posture(key)).constriction
    assert found.area_cm2 > 0.15  # approximants: Catford 1977 (from memory)
    assert found.place == place


def test_spread_lips_end_behind_rounded_ones() -> None:
    """Front end near the corners, about 1 cm behind the lips' front, against at the front (design trial; Fant 1960)."""
    ends = of(stack([posture_of(spread=1.0), posture_of(), posture_of(rounded=1.0)])).midline_mm[:, -1, 0]
    assert ends[0] > ends[1] > ends[2]


# Laws of acoustics on the model: Chiba & Kajiyama 1941; Fant 1960


@pytest.mark.parametrize("key", ["i", "ɛ", "ɑ", "ə", "u"])
def test_opening_the_lips_raises_the_formants(key: str) -> None:
    """All three rise, the first by more than nothing."""
    at = posture(key)
    opened = at.with_parts(aperture_mm=at["aperture_mm"] + 2.0)
    change = formants(opened) / formants(at)
    assert np.all(change > 0.9999) and change[0] > 1.002


@pytest.mark.parametrize("key", ["i", "ɛ", "ɑ", "ə"])
def test_protruding_the_lips_lowers_all(key: str) -> None:
    at = posture(key)
    assert np.all(formants(at.with_parts(rounded=at["rounded"] + 0.4)) < formants(at))


def test_a_lower_larynx_lengthens_the_tract() -> None:
    high, low = of(stack([posture_of(larynx_mm=3.0), posture_of(larynx_mm=-3.0)])).total_cm
    assert low - high == pytest.approx(0.6, abs=0.1)


# Sizes: K. N. Stevens (1971), J. C. Catford (1977), D. W. Warren et al. (1989); figures from memory or the abstract


@pytest.mark.parametrize(
    ("key", "place"),
    [("p", "labial"), ("m", "labial"), ("f", "labiodental"), ("θ", "dental"), ("t", "alveolar"), ("s", "alveolar"),
     ("ʃ", "postalveolar"), ("j", "palatal"), ("k", "velar"), ("ŋ", "velar"), ("i", "palatal"), ("u", "velar"),
     ("ɑ", "lower pharyngeal"), ("æ", "lower pharyngeal")],
)  # fmt: skip
def test_narrowest_place_is_the_sounds_own(key: str, place: str) -> None:
    """Consonants: the IPA chart (2020). Vowels: S. Wood (1979) J. Phonetics 7, 25-43."""
    assert measure_sound(posture(key)).constriction.place == place


@pytest.mark.parametrize("key", ["f", "v", "θ", "ð", "s", "z", "ʃ", "ʒ"])
def test_fricatives_leave_a_narrow_gap(key: str) -> None:
    assert 0.03 < measure_sound(posture(key)).constriction.area_cm2 < 0.2


def test_the_port_is_open_in_nasals_only() -> None:
    assert all(measure_sound(posture(k)).port_area_cm2 > 0.2 for k in "mnŋ")
    assert all(measure_sound(posture(k)).port_area_cm2 < 0.05 for k in "ptkszliɑu")


def test_contact_is_told() -> None:
    assert "lower lip on upper lip" in measure_sound(posture("p")).contact
    assert "front of the tongue on teeth or ridge" in measure_sound(posture("t")).contact
    assert "soft palate on throat wall" not in measure_sound(posture("m")).contact


def test_a_shut_tract_has_no_formants_but_a_nasal_has() -> None:
    assert np.isnan(measure_sound(posture("t")).formants_hz).all()
    assert np.isfinite(measure_sound(posture("n")).formants_hz).all()
