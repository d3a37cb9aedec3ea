"""The numbers along an axis of time: typed, with a source. No outside reference: rules of ours."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.tracks.layout import TracksLayout, tracks_layout
from tests.planted import Planted, planted

TEXT = text_of("renders.tracks", "layout.toml")


@pytest.mark.parametrize("fault", list(planted(TEXT)), ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, TracksLayout, "layout.toml")
    assert fault.said in str(caught.value)


def test_rows_fit_into_the_figure() -> None:
    page = tracks_layout().timing
    rows = 6 * (page.track_px + page.apart_px) + page.voice_px + page.apart_px + page.stops_px
    assert sum(page.sounds_px) < page.first_px and page.first_px + rows < page.height_px
