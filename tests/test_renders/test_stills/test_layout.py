"""The numbers of the layouts: typed, with a source, and inside their pictures. No outside reference: rules of ours."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.stills.layout import StillLayout, still_layout
from tests.planted import Planted, planted

TEXT = text_of("renders.stills", "layout.toml")


@pytest.mark.parametrize("fault", list(planted(TEXT)), ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, StillLayout, "layout.toml")
    assert fault.said in str(caught.value)


def test_cards_lie_inside_their_pictures() -> None:
    found = still_layout()
    for box, page in ((found.still.card_px, found.still), (found.strip.box_px, found.strip)):
        x, y, wide, high = box
        assert x >= 0 and x + wide <= page.width_px and y >= 0 and y + high <= page.height_px


def test_the_whole_nose_takes_more_of_the_head() -> None:
    close, whole = still_layout().still.view(), still_layout().still.view(nose=True)
    assert whole.scale < close.scale and whole.box == close.box
