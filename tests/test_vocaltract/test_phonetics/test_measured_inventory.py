"""Every sound of American English, allophones too, as `vocaltract measure` gives it: place, degree, way to the nose.

Places and manners: the IPA chart (2020). Sizes: fricatives K. N. Stevens (1971), approximants J. C. Catford (1977), the
way to the nose D. W. Warren et al. (1989); rows of the reference table of aerodynamics (from memory or the abstract).
"""

from __future__ import annotations

from functools import cache

import pytest

from articulators.head import adult_male
from articulators.posture import posture_of, stack
from articulators.section import section
from vocaltract.airway import resonance
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.measure import Measurement, measure_sound
from vocaltract.phonetics.inventory import SoundEntry, entries, narrow_variants
from vocaltract.phonetics.postures import posture

ALL: dict[str, SoundEntry] = {**entries(), **narrow_variants()}
# what is made in the larynx has no place in the mouth (h: sources in the reference table of aerodynamics)
MOUTH = [s for s, e in ALL.items() if e.kind != "vowel" and e.place != "glottal"]
LABIAL = {"bilabial": "labial", "labiodental": "labiodental"}
# a sound with two places is told by that of the tongue; its lips are the lip opening
TWO_PLACES = {"labial-velar": "velar"}
# The chart has no place for the bunched r. X-ray films: P. Delattre & D. Freeman (1968), Linguistics 44 (from memory)
BUNCHED = {"ɹ": "palatal", "ɹ̥": "palatal"}
SEAL_CM2, HISS_CM2, PORT_CM2, NO_PORT_CM2 = 1e-9, (0.03, 0.2), 0.2, 0.05
OPEN_CM2 = 0.15


@cache
def of(key: str) -> Measurement:
    return measure_sound(posture(key))


def wrong(entry: SoundEntry, found: Measurement) -> list[str]:
    """What is not as the trade has it."""
    faults = []
    narrowest = found.constriction
    place = BUNCHED.get(entry.symbol) or {**LABIAL, **TWO_PLACES}.get(entry.place, entry.place)
    if narrowest.place != place:
        faults.append(f"place {narrowest.place}, not {place}")
    area = narrowest.area_cm2
    if entry.manner in ("plosive", "affricate", "nasal", "tap") and area > SEAL_CM2:
        faults.append(f"open by {area:.2f} cm2")
    if entry.manner == "fricative" and not HISS_CM2[0] <= area <= HISS_CM2[1]:
        faults.append(f"no narrowing for a hiss: {area:.2f} cm2")
    if "approximant" in entry.manner and area <= OPEN_CM2:
        faults.append(f"too narrow for an approximant: {area:.2f} cm2")
    port = found.port_area_cm2
    if (port <= PORT_CM2) if entry.manner == "nasal" else (port >= NO_PORT_CM2):
        faults.append(f"way to the nose {port:.2f} cm2")
    return faults


@pytest.mark.parametrize("symbol", MOUTH)
def test_consonant_is_made_where_and_as_its_name_says(symbol: str) -> None:
    assert wrong(ALL[symbol], of(ALL[symbol].posture[0])) == []


def test_affricates_hiss_after_their_closure() -> None:
    for symbol in ("tʃ", "dʒ"):
        assert HISS_CM2[0] <= of(ALL[symbol].posture[1]).constriction.area_cm2 <= HISS_CM2[1]


@pytest.mark.parametrize("symbol", [s for s, e in ALL.items() if e.kind == "vowel"])
def test_vowels_open_the_nose_only_where_they_are_nasalised(symbol: str) -> None:
    ports = [of(key).port_area_cm2 for key in ALL[symbol].posture]
    if "\u0303" in symbol:
        assert min(ports) > PORT_CM2
    else:
        assert max(ports) < NO_PORT_CM2
        assert min(of(key).constriction.area_cm2 for key in ALL[symbol].posture) > HISS_CM2[1]


@pytest.mark.parametrize(
    ("symbol", "other", "part"),
    [("t", "k", "place velar"), ("s", "t", "no narrowing"), ("t", "s", "open by"), ("n", "t", "way to the nose"),
     ("d", "n", "way to the nose"), ("w", "f", "too narrow"), ("ʃ", "s", "place alveolar")],
)  # fmt: skip
def test_comparer_sees_another_sounds_mouth(symbol: str, other: str, part: str) -> None:
    assert any(part in fault for fault in wrong(ALL[symbol], of(other)))


def test_a_longer_tract_lowers_every_formant() -> None:
    """Chiba & Kajiyama (1941); Fant (1960): resonances go with the inverse of the length."""
    short, long = (
        resonance.formants(a.length_cm, a.area_cm2, count=3).frequency_hz
        for a in (tract_areas(section(adult_male(), posture_of(larynx_mm=z))) for z in (4.0, -4.0))
    )
    assert (long < short).all()
    # scaled as a whole: all by the same factor, without the losses that do not scale
    found = tract_areas(section(adult_male(), stack([posture("ə"), posture("i"), posture("ɑ")])))
    before, after = (
        resonance.resonances_hz(found.length_cm * k, found.area_cm2, lossless=True, count=4) for k in (1.0, 1.2)
    )
    assert after * 1.2 == pytest.approx(before, rel=1e-3)


def test_a_linguolabial_is_measured_at_the_lip() -> None:
    """Tip on the upper lip: the chart's diacritic of 2020. A stop is shut there, a fricative nearly."""
    shut, hiss = of("t\u033c"), of("θ\u033c")
    assert shut.constriction.place == hiss.constriction.place == "labial"
    assert shut.constriction.area_cm2 == 0 and "tip of the tongue on upper lip" in shut.contact
    assert HISS_CM2[0] < hiss.constriction.area_cm2 < HISS_CM2[1]
    assert "tip of the tongue on upper lip" not in hiss.contact
    assert not any("upper lip" in what for what in of("t").contact)
