"""Where a tap's contact is broken: sections on both sides of the posture that is found."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.posture import Posture
from articulators.section import section
from vocaltract.airway.gaps import gaps
from vocaltract.motion.touching import touching
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import man


@pytest.mark.parametrize("vowel", ["i", "ɑ", "ɝ", "ə"])
def test_contact_is_broken_within_a_twentieth_of_the_way(vowel: str) -> None:
    tap, other = posture("ɾ").values, posture(vowel).values
    edge = touching("ɾ", vowel, man())
    share = float(np.linalg.norm(edge - tap) / np.linalg.norm(other - tap))
    assert 0 < share < 0.5
    near = np.array([share - 0.05, share + 0.05])[:, None]
    found = gaps(section(man().head, Posture(tap + near * (other - tap))))
    assert found.shut("coronal").tolist() == [True, False]


def test_a_lateral_opens_at_the_sides() -> None:
    """The tip stays on the ridge: what opens are the sides, at the share that the airway's limits name."""
    edge = touching("ɾ", "l", man())
    assert not np.array_equal(edge, posture("ɾ").values)
    assert np.isfinite(edge).all()


def test_it_is_kept_and_read_only() -> None:
    assert touching("ɾ", "i", man()) is touching("ɾ", "i", man())
    with pytest.raises(ValueError, match="read-only"):
        touching("ɾ", "i", man())[0] = 1.0
