"""Contrast and colour difference against worked examples of the standards."""

from __future__ import annotations

import csv

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.paper import contrast
from tests.planted import Planted, planted
from tests.reference.published import HERE

REFERENCE = HERE


def rows(name: str) -> list[dict[str, str]]:
    with open(REFERENCE / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


ACCESSIBILITY = {row["id"]: row for row in rows("accessibility.csv")}


@pytest.mark.parametrize("key", [f"cr_k{k}" for k in range(1, 9)])
def test_ratio_of_worked_examples(key: str) -> None:
    """WCAG 2.2 formula; worked examples of tests/reference/accessibility.csv."""
    row = ACCESSIBILITY[key]
    front, ground = row["item"].removeprefix("worked contrast ").split(" on ")
    expected = float(row["value"])
    assert contrast.ratio(contrast.srgb(front), contrast.srgb(ground)) == pytest.approx(expected, abs=6e-4)


def test_ratio_of_grey_that_just_passes() -> None:
    """#767676 on white is the darkest-needed grey that is widely quoted for 4.5:1 (4.54)."""
    assert contrast.ratio(contrast.srgb("#767676"), contrast.srgb("#FFFFFF")) == pytest.approx(
        4.54, abs=0.005
    )


def test_difference_of_published_pairs() -> None:
    """Sharma, Wu & Dalal 2005, table 1."""
    table = np.array([[float(v) for v in row.values()] for row in rows("ciede2000_pairs.csv")])
    assert len(table) == 34
    found = contrast.colour_difference(table[:, 0:3], table[:, 3:6])
    np.testing.assert_allclose(found, table[:, 6], atol=6e-5)
    np.testing.assert_allclose(contrast.colour_difference(table[:, 3:6], table[:, 0:3]), table[:, 6], atol=6e-5)


@pytest.mark.parametrize("kind", ["protan", "deutan", "tritan"])
def test_matrices_are_the_published_ones(kind: str) -> None:
    """Machado 2009 as written in tests/reference/accessibility.csv, applied to linear light."""
    published = np.array(
        [[float(v) for v in part.split()] for part in ACCESSIBILITY[f"mach_{kind}"]["value"].split(";")]
    )
    colour = np.array([0.6, 0.5, 0.55])
    light = contrast.linear_light(contrast.simulate(colour, kind))
    np.testing.assert_allclose(light, published @ contrast.linear_light(colour), atol=2e-4)


def test_palette_separation_of_a_published_palette() -> None:
    """CIE76 distances of the Okabe-Ito palette under simulation, computed elsewhere (accessibility.csv)."""
    palette = np.array([contrast.srgb(r["value"]) for k, r in ACCESSIBILITY.items() if k.startswith("oi_") and
                        r["value"].startswith("#")])  # fmt: skip
    for kind in contrast.vision_kinds():
        seen = contrast.lab(contrast.simulate(palette, kind))
        i, j = np.triu_indices(len(seen), 1)
        least = np.linalg.norm(seen[i] - seen[j], axis=1).min()
        assert least == pytest.approx(float(ACCESSIBILITY[f"oi_sep_{kind}"]["value"]), abs=0.15)


def test_batch_equals_one_by_one() -> None:
    colours = np.random.default_rng(3).random((20, 3))
    together = contrast.lab(contrast.simulate(colours, "deutan"))
    alone = np.array([contrast.lab(contrast.simulate(colour, "deutan")) for colour in colours])
    np.testing.assert_allclose(together, alone, atol=1e-12)


@pytest.mark.parametrize("bad", ["#FFF", "red", "#GGGGGG", "#12345678", ""])
def test_bad_colours_are_refused(bad: str) -> None:
    with pytest.raises(BadInput, match="#RRGGBB"):
        contrast.srgb(bad)


def test_unknown_vision_names_the_nearest() -> None:
    with pytest.raises(BadInput, match=r"nearest: deutan"):
        contrast.simulate([0.1, 0.2, 0.3], "deuton")


@pytest.mark.parametrize("fault", list(planted(text_of("renders.paper", "vision.toml"))), ids=lambda fault: fault.fault)
def test_a_fault_planted_in_the_matrices_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, contrast.Vision, "vision.toml")
    assert str(caught.value).startswith("vision.toml: ") and fault.said in str(caught.value)


def test_a_matrix_without_a_row_is_refused() -> None:
    text = text_of("renders.paper", "vision.toml").replace("[0.0, 1.0, 0.0], ", "", 1)
    with pytest.raises(BadInput, match=r"^vision\.toml: matrix\.normal\.rows: expected `array` of length 3"):
        parsed(text, contrast.Vision, "vision.toml")
