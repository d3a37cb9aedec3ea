"""The airway of a section: closed is cut in two, a lowered velum opens the nose."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from articulators.head import adult_male
from articulators.posture import Posture, stack
from articulators.section import Section, section
from tests.reference.published import air as figure
from vocaltract.airway import breath
from vocaltract.airway.gaps import Gaps, gaps
from vocaltract.airway.passage import Airway, airway
from vocaltract.phonetics.postures import posture

THROAT = shapely.Point(72.0, -40.0)
# What each sound does with the air (IPA Handbook 1999; Ladefoged & Johnson): stops and nasals shut the mouth.
SHUT = ["p", "t", "k", "m", "n", "ŋ", "ɾ"]
OPEN = ["f", "s", "ə", "i", "ɑ", "u", "æ"]
NASAL = ["m", "n", "ŋ", "rest"]
ORAL = ["p", "t", "k", "ɾ", "f", "s", "ə", "i", "ɑ", "u"]


@pytest.fixture(scope="module")
def keys() -> list[str]:
    return sorted({*SHUT, *OPEN, *NASAL, *ORAL})


@pytest.fixture(scope="module")
def many(keys: list[str]) -> Section:
    return section(adult_male(), stack([posture(k) for k in keys]))


@pytest.fixture(scope="module")
def passages(many: Section) -> Airway:
    return airway(many)


def _pieces(made: Posture) -> list[shapely.Geometry]:
    """Pieces of air that are more than a sliver."""
    return [g for g in shapely.get_parts(airway(section(adult_male(), made)).shapes) if g.area > 1.0]


def test_mouth_and_nose_are_open_and_shut_as_the_trade_has_it(keys: list[str], passages: Airway) -> None:
    mouth = dict(zip(keys, passages.mouth, strict=True))
    nose = dict(zip(keys, passages.nose, strict=True))
    assert {k for k in keys if mouth[k]} == set(OPEN)
    assert {k for k in keys if nose[k]} == set(NASAL)


def _between_the_lips(made: Posture) -> shapely.Point:
    """Half way between the foremost points of the lips, where the tract ends."""
    one = section(adult_male(), made)
    ends = [one[organ][np.argmin(one[organ][:, 0])] for organ in ("upper_red", "lower_red")]
    return shapely.Point(np.mean(ends, axis=0))


@pytest.mark.parametrize("key", SHUT)
def test_closed_is_an_airway_cut_in_two(key: str) -> None:
    """The air before and behind the closure is in different pieces, and a small opening joins them."""
    shut = posture(key)
    lowered = {"jaw_mm": float(shut["jaw_mm"]) + 4.0, "back_mm": max(float(shut["back_mm"]) - 6.0, -10.0)}
    let_go = shut.with_parts(**({"aperture_mm": 3.0} if key in ("p", "m") else lowered))

    def joined(made: Posture) -> bool:
        inner = min(_pieces(made), key=lambda g: g.distance(THROAT))
        return bool(inner.distance(_between_the_lips(made)) < 1.0)

    assert not joined(shut)
    assert joined(let_go)
    assert not airway(section(adult_male(), shut)).mouth
    assert airway(section(adult_male(), let_go)).mouth


def test_velum_opens_the_nose_and_nothing_else() -> None:
    velum = np.linspace(0, 1, 11)
    found = section(adult_male(), posture("ə").with_parts(velum=velum))
    passage, port = airway(found), gaps(found).port
    assert not passage.nose[0]
    assert np.all(passage.nose[3:])
    assert np.all(passage.mouth)
    assert np.all(np.diff(port) >= -1e-9)
    assert port[0] == 0.0


def test_port_areas_against_clinical_limits() -> None:
    """Warren et al. (1989), rows vp_adq and vp_open: under 0.05 cm2 when shut, at least 0.2 cm2 for nasals."""
    made = section(adult_male(), stack([posture(k) for k in ("p", "t", "k", "s", "m", "n", "ŋ")]))
    areas = breath.openings(gaps(made), made.posture["glottis_mm"], made.posture["sides_open"])
    assert np.all(areas.port[:4] <= figure("vp_adq").range[1])
    assert np.all(areas.port[4:] >= 0.2)
    assert np.all(areas.port[4:] <= figure("vp_nas").range[1])


def test_fricatives_leave_a_noise_making_area() -> None:
    """Stevens (1971), row ac_fri: 0.03 to 0.2 cm2 at the narrowest place of f and s."""
    low, high = figure("ac_fri").range
    made = section(adult_male(), stack([posture(k) for k in ("f", "s", "θ", "ʃ")]))
    areas = breath.openings(gaps(made), made.posture["glottis_mm"], made.posture["sides_open"])
    assert np.all(areas.mouth >= low)
    assert np.all(areas.mouth <= high)


def test_air_touches_no_tissue(many: Section, passages: Airway) -> None:
    for organ in ("tongue", "velum", "upper_lip", "lower_lip"):
        shared = shapely.area(shapely.intersection(passages.shapes, many.polygons(organ)))
        assert float(shared.max()) < 0.5, organ


def test_batch_equals_one_by_one(many: Section, passages: Airway, keys: list[str]) -> None:
    together = gaps(many)
    for i in range(len(keys)):
        one = airway(many.at(i))
        assert (bool(one.mouth), bool(one.nose)) == (bool(passages.mouth[i]), bool(passages.nose[i]))
        assert float(np.asarray(one.shapes).item().area) == pytest.approx(passages.shapes[i].area)
        for name in Gaps.__dataclass_fields__:
            assert float(getattr(gaps(many.at(i)), name)) == pytest.approx(float(getattr(together, name)[i]), abs=1e-9)
