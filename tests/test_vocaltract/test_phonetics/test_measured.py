"""A sound's name to its measurement."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.naming.named import named
from vocaltract.phonetics.measured import NO_PLACE, measured


@pytest.mark.parametrize(("name", "place"), [("t", "alveolar"), ("k", "velar"), ("p", "labial"), ("f", "labiodental")])
def test_a_consonant_is_narrowest_at_its_place(name: str, place: str) -> None:
    """Chart of the International Phonetic Association."""
    entry = named(name)
    found = measured(entry)
    assert entry.symbol == name and found.constriction.place == place


def test_a_sound_of_the_larynx_has_no_place_in_the_mouth() -> None:
    entry = named("h")
    found = measured(entry)
    assert entry.place == "glottal" and found.constriction.place == NO_PLACE
    assert found.formants_hz[0] > 400, "measured with the mouth of a neutral vowel"


def test_helium_raises_formants_by_the_speed_of_sound() -> None:
    """Resonances of a tube go with the speed of sound, but for what yielding walls do to the first (any handbook)."""
    air, helium = (measured(named("ɑ"), speed).formants_hz for speed in (35000.0, 70000.0))
    assert helium[2] / air[2] == pytest.approx(2.0, abs=0.08)


def test_a_name_that_is_none_is_refused() -> None:
    with pytest.raises(BadInput, match="not in the inventory"):
        named("zzh")
