"""Strokes along lines: areas and lengths by closed forms of straight lines and circles."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from renders.paper.strokes import Edge, anticlockwise, band, calmed, eased, ends, left_of, length, shifted

STRAIGHT = np.stack([np.linspace(0.0, 10.0, 21), np.zeros(21)], axis=-1)
ANGLE = np.linspace(0.0, 2 * np.pi, 240, endpoint=False)
CIRCLE = 5.0 * np.stack([np.cos(ANGLE), np.sin(ANGLE)], axis=-1)  # anticlockwise


def area(ring: np.ndarray) -> float:
    return float(shapely.Polygon(ring).area)


def test_left_of_a_line_to_the_right_is_up_and_of_a_ring_is_inward() -> None:
    assert np.allclose(left_of(STRAIGHT), [0.0, 1.0])
    assert np.allclose(left_of(CIRCLE, closed=True), -CIRCLE / 5.0, atol=1e-12)


def test_a_point_that_is_there_twice_has_no_side() -> None:
    assert np.all(np.isfinite(left_of(np.zeros((3, 2)))))


def test_a_ring_moved_inward_is_a_smaller_one() -> None:
    assert np.allclose(np.hypot(*shifted(CIRCLE, 2.0, closed=True).T), 3.0)


@pytest.mark.parametrize("ring", [CIRCLE, CIRCLE[::-1]])
def test_anticlockwise_turns_only_what_runs_the_other_way(ring: np.ndarray) -> None:
    assert np.array_equal(anticlockwise(ring), CIRCLE)


def test_a_band_has_length_times_depth() -> None:
    assert area(band(STRAIGHT, 1.5)) == pytest.approx(15.0)
    assert area(Edge(STRAIGHT).band(np.linspace(0.0, 2.0, 21))) == pytest.approx(10.0)


def test_a_pressed_line_is_as_wide_as_it_is_pressed() -> None:
    assert area(Edge(STRAIGHT).pressed(0.8)) == pytest.approx(8.0)
    with_pressure = Edge(STRAIGHT).pressed(np.linspace(0.0, 1.0, 21))
    assert area(with_pressure) == pytest.approx(5.0)
    assert np.ptp(with_pressure[:, 1]) == pytest.approx(1.0)


def test_length_runs_along_the_line() -> None:
    assert np.allclose(length(STRAIGHT), STRAIGHT[:, 0])
    # a chord of 1.5 degrees on a radius of 5
    assert length(CIRCLE)[-1] == pytest.approx(239 * 2 * 5.0 * np.sin(np.pi / 240))


def test_eased_goes_from_0_to_1_and_is_half_in_the_middle() -> None:
    assert eased(np.array([-1.0, 2.0, 3.0, 4.0, 9.0]), 2.0, 4.0).tolist() == [0.0, 0.0, 0.5, 1.0, 1.0]


def test_weights_rise_from_both_ends() -> None:
    weights = ends(STRAIGHT, 2.0, 0.25)
    assert weights[0] == weights[-1] == 0.25 and np.all(weights[4:-4] == 1.0)
    assert np.allclose(weights, weights[::-1])


def test_a_calmed_line_keeps_its_ends_and_a_straight_one_itself() -> None:
    assert np.allclose(calmed(STRAIGHT, 2.0), STRAIGHT)
    zigzag = STRAIGHT + np.stack([np.zeros(21), 0.5 * (-1.0) ** np.arange(21)], axis=-1)
    calm = calmed(zigzag, 2.0)
    assert np.allclose(calm[[0, -1]], zigzag[[0, -1]])
    assert np.ptp(calm[5:-5, 1]) < 0.1 * np.ptp(zigzag[5:-5, 1])
    assert np.array_equal(calmed(STRAIGHT[:4], 2.0), STRAIGHT[:4])


def test_a_batch_of_lines_gives_what_each_of_them_gives() -> None:
    lines = np.stack([STRAIGHT, 2.0 * STRAIGHT[::-1], STRAIGHT @ [[0.6, 0.8], [-0.8, 0.6]]])
    depth = np.linspace(0.5, 1.5, 21)
    for made in (lambda line: Edge(line).band(depth, 1.5), lambda line: Edge(line).pressed(depth), length, left_of):
        assert np.array_equal(made(lines), np.stack([made(line) for line in lines]))
