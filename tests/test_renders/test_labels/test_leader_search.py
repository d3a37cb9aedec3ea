"""The search for places: geometry of segments by hand, and sums against trying every way."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from renders.labels import leader_search
from renders.labels.leader_search import Chosen, Spots, crossing, distance, searched, total
from renders.labels.table import label_table


def segment(*numbers: float) -> tuple[np.ndarray, np.ndarray]:
    return np.array(numbers[:2]), np.array(numbers[2:])


@pytest.mark.parametrize(
    ("one", "other", "crosses"),
    [
        (segment(0, 0, 10, 10), segment(0, 10, 10, 0), True),
        (segment(0, 0, 10, 10), segment(10, 10, 20, 0), False),  # a shared end
        (segment(0, 0, 10, 0), segment(0, 1, 10, 1), False),
        (segment(0, 0, 4, 4), segment(0, 10, 10, 0), False),  # it stops before
    ],
)
def test_crossing(one, other, crosses: bool) -> None:
    assert bool(crossing(*one, *other)) is crosses
    assert bool(crossing(*other, *one)) is crosses


def test_distance_is_that_of_the_nearest_point_and_endless_from_its_own_end() -> None:
    start, end = segment(0, 0, 10, 0)
    points = np.array([[5.0, 3.0], [13.0, 4.0], [-3.0, -4.0], [10.0, 0.0]])
    assert distance(start, end, points).tolist() == [3.0, 5.0, 5.0, np.inf]


def spots(ends: np.ndarray) -> Spots:
    count = len(ends)
    return Spots(
        ends[:, None], np.linspace(0.0, 300.0, 13), np.array([0.0, 500.0]), np.full((count, count), 100.0), 12.0,
        leader_search.free,
    )  # fmt: skip


def test_a_few_labels_are_placed_as_well_as_by_trying_every_way() -> None:
    ends = np.array([[120.0, 40.0], [130.0, 150.0], [400.0, 120.0], [250.0, 260.0]])
    where, slant = spots(ends), label_table().leader.slant_px_per_px
    found = total(where, searched(where, 4, 100.0, 0.0))
    best = np.inf
    for places in itertools.permutations([(side, y) for side in (0, 1) for y in where.heights[::2]], 4):
        if any(a[0] == b[0] and abs(a[1] - b[1]) < 100.0 for a, b in itertools.combinations(places, 2)):
            continue
        side, y = np.array([place[0] for place in places]), np.array([place[1] for place in places])
        run = ends - np.stack([where.start_x[side], y], axis=-1)
        own = np.hypot(run[:, 0], run[:, 1]) + slant * np.abs(run[:, 1])
        best = min(best, total(where, Chosen(side, y, ends, own)))
    assert found <= best + 1e-9


def test_what_a_leader_costs_counts_once_it_comes_too_near() -> None:
    leader = label_table().leader
    where = spots(np.array([[100.0, 50.0]]))
    near = leader_search._too_near(where, np.array([0.0, 6.0, 12.0, np.inf]))
    assert near.tolist() == [leader.near_px + leader.nearer_px, leader.near_px / 2 + leader.nearer_px, 0.0, 0.0]
