"""The numbers of the figure: typed, with a source, and inside it. No outside reference: rules of ours."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.tables.layout import MeasurementLayout, measurement_layout
from tests.planted import Planted, planted

TEXT = text_of("renders.tables", "layout.toml")


@pytest.mark.parametrize("fault", list(planted(TEXT)), ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, MeasurementLayout, "layout.toml")
    assert fault.said in str(caught.value)


def test_the_fields_lie_side_by_side_inside_the_figure() -> None:
    found = measurement_layout()
    boxes = [found.figure.card_px, found.areas.box_px, found.response.box_px]
    for (x, y, wide, high), after in zip(boxes, [*boxes[1:], None], strict=True):
        assert x > 0 and y + high < found.figure.height_px
        assert x + wide < (found.figure.width_px if after is None else after[0])
