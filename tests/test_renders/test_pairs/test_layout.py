"""The numbers of a pair's layouts: typed, with a source, inside their pictures. No outside reference: rules of ours."""

from __future__ import annotations

import itertools

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.pairs.layout import PairLayout, film_layout, pair_layout
from renders.paper.picture import Box
from tests.planted import Planted, planted

TEXT = text_of("renders.pairs", "layout.toml")


@pytest.mark.parametrize("fault", list(planted(TEXT)), ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, PairLayout, "layout.toml")
    assert fault.said in str(caught.value)


def apart(a: Box, b: Box) -> bool:
    return a[0] + a[2] <= b[0] or b[0] + b[2] <= a[0] or a[1] + a[3] <= b[1] or b[1] + b[3] <= a[1]


def test_cards_and_tracks_lie_inside_their_pictures_and_apart() -> None:
    numbers = pair_layout()
    page = numbers.picture
    sheets = [(page.width_px, page.height_px, [*map(page.card_box, range(3)), page.tracks_px])]
    sheets += [(one.width_px, one.height_px, [*one.cards_px, one.tracks_px]) for one in (numbers.wide, numbers.tall)]
    for wide, high, boxes in sheets:
        assert all(x >= 0 and x + w <= wide and y >= 0 and y + h <= high for x, y, w, h in boxes)
        assert all(apart(a, b) for a, b in itertools.combinations(boxes, 2))


def test_a_film_takes_the_layout_that_fills_more_of_it() -> None:
    assert film_layout((1280, 720)) == pair_layout().wide and film_layout((720, 1280)) == pair_layout().tall
