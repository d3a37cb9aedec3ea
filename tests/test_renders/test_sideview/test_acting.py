"""What a sound works with, by its place in the IPA chart."""

from __future__ import annotations

import numpy as np
import pytest

from renders.sideview.acting import ActingTable, focus, resting
from tests.key_moments import key_moment
from tests.planted import refuses_planted_faults
from vocaltract.phonetics.inventory import sound


def test_a_fault_in_the_table_is_told() -> None:
    refuses_planted_faults("renders.sideview", "acting.toml", ActingTable)


@pytest.mark.parametrize(
    ("symbol", "free"),
    [
        ("p", {"tongue", "velum"}),
        ("t", {"lips", "velum"}),
        ("m", {"tongue"}),
        ("n", {"lips"}),
        ("w", set()),
        ("k", {"lips"}),
    ],
)
def test_organs_that_a_place_does_not_name_are_at_rest(symbol: str, free: set[str]) -> None:
    # labial, alveolar, velar, labial-velar; of nasals the soft palate is lowered
    assert resting(sound(symbol), key_moment(symbol).section) == free


def test_a_sound_is_made_where_it_touches() -> None:
    now = key_moment("t")
    places = focus(now, resting(sound("t"), now.section))
    assert places is not None
    line = now.contacts["coronal"]
    assert np.hypot(*(places - line[len(line) // 2]).T).min() < 1e-9


def test_nothing_stands_out_of_an_open_mouth_whose_lips_are_free() -> None:
    assert focus(key_moment("ɑ"), frozenset({"lips", "tongue"})) is None
