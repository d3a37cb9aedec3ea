"""What is asked of a head of another size: lengths in proportion, hisses as they are, nothing changed for the man."""

from __future__ import annotations

import pytest

from articulators.head import adult_male
from tests.scaled_speaker import scaled_speaker
from vocaltract.phonetics import sized
from vocaltract.phonetics.places import degree_mm, lip_posture
from vocaltract.phonetics.targets import target_of
from vocaltract.phonetics.vowel_targets import vowel_target
from vocaltract.phonetics.wishes import wishes

K = 0.9
SMALL = scaled_speaker(K).head


def test_on_the_man_s_head_everything_is_as_it_is_said() -> None:
    man = adult_male()
    assert sized.target_on(target_of("t"), man) == target_of("t")
    assert sized.vowel_on(vowel_target("ɑ"), man) == vowel_target("ɑ")
    assert sized.consonant_wishes(man) == wishes().consonant and sized.vowel_wishes(man) == wishes().vowel
    assert sized.parts_on({"jaw_mm": 3.0, "spread": 0.5}, man) == {"jaw_mm": 3.0, "spread": 0.5}


def test_lengths_areas_and_weights_follow_their_dimension() -> None:
    """A length goes with the size, an area with its square, a weight per mm with its inverse: geometry."""
    vowel = vowel_target("ɑ")
    assert sized.target_on(target_of("θ"), SMALL).tip_at_mm == pytest.approx((-2.2 * K, -1.6 * K))
    assert sized.vowel_on(vowel, SMALL).throat_cm2 == pytest.approx(K**2 * vowel.throat_cm2)
    assert sized.consonant_wishes(SMALL).bend == pytest.approx(wishes().consonant.bend / K)
    parts = sized.parts_on({"jaw_mm": 3.0, "larynx_mm": 2.0, "spread": 0.5}, SMALL)
    assert parts == pytest.approx({"jaw_mm": 3.0 * K, "larynx_mm": 2.0 * K, "spread": 0.5})


def test_what_air_decides_is_the_same_in_every_mouth() -> None:
    """Noise needs a narrowing of 0.03 to 0.2 cm2 (Stevens 1971; Catford 1977, from memory), whoever makes it."""
    assert degree_mm("narrow", K) == degree_mm("narrow")
    assert degree_mm("approximant", K) == pytest.approx(K * degree_mm("approximant"))
    assert lip_posture("lip_to_teeth", K) == lip_posture("lip_to_teeth")
    own, small = lip_posture("labialized"), lip_posture("labialized", K)
    assert small.rounded == own.rounded and small.aperture_mm == pytest.approx(K * own.aperture_mm)
    assert sized.vowel_on(vowel_target("ɔ"), scaled_speaker(0.6).head).throat_cm2 > 0.2, "no vowel is asked to hiss"
