"""The numbers of a page: typed, with a source, small enough for what is asked. No outside reference: rules of ours."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.page.settings import Settings, settings
from tests.planted import Planted, planted

TEXT = text_of("renders.page", "settings.toml")


@pytest.mark.parametrize("fault", list(planted(TEXT)), ids=lambda fault: fault.fault)
def test_a_planted_fault_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        parsed(fault.text, Settings, "settings.toml")
    assert fault.said in str(caught.value)


def test_a_loop_repeats_at_most_twice_a_second() -> None:
    # source: WCAG 2.2, 2.3.1: at most three flashes a second; closure and release of a loop are two changes
    assert settings().playing.least_loop_s >= 0.5


def test_left_out_points_and_rounding_stay_within_a_tenth_of_a_millimetre() -> None:
    look = settings().outlines
    # the error of a rounded coordinate is half a step in x and in y
    assert look.within_mm + look.step_mm / 2 * 2**0.5 <= 0.1
    assert look.signal_hz >= look.rate_hz >= look.long_rate_hz
