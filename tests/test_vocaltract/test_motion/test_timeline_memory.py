"""A long text takes no more memory than a short one: no call measures more sections than a fixed number."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.posture import Posture
from articulators.section import Section
from vocaltract.motion import timeline as module
from vocaltract.motion.timeline import timeline
from vocaltract.words.text.transcribe import read


def test_sections_are_measured_in_batches_that_do_not_change_what_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = timeline(read("good day"))
    real, sizes = module.section, []

    def counted(head: object, posture: Posture, red: bool = True) -> Section:
        sizes.append(len(posture.values))
        return real(head, posture, red)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "section", counted)
    monkeypatch.setattr(module, "GAPS_AT_ONCE", 50)
    parted = timeline(read("good day"))
    assert max(sizes) == 50
    assert sizes.count(50) > 1
    assert parted.closures == whole.closures
    at = np.arange(0, whole.duration_s, 0.003)
    for name in module.Signals.__dataclass_fields__:
        np.testing.assert_array_equal(getattr(parted.moment(at), name), getattr(whole.moment(at), name), err_msg=name)


def test_what_a_timeline_gives_cannot_be_changed() -> None:
    made = timeline(read("key"))
    at = np.array([0.1, 0.3])
    posture = made.posture(at)
    given = [posture.values, posture["jaw_mm"], made.posture(np.asarray(0.2)).values]
    given += [getattr(made.moment(at), name) for name in module.Signals.__dataclass_fields__]
    for array in given:
        with pytest.raises(ValueError, match="read-only"):
            array[...] = 1.0
