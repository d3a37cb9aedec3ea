"""The man in another size: what a tube of other length must do, and what the air does not let him do.

A tube k times as long resonates at 1/k times the frequencies (any textbook of acoustics); a narrowing of 0.03 to
0.2 cm2 makes noise in any mouth (Stevens 1971; Catford 1977, from memory).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from articulators.section import Section, section
from tests.scaled_speaker import scaled_speaker
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.measure import Measurement, measure_sound
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.inventory import FRICTION, entries
from vocaltract.phonetics.manner import MouthManner, least_gap_mm, measured_manner
from vocaltract.phonetics.postures import english_keys, posture
from vocaltract.phonetics.rules import steps
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.phonetics.vowel_targets import vowel_targets
from vocaltract.speech import say

K = 0.85
NARROWINGS = {"j": 1, "w": 2}
"""Of approximants that are as narrow as they may be without a hiss: of w at the lips and at the soft palate."""
VOWELS = [vowel.symbol for vowel in vowel_targets()]
KEYS = [key for key in english_keys() if key not in ("rest", "k͡t", "y")]
CONSONANTS = [key for key in KEYS if not parse(key.removesuffix(FRICTION)).is_vowel]


@cache
def shown(key: str, speaker: Speaker) -> Section:
    return section(speaker.head, posture(key, speaker))


@cache
def measured(key: str, speaker: Speaker) -> Measurement:
    return measure_sound(posture(key, speaker), head=speaker.head)


def asked(key: str) -> MouthManner:
    """What the chart of the IPA says of a sound: stops, nasals and taps shut the mouth, fricatives narrow it."""
    f = parse(key.removesuffix(FRICTION))
    f = steps(f)[-1] if key.endswith(FRICTION) else f
    if f.is_vowel or (f.lateral and f.manner == "approximant"):
        return "open"
    return "closed" if f.closes else "hiss" if f.manner == "fricative" else "open"


@pytest.mark.parametrize("key", KEYS)
def test_every_sound_of_english_keeps_its_manner(key: str) -> None:
    for speaker in (man(), scaled_speaker(K)):
        found = measured_manner(shown(key, speaker))
        nasal_vowel = asked(key) == "open" and float(posture(key, speaker)["velum"]) > 0
        assert found == asked(key) or (nasal_vowel and found != "closed"), speaker.name


@pytest.mark.parametrize("key", CONSONANTS)
def test_consonants_keep_their_place(key: str) -> None:
    """In proportion, to 2.5 mm: places are measured on gridlines 1.5 mm apart, and a contact is some mm long."""
    found, wanted = (measured(key, speaker).constriction for speaker in (scaled_speaker(K), man()))
    lips = [c.place in ("labial", "labiodental") for c in (found, wanted)]
    assert lips[0] == lips[1]
    assert lips[0] or abs(found.x_mm - K * wanted.x_mm) <= 2.5


@pytest.mark.parametrize("key", VOWELS)
def test_formants_of_vowels_rise_as_the_tract_is_shorter(key: str) -> None:
    ratio = measured(key, scaled_speaker(K)).formants_hz[:3] / measured(key, man()).formants_hz[:3]
    assert np.all(np.abs(ratio * K - 1) <= 0.05)


@pytest.mark.parametrize("key", [key for key in CONSONANTS if asked(key) != "closed"])
def test_formants_of_consonants_rise_too(key: str) -> None:
    """But for those of a cavity behind an opening that does not shrink, since air decides its gap."""
    ratio = measured(key, scaled_speaker(K)).formants_hz[:3] / measured(key, man()).formants_hz[:3]
    behind = 1 if asked(key) == "hiss" else NARROWINGS.get(key, 0)
    most = 0.07 if key == "ɹ" else 0.05  # its narrowings do not shrink where air would hiss
    assert np.all(np.abs(ratio * K - 1)[behind:] <= most)


@pytest.mark.parametrize("key", [key for key in CONSONANTS if asked(key) == "hiss"])
def test_the_gap_of_a_hiss_is_as_wide_as_the_man_s(key: str) -> None:
    gaps = [least_gap_mm(shown(key, speaker)) for speaker in (scaled_speaker(K), man())]
    assert gaps[0] / gaps[1] > (1 + K) / 2, "nearer to the man's gap than to one in proportion"


def test_lengths_are_in_proportion() -> None:
    for key in ("ə", "i", "ɑ", "u"):
        long, short = (float(tract_areas(shown(key, speaker)).total_cm) for speaker in (man(), scaled_speaker(K)))
        assert abs(short / long / K - 1) <= 0.02
    for key in ("s", "t", "ɹ"):
        assert float(posture(key, scaled_speaker(K))["jaw_mm"]) == pytest.approx(
            K * float(posture(key, man())["jaw_mm"])
        )


@pytest.mark.parametrize("text", ["ticket", "front desk", "good night", "receipt"])
def test_what_is_shut_in_words_is_shut_by_the_same_organs_at_the_same_times(text: str) -> None:
    """Times are planned for all speakers alike, to half a section's step (2 ms); closures are measured on each head."""
    one, other = say(text), say(text, speaker=scaled_speaker(K))
    assert [(c.organ, c.indices) for c in one.closures] == [(c.organ, c.indices) for c in other.closures]
    for a, b in zip(one.closures, other.closures, strict=True):
        assert abs(a.start_s - b.start_s) <= 0.003 and abs(a.end_s - b.end_s) <= 0.007


def test_a_head_that_is_ignored_would_be_seen() -> None:
    """The man's own postures on the smaller head: [s] is shut, which is what this speaker is here to prevent."""
    on_small = section(scaled_speaker(K).head, posture("s", man()))
    assert measured_manner(on_small) == "closed"
    assert {entry.symbol for entry in entries().values() if entry.posture[0] in ("s",)} == {"s", "z"}
