"""The shipped head against handbook sizes, the loader against bad tables, the skin against the jaw."""

from __future__ import annotations

import copy
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from articulators import jaw
from articulators.curves import arc_length
from articulators.errors import BadInput
from articulators.head import Head, adult_male, load_head
from articulators.landmarks import SIZE_RANGE, Landmarks
from articulators.posture import posture_of
from articulators.records import Row, record
from articulators.section import section
from tests.reference.published import size
from tests.test_articulators.tissues import turning_deg

# Common practice, no source: a chain of steps looks smooth while no corner turns by more than 15 degrees.
CORNER_DEG = 15.0
JAW_MM = np.arange(0.0, 20.5, 0.5)


def _tables() -> dict[str, Any]:
    text = resources.files("articulators").joinpath("data/adult_male.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def _spoiled(path: tuple[str, ...], value: object) -> dict[str, Any]:
    """The shipped tables with one entry replaced, or taken out where value is None."""
    tables = copy.deepcopy(_tables())
    at = tables
    for key in path[:-1]:
        at = at[key]
    if value is None:
        del at[path[-1]]
    else:
        at[path[-1]] = value
    return tables


BAD = [
    (("jaw",), None, "planted.toml: key 'jaw' is missing; allowed: head_of, tongue, "),
    (("lips", "upper_moves"), None, "planted.toml: lips: key 'upper_moves' is missing"),
    (("jaw", "status"), "verfied", "nearest: verified"),
    (("jaw", "unit"), "inch", "unit 'inch' is not mm"),
    (("jaw", "hinge"), "far back", "jaw.hinge: 'far back' holds what is not a number"),
    (("jaw", "hinge"), [float("nan"), 42.0], "not finite"),
    (("jaw", "hinge"), [1.0, 42.0, 3.0], "no point [x, y]"),
    (("jaw", "gum"), [1.0, 42.0], "has 1 dimensions, not 2"),
    (("palate", "surface"), [[1.0, 2.0, 3.0], [1.0, 2.0, 3.0]], "[x, y] points"),
    (("palate", "surface"), [[1.0, 2.0], [1.0]], "holds what is not a number"),
    (("tongue", "modes"), [], "without modes"),
    (("tongue", "modes"), [{"name": "root", "direction": [1.0, 0.0]}], "needs one of bell or ramp"),
    (("tongue", "modes"), [{"name": "root", "bell": [1.5, 0.1], "direction": [1.0, 0.0]}], "must be in 0..1"),
    (("tongue", "modes"), [{"name": "root", "bell": [0.5, 0.0], "direction": [1.0, 0.0]}], "width above 0"),
    (("tongue", "modes"), [{"name": "root", "bel": [0.5, 0.1], "direction": [1.0, 0.0]}], "nearest: bell"),
    (("profile", "chin_neck_follows_jaw"), [1.0, 1.0], "2 entries for the 13 points of 'chin_neck'"),
    (("lips", "upper_rounded"), [[0.0, 0.0], [1.0, 1.0]], "2 entries for the 17 points of 'upper_rest'"),
    (("arch", "tooth_across_mm"), [7.0, 6.0], "'tooth_across_mm' has 2 entries for 7 teeth"),
    (("velum", "lowered"), [[0.0, 0.0], [1.0, 1.0]], "2 entries for the 18 points of 'raised'"),
]


@pytest.mark.parametrize(("path", "value", "said"), BAD)
def test_loader_refuses_a_bad_table_in_one_line(path: tuple[str, ...], value: object, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        record(_spoiled(path, value), Head, "planted.toml")
    assert said in str(caught.value)
    assert str(caught.value).startswith("planted.toml")
    assert "\n" not in str(caught.value)


def test_loader_takes_the_unspoiled_tables() -> None:
    assert record(_tables(), Head, "planted.toml").name == "adult_male"


@pytest.mark.parametrize("name", ["size", "throat"])
def test_a_head_of_no_human_size_is_refused(name: str) -> None:
    """Tracts are 8 cm long in the newborn and up to 19 cm in men, whose mean is 17 (Goldstein 1980, from memory)."""
    low, high = SIZE_RANGE
    assert low <= 8 / 17 and high >= 19 / 17
    for beyond in (low / 2, high * 2, float("nan")):
        with pytest.raises(BadInput, match=f"head_of: {name} .* is out of range; allowed: 0.4 to 1.4"):
            record(_spoiled(("head_of", name), beyond), Head, "planted.toml")


def test_every_table_says_what_its_landmarks_are_worth() -> None:
    """Rule 8 of the project's style: unit, source and status stand beside every number."""
    tables = [getattr(adult_male(), name) for name in Head.__struct_fields__]
    assert all(isinstance(table, Row) and table.unit == "mm" and table.source for table in tables)


def test_every_table_of_an_organ_is_landmarks() -> None:
    # the places of articulation are stretches, no points
    tables = {name: getattr(adult_male(), name) for name in Head.__struct_fields__}
    assert [name for name, table in tables.items() if not isinstance(table, Landmarks)] == ["places"]


def test_loader_names_a_missing_or_broken_file(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        load_head(tmp_path / "nobody.toml")
    broken = tmp_path / "broken.toml"
    broken.write_text("jaw = [", encoding="utf-8")
    with pytest.raises(BadInput, match=r"broken.toml: not TOML"):
        load_head(broken)
    broken.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadInput, match=r"broken.toml, line 1: byte 0xFF is not UTF-8"):
        load_head(broken)


def test_head_is_read_only() -> None:
    head = adult_male()
    with pytest.raises(ValueError, match="read-only"):
        head.jaw.hinge[0] = 0
    with pytest.raises(ValueError, match="read-only"):
        head.lips.upper_moves[0] = 0
    with pytest.raises(AttributeError):
        head.name = "someone"  # type: ignore[misc]
    with pytest.raises(AttributeError):
        head.jaw.hinge = np.zeros(2)  # type: ignore[misc]


def test_sizes_lie_in_the_range_of_adults() -> None:
    """Rows hinge_x, hinge_y (geometry of Bonwill and Balkwill), hp_in, tl of sizes_of_the_mouth.csv."""
    head = adult_male()
    hinge, edge = head.jaw.hinge, head.jaw.lower_incisor[0]
    assert 70 <= hinge[0] - edge[0] <= 95  # tolerance of row hinge_x
    low, high = size("hinge_y").range
    assert low <= hinge[1] - edge[1] <= high + 3  # row's tolerance reaches 45 mm
    palate = head.palate.surface
    low, high = size("hp_in").range
    assert low <= palate[-1, 0] <= high
    tongue = head.tongue.rest
    low, high = size("tl").range
    chord = float(np.hypot(*(tongue[0] - tongue[-1])))
    assert low - 5 <= chord <= high, "tip to vallecula"
    assert arc_length(tongue)[-1] > chord


def test_jaw_opens_by_what_it_says() -> None:
    """jaw_mm is the gap between the incisors' edges. The turn is taken as opening over radius, which is 7 % short
    at 20 mm (geometry: the edge also swings back), and within 4 % for openings up to 10 mm."""
    head = adult_male()
    edge = head.jaw.lower_incisor[:1]
    at = jaw.carry(head, edge, JAW_MM)[..., 0, :]
    assert np.all(np.abs(-at[:, 1] - JAW_MM) <= 0.07 * JAW_MM)
    assert np.all(np.abs(-at[:, 1] - JAW_MM)[JAW_MM <= 10] <= 0.4)
    assert np.all(np.diff(at[:, 1]) < 0)


def test_rotation_for_a_centimetre_of_opening() -> None:
    """About 6.5 degrees over Bonwill's radius; span 5 to 8 (geometry of a triangle of 101 mm)."""
    assert 5 <= np.degrees(jaw.opening_angle_rad(adult_male(), np.array(10.0))) <= 8


def test_skin_stays_smooth_when_the_jaw_drops() -> None:
    found = section(adult_male(), posture_of(jaw_mm=JAW_MM))
    assert float(turning_deg(found["chin_neck"]).max()) < CORNER_DEG
    lip, chin = found["lower_lip"], found["chin_neck"]
    gap = np.linalg.norm(lip[..., -1, :] - chin[..., 0, :], axis=-1)
    assert float(gap.max()) < 1.0, "lip and chin come apart"


def test_comparer_sees_a_planted_corner() -> None:
    bent = section(adult_male(), posture_of())["chin_neck"].copy()
    bent[30] += [2.0, 0.0]
    assert float(turning_deg(bent).max()) > CORNER_DEG
    assert turning_deg(np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]])) == pytest.approx(90.0)
