"""The plate's hints: faults of their file are refused, and what they say is drawn. Outside: none, a rule of ours."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.anatomy.plate import PlateHints, plate
from tests.planted import Planted, planted

TEXT = text_of("renders.anatomy", "plate.toml")
FAULTS = list(planted(TEXT))


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, PlateHints, "plate.toml")
    assert str(caught.value).startswith("plate.toml: ") and fault.said in str(caught.value)


def test_values_are_what_a_row_holds_beside_its_source() -> None:
    assert plate().floor.values() == {"rises_mm": plate().floor.rises_mm, "rises_share": plate().floor.rises_share}
