"""The cheapest assignment against scipy's, an implementation of its own (Crouse 2016)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from renders.labels.assignment import assigned


@pytest.mark.parametrize("rows", [1, 2, 5, 12, 18])
@pytest.mark.parametrize("spare", [0, 1, 7])
def test_sum_is_as_small_as_scipys(rows: int, spare: int) -> None:
    random = np.random.default_rng(rows * 100 + spare)
    for scale in (1.0, 300.0):
        cost = random.random((rows, rows + spare)) * scale - scale / 4
        chosen = assigned(cost)
        assert len(set(chosen.tolist())) == rows
        assert cost[np.arange(rows), chosen].sum() == pytest.approx(cost[linear_sum_assignment(cost)].sum())


def test_many_equal_costs_still_give_every_row_its_own_column() -> None:
    assert sorted(assigned(np.ones((6, 6))).tolist()) == list(range(6))


def test_too_few_columns_are_refused() -> None:
    with pytest.raises(ValueError, match="3 rows need as many columns, got 2"):
        assigned(np.ones((3, 2)))
