"""Places, degrees and lips are found by name; a target that names what there is not is refused with its place."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from articulators.errors import BadInput
from articulators.head import adult_male
from vocaltract.phonetics.places import degree_mm, lip_posture, place_names, stretch
from vocaltract.phonetics.targets import check_names, target_of, targets


def test_places_lie_in_order_from_the_teeth_to_the_throat() -> None:
    """Common practice, no source: dental before alveolar, postalveolar, palatal, velar; uvular on the soft palate."""
    order = ["dental", "alveolar", "postalveolar", "palatal", "velar"]
    at = [stretch(adult_male(), place) for place in order]
    assert {s.surface for s in at} == {"roof"} and [s.first for s in at] == sorted(s.first for s in at)
    assert stretch(adult_male(), "uvular").surface == "velum"
    assert stretch(adult_male(), "throat_lower").last < stretch(adult_male(), "throat_upper").last


def test_degrees_and_lips_are_what_they_say() -> None:
    """Common practice, no source: a closure presses, a fricative is narrower than an approximant, rounding narrows."""
    assert degree_mm("closed") < 0 < degree_mm("narrow") < degree_mm("approximant")
    closed, rounded, neutral = (lip_posture(name).aperture_mm for name in ("closed", "rounded", "neutral"))
    assert closed < 0 < rounded < neutral


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"lips": "clsed"}, "here: lips 'clsed' is unknown; allowed: "),
        ({"degree": "clsed"}, "here: degree 'clsed' is unknown; allowed: "),
        ({"place": "velr"}, "here: place 'velr' is unknown; allowed: "),
        ({"second_place": "velr"}, "here: second_place 'velr' is unknown; allowed: "),
        ({"second_place": "velar", "second_degree": "cl0sed"}, "here: second_degree 'cl0sed' is unknown; allowed: "),
    ],
)
def test_a_target_that_names_what_there_is_not_is_refused(changed: dict[str, str], message: str) -> None:
    check_names(target_of("k"), "here")
    with pytest.raises(BadInput) as caught:
        check_names(replace(target_of("k"), **changed), "here")
    assert str(caught.value).startswith(message) and "(nearest: " in str(caught.value)


def test_every_place_of_a_target_is_used_and_there() -> None:
    asked = {t.place for t in targets() if "tongue" not in t.free}
    assert asked <= place_names()
