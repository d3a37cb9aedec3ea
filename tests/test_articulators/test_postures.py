"""Postures: ranges, names, batches, frozen values."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators import contact, jaw
from articulators.errors import BadInput
from articulators.posture import Posture, part_index, parts, posture_from, posture_of, stack
from articulators.section import section
from tests.test_articulators.tissues import head, inventory

N = len(parts())


@pytest.mark.parametrize("name", [p.name for p in parts()])
def test_each_part_is_refused_outside_its_range_and_taken_at_its_ends(name: str) -> None:
    part = parts()[part_index(name)]
    for end in (part.low, part.high):
        assert float(posture_of(**{name: end})[name]) == end
    for beyond in (part.low - 0.01, part.high + 0.01, math.nan, math.inf, -math.inf):
        with pytest.raises(BadInput, match=name) as caught:
            posture_of(**{name: beyond})
        assert part.unit in str(caught.value)
        assert "\n" not in str(caught.value)


@pytest.mark.parametrize("values", [np.zeros(()), np.zeros(N - 1), np.zeros(N + 1), np.zeros((0,)), np.zeros((N, 1))])
def test_vectors_of_a_wrong_shape_are_refused(values: np.ndarray) -> None:
    with pytest.raises(BadInput, match=f"a posture has {N} parts"):
        posture_from(values)


def test_unknown_part_is_named_with_its_nearest() -> None:
    with pytest.raises(BadInput, match="nearest: velum"):
        posture_of(vellum=1.0)
    with pytest.raises(BadInput, match="'nose'"):
        posture_of()["nose"]


def test_one_bad_moment_of_a_batch_is_refused() -> None:
    with pytest.raises(BadInput, match="jaw_mm is 99"):
        posture_of(jaw_mm=np.array([2.0, 99.0]))


def test_postures_are_frozen() -> None:
    one = posture_of()
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.values = np.zeros(N)  # type: ignore[misc]
    for each in (
        one,
        posture_from(np.array(one.values)),
        one.with_parts(jaw_mm=3.0),
        stack([one, one]),
        stack([one]).at(0),
    ):
        with pytest.raises(ValueError, match="read-only"):
            each.values[..., 0] = 1.0


def test_a_posture_keeps_its_own_copy() -> None:
    values = np.array(posture_of().values)
    made = posture_from(values)
    values[0] = 20.0
    assert float(made["jaw_mm"]) == posture_of()["jaw_mm"]


def test_with_parts_changes_only_what_it_names() -> None:
    changed = inventory().with_parts(velum=0.5)
    same = [i for i in range(N) if i != part_index("velum")]
    assert np.array_equal(changed.values[..., same], inventory().values[..., same])
    assert np.all(changed["velum"] == 0.5)
    wide = posture_of().with_parts(jaw_mm=np.array([1.0, 2.0, 3.0]))
    assert wide.shape == (3,)
    assert list(wide["jaw_mm"]) == [1.0, 2.0, 3.0]


@pytest.mark.parametrize("count", [1, 3, 8])
def test_a_batch_gives_the_very_numbers_of_smaller_ones(count: int) -> None:
    """To the last digit, so that films come out the same however their frames are shared out."""
    many = inventory()
    together = section(head(), many)
    for first in range(0, many.shape[0], count):
        some = slice(first, first + count)
        for organ, line in section(head(), many.at(some)).moving.items():
            assert np.array_equal(together[organ][some], line), (first, organ)


def test_no_last_digit_decides_on_a_shape() -> None:
    """What moves by 1e-10 mm moves no outline by more than 1e-6 mm; among these the root of many tongues lies midway.

    A rounded corner has vertices that mirror each other, and the root may lie as far from one as from the other.
    """
    known = inventory().values
    between = (known[:-1] + known[1:]) / 2
    some = Posture(np.concatenate([known, between, (known + known[::-1]) / 2]))
    low, high = np.array([p.low for p in parts()]), np.array([p.high for p in parts()])
    first = section(head(), some)
    for seed in range(3):
        moved = some.values + np.random.default_rng(seed).uniform(-1e-10, 1e-10, some.values.shape)
        found = section(head(), posture_from(np.clip(moved, low, high)))
        for organ, line in found.moving.items():
            assert np.abs(line - first[organ]).max() < 1e-6, organ


@pytest.mark.parametrize("off_mm", [1e-12, -1e-12])
def test_of_two_vertices_equally_near_the_same_begins_the_line(off_mm: float) -> None:
    """A square with one corner cut; the point outside lies midway before the cut but for a last digit."""
    cut = shapely.Polygon([(0, 0), (4, 0), (4, 3), (3, 4), (0, 4)])

    def begins(at: tuple[float, float]) -> list[float]:
        line = contact.open_lines(np.array([cut]), np.array([at]), np.array([[0.0, 0.0]]), 9)
        return np.round(line[0, 0], 6).tolist()

    assert begins((4.0 + off_mm, 4.0)) == begins((4.0, 4.0))
    assert begins((4.0 + 0.01, 4.0)) != begins((4.0, 4.0 + 0.01)), "what is clearly nearer begins the line"


def test_any_batch_shape_comes_back() -> None:
    six = Posture(inventory().values[:6].reshape(2, 3, N))
    found = section(head(), six)
    flat = section(head(), inventory().at(slice(0, 6)))
    assert found["tongue"].shape[:2] == (2, 3)
    assert np.array_equal(found["tongue"].reshape(6, -1, 2), flat["tongue"])
    assert found.tongue_area_mm2().shape == (2, 3)
    assert np.array_equal(found.at(1)["velum"], found["velum"][1])


def test_sections_are_read_only() -> None:
    found = section(head(), posture_of())
    for organ, line in found.moving.items():
        with pytest.raises(ValueError, match="read-only"):
            line[..., 0, 0] = 1.0
        assert not found[organ].flags.writeable
    assert not found["palate"].flags.writeable
    with pytest.raises(TypeError):
        found.moving["tongue"] = found["tongue"]  # type: ignore[index]
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.head = head()  # type: ignore[misc]


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.floats(0, 1), st.floats(0, 14))
def test_aperture_is_met_by_the_lips(share: float, jaw_mm: float) -> None:
    """What aperture_mm promises in posture.toml: the narrowest gap, while the lips face (jaw to 14 mm)."""
    asked = 1.0 + 9.0 * share
    found = section(head(), posture_of(aperture_mm=asked, jaw_mm=jaw_mm))
    gaps = []
    for x in np.linspace(-15, -2, 53):
        upright = shapely.LineString([(x, -60), (x, 40)])
        above = shapely.intersection(upright, found.polygons("upper_lip"))
        below = shapely.intersection(upright, found.polygons("lower_lip"))
        if not above.is_empty and not below.is_empty:
            gaps.append(above.bounds[1] - below.bounds[3])
    assert min(gaps) == pytest.approx(asked, abs=0.4)  # stations 0.25 mm apart on steep slopes


@settings(deadline=None)
@given(opening_mm=st.floats(0.0, 20.0))
def test_the_matrix_of_the_jaw_does_what_the_jaw_does(opening_mm: float) -> None:
    points = head().jaw.symphysis
    matrix = jaw.motion(head(), opening_mm)
    carried = jaw.carry(head(), points, np.array(opening_mm))
    assert np.allclose(points @ matrix[:, :2].T + matrix[:, 2], carried)
    if opening_mm > 1.0:
        assert not np.allclose(points @ matrix[:, :2] + matrix[:, 2], carried), "turned the other way is told apart"
