"""Numbers packed and unpacked: within half a step for any numbers, and small. No outside reference: a property."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from articulators.errors import BadInput
from renders.page.pack import LETTERS, MOST, Table, as_text, from_text, kept_points, packed, unpacked

SHAPES = st.tuples(st.integers(1, 30), st.integers(1, 12))


@given(
    SHAPES.flatmap(lambda shape: arrays.arrays(float, shape, elements=st.floats(-150, 150))),
    st.sampled_from([0.02, 0.05, 1.0]),
    st.integers(0, 3),
    st.data(),
)
def test_any_numbers_come_back_within_half_a_step(
    values: np.ndarray, step: float, stride: int, data: st.DataObject
) -> None:
    gone = data.draw(arrays.arrays(bool, values.shape))
    values = np.where(gone, np.nan, values)
    data_, index = packed([Table("a", values, step, stride), Table("b", values[:1], step)])
    back = unpacked(data_, index)
    np.testing.assert_allclose(back["a"], values, rtol=0, atol=step / 2 + 1e-9)
    np.testing.assert_allclose(back["b"], values[:1], rtol=0, atol=step / 2 + 1e-9)


def test_the_largest_numbers_come_back_and_larger_ones_are_refused() -> None:
    edge = np.array([[MOST, -MOST], [-MOST, MOST]], dtype=float)
    np.testing.assert_array_equal(unpacked(*packed([Table("edge", edge, 1.0, 1)]))["edge"], edge)
    with pytest.raises(BadInput, match="too large to be packed"):
        packed([Table("over", edge * 1.01, 1.0)])


def test_the_comparison_notices_a_changed_byte() -> None:
    values = np.linspace(-80, 80, 200).reshape(20, 10)
    good, index = packed([Table("a", values, 0.05)])
    index[0][3] = 0.06
    assert np.abs(unpacked(good, index)["a"] - values).max() > 1


def _off(points: np.ndarray, line: np.ndarray) -> float:
    import shapely

    return float(shapely.distance(shapely.points(points), shapely.LineString(line)).max())


@given(st.floats(0.5, 30.0), st.floats(0.01, 0.3))
def test_points_left_out_stay_near_the_line_that_is_drawn(radius: float, within: float) -> None:
    angle = np.linspace(0, 5, 200)
    arc = np.stack([radius * np.cos(angle), 0.6 * radius * np.sin(angle)], axis=-1)
    kept = kept_points(np.stack([arc, 1.1 * arc]), within, always=(57,))
    assert {0, 57, 199} <= set(kept)
    assert _off(arc, arc[kept]) <= within + 1e-9
    assert len(kept) < 200 or within < 1e-3 * radius


@given(st.binary(max_size=60))
def test_bytes_come_back_from_text_that_needs_no_escape(data: bytes) -> None:
    text = as_text(data)
    assert from_text(text) == data
    assert set(text) <= set(LETTERS)
    assert not set(text) & set("\"'\\<>&`")
    assert len(set(LETTERS)) == 85
