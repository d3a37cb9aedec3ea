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

    def counted(head: object, posture: Posture) -> Section:
        sizes.append(len(posture.values))
        return real(head, posture)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "section", counted)
    monkeypatch.setattr(module, "AT_ONCE", 50)
    parted = timeline(read("good day"))
    assert max(sizes) == 50
    assert sizes.count(50) > 1
    assert parted.closures == whole.closures
    at = np.arange(0, whole.duration_s, 0.003)
    for name in module.Moment.__dataclass_fields__:
        np.testing.assert_array_equal(getattr(parted.moment(at), name), getattr(whole.moment(at), name), err_msg=name)
