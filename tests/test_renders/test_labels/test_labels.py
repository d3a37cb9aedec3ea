"""Label placement: properties for any anchors, and the limits told."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from renders.labels.placement import Columns, Placement, place

COLUMNS = Columns(330.0, 1270.0, 100.0, 1100.0, 27.0)
TEXTS = ["uvula", "soft palate (velum), raised", "tongue back", "hard palate", "larynx inlet", "jaw"]


def put(points, texts=None):
    texts = texts or [TEXTS[k % len(TEXTS)] for k in range(len(points))]
    return place(points, texts, COLUMNS)


anchors = st.lists(
    st.tuples(st.floats(341.0, 1259.0), st.floats(0.0, 1200.0)), min_size=0, max_size=24
)  # fmt: skip
grid_anchors = st.lists(
    st.tuples(st.integers(350, 360).map(float), st.integers(500, 510).map(float)), min_size=2, max_size=24
)


def check(points, placement) -> None:
    boxes = [shapely.box(*label.bounds) for label in placement.labels]
    for one, two in itertools.combinations(boxes, 2):
        assert one.intersection(two).area < 1e-6
    leaders = [shapely.LineString(label.leader) for label in placement.labels]
    for one, two in itertools.combinations(leaders, 2):
        assert (
            not one.crosses(two)
            or one.intersection(two).distance(shapely.MultiPoint([one.coords[1], two.coords[1]])) < 1e-6
        )
    for label, point in zip(placement.labels, points, strict=True):
        np.testing.assert_array_equal(label.leader[1], point)
        assert COLUMNS.top - 1e-6 <= label.y <= COLUMNS.bottom + 1e-6
    for side in ("left", "right"):
        heights = sorted(label.y for label in placement.labels if label.side == side)
        assert all(b - a >= 76.0 - 1e-6 for a, b in itertools.pairwise(heights))


@given(anchors)
@settings(max_examples=80, deadline=None, derandomize=True)
def test_no_overlap_and_no_crossing_for_any_anchors(points) -> None:
    """Boxes and crossings are judged by shapely, not by the code under test."""
    placement = put(np.array(points).reshape(-1, 2))
    check(points, placement)


@given(grid_anchors)
@settings(max_examples=40, deadline=None, derandomize=True)
def test_crowded_and_equal_anchors(points) -> None:
    placement = put(np.array(points))
    check(points, placement)


def clearance(placement: Placement) -> float:
    """The least distance of a leader from where another ends."""
    leaders = [label.leader for label in placement.labels]
    return min(
        shapely.distance(shapely.LineString(one), shapely.Point(other[1]))
        for one, other in itertools.permutations(leaders, 2)
    )


def test_checks_can_fail() -> None:
    points = np.array([(450.0, 300.0), (450.0, 700.0)])
    placement = put(points)
    first, second = placement.labels
    turned = [dataclasses.replace(first, leader=np.array([first.leader[0], second.leader[1]])),
              dataclasses.replace(second, leader=np.array([second.leader[0], first.leader[1]]))]  # fmt: skip
    with pytest.raises(AssertionError):
        check(points[::-1], dataclasses.replace(placement, labels=tuple(turned)))
    near = dataclasses.replace(first, leader=np.array([first.leader[0], second.leader[1] + [3.0, 0.0]]))
    assert clearance(dataclasses.replace(placement, labels=(near, second))) <= 3.0 < clearance(placement)


def test_lonely_label_stands_level_with_its_anchor_on_the_nearer_side() -> None:
    placement = put(np.array([(400.0, 640.0)]))
    (label,) = placement.labels
    assert (label.side, label.y) == ("left", 640.0)
    assert put(np.array([(1200.0, 640.0)])).labels[0].side == "right"


def test_leaders_keep_clear_of_foreign_anchors_where_there_is_room() -> None:
    """Spread anchors: 12 px is the layout's own requirement."""
    x, y = np.meshgrid(np.linspace(450, 1150, 4), np.linspace(200, 1000, 4))
    points = np.stack([x.ravel() + 11.0 * np.arange(16) % 37, y.ravel() + 17.0 * np.arange(16) % 41], axis=-1)
    placement = put(points)
    check(points, placement)
    assert clearance(placement) >= 12.0 - 1e-9


def test_order_of_input_is_order_of_output_and_repeatable() -> None:
    points = np.random.default_rng(5).uniform((350, 100), (1250, 1100), (12, 2))
    texts = [f"part {k}" for k in range(12)]
    first, second = put(points, texts), put(points, texts)
    assert [label.text for label in first.labels] == texts
    assert [label.y for label in first.labels] == [label.y for label in second.labels]


@pytest.mark.parametrize(
    ("points", "texts", "message"),
    [
        (np.full((30, 2), 500.0), None, r"30 labels do not fit; at most 28 at a pitch of 76 px"),
        (np.array([(100.0, 500.0)]), None, r"between x 340 and 1260"),
        (np.array([(np.nan, 500.0)]), None, r"finite"),
        (np.array([(500.0, 500.0)]), ["a", "b"], r"1 anchors need as many texts, got 2"),
    ],
)
def test_what_cannot_be_placed_is_told(points, texts, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        put(points, texts)
