"""Each fact of an instant is decided once, for a number as for an array. Outside: what is named beside the checks."""

from __future__ import annotations

import numpy as np
import pytest

from tests.planted import refuses_planted_faults
from tests.spoken import said
from vocaltract.motion import limits as decided
from vocaltract.motion.limits import MotionLimits


def test_a_fault_in_the_table_is_told() -> None:
    refuses_planted_faults("vocaltract.motion", "limits.toml", MotionLimits)


def test_a_reader_that_takes_any_key_does_not_pass() -> None:
    with pytest.raises(pytest.fail.Exception, match="DID NOT RAISE"):
        refuses_planted_faults("vocaltract.motion", "limits.toml", dict[str, dict[str, float | str]])


@pytest.mark.parametrize("name", ["flows", "vibrates", "folds_together", "port_open", "hisses"])
def test_an_array_is_decided_as_its_numbers_are(name: str) -> None:
    decide = getattr(decided, name)
    values = np.array([0.0, 0.05, 0.49, 0.5, 0.9, 1.0, 1.69, 1.7, 24.9, 25.0, 59.0, 60.0, 300.0])
    assert decide(values).tolist() == [bool(decide(float(value))) for value in values]


def test_folds_vibrate_only_together() -> None:
    # folds that are apart do not vibrate: any phonetics text
    for text in ("front desk", "towel", "good night"):
        shown = said(text)
        times = np.arange(0, shown.duration_s, 0.001)
        vibrates = decided.vibrates(shown.moment(times).voice)
        together = decided.folds_together(shown.posture(times)["glottis_mm"])
        assert vibrates.any() and np.all(together[vibrates])
        assert np.array_equal(vibrates, shown.moment(times).voicing > 0)
