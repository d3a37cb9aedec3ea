"""A display list that changes with time, as numbers. Outside: trigonometry; the rest is a property."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pytest

from renders.page.display_film import display_film, lasting
from renders.page.display_list import Scale
from renders.page.pack import packed, unpacked
from renders.paper.picture import Dots, Fill, Group, Op, Path, Stroke

SCALE = Scale(within_mm=0.01, width=1.0, per_mm=4.0, upwards=True)
X = np.linspace(0.0, 40.0, 81)


def wave(phase: float, at: float = 0.0) -> Op:
    line = np.stack([X, at - 8.0 * np.sin(2 * np.pi * (X / 16.0 - phase))], axis=-1)
    return Stroke(Path.line(line), "voice", 2.8, name="wave")


def bar(x: float, opacity: float = 1.0) -> Op:
    return Stroke(Path.line([[x, 0.0], [x + 8.0, -4.0]]), "contact", 5.3, opacity=opacity, dash=(4.0, 2.0), name="bar")


def test_a_drifting_line_comes_back_at_any_phase() -> None:
    made, tables = display_film("a", [lambda phase: [wave(phase)]] * 2, SCALE, 0.01)
    ((count, closed, drifts),) = made["lines"]
    assert (closed, drifts) == (0, 1)
    middle, c, s = np.split(unpacked(*packed(tables))["a"][0], 3)
    for phase in (0.1, 0.25, 0.6, 0.9):
        drawn = (middle + c * np.cos(2 * np.pi * phase) + s * np.sin(2 * np.pi * phase)).reshape(-1, 2)
        assert len(drawn) == count // 2
        # a sine of 2 mm and a period of 4 mm, y up
        np.testing.assert_allclose(drawn[:, 1], 2.0 * np.sin(2 * np.pi * (drawn[:, 0] / 4.0 - phase)), atol=0.03)


def test_what_is_not_drawn_keeps_its_place_and_has_no_opacity() -> None:
    made, tables = display_film("a", [lambda _: [], lambda _: [bar(8.0, 0.5)], lambda _: []], SCALE, 0.01)
    values = unpacked(*packed(tables))
    np.testing.assert_allclose(values["a"], [[2.0, 0.0, 4.0, 1.0]] * 3)
    np.testing.assert_allclose(values["a_opacity"], [[0.0], [0.5], [0.0]])
    assert made["rows"] == [["contact", 5.3, [1.0, 0.5], 0, 0, None, [0], "bar"]]


def test_an_edge_shares_the_line_of_its_area_and_order_is_kept() -> None:
    ring = Path.polygon([[0.0, 0.0], [8.0, 0.0], [8.0, 8.0]])

    def first(_: float) -> Iterable[Op]:
        return [Fill(ring, "mover"), Stroke(ring, "ink", 2.0)]

    def second(_: float) -> Iterable[Op]:
        return [Fill(ring, "mover"), Group((bar(1.0),)), Stroke(ring, "ink", 2.0), Dots([[4.0, 4.0]], 1.0, "air")]

    made, _ = display_film("a", [first, second], SCALE, 0.01)
    assert [row[0] for row in made["rows"]] == ["mover", "contact", "ink", "air"]
    fill, _, edge, _ = (row[6] for row in made["rows"])
    assert fill == edge


def test_a_group_that_is_carried_is_refused() -> None:
    carried = Group((bar(1.0),), transform=np.array([[1.0, 0.0, 3.0], [0.0, 1.0, 0.0]]))
    with pytest.raises(ValueError, match="transform"):
        display_film("a", [lambda _: [carried]], SCALE, 0.01)


def test_numbers_last_until_the_next_ones() -> None:
    nan = np.nan
    found = lasting(np.array([[nan, nan, 1.0], [2.0, nan, nan], [nan, nan, 3.0], [4.0, nan, nan]]))
    np.testing.assert_array_equal(found, [[2.0, 0.0, 1.0], [2.0, 0.0, 1.0], [2.0, 0.0, 3.0], [4.0, 0.0, 3.0]])
