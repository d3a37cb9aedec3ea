"""How far a closure may be left before it opens: what the edges of a tap are planned by."""

from __future__ import annotations

from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.head import adult_male
from articulators.posture import Posture
from articulators.section import section
from vocaltract.airway.gaps import gaps
from vocaltract.phonetics.postures import posture

SHARES = np.linspace(0.0, 0.48, 7)


@cache
def touching(closed: str, other: str) -> Array:
    """The posture (parts,), read-only, at which a closure of the tip is broken on a straight way to another posture."""
    start, end = posture(closed).values, posture(other).values
    found = gaps(section(adult_male(), Posture(start + SHARES[:, None] * (end - start)), red=False))
    open_from = int(np.argmin([*found.shut("coronal"), False]))
    share = SHARES[max(open_from - 1, 0)]
    if 0 < open_from < len(SHARES) - 1:
        # between two of the measured postures: where a gap that grows evenly begins
        near, far = found.coronal[open_from : open_from + 2]
        back = np.clip(near / (far - near), 0.0, 1.0) if far > near > 0 else 0.5
        share = SHARES[open_from] - back * (SHARES[1] - SHARES[0])
    touching = np.asarray(start + share * (end - start))
    touching.setflags(write=False)
    return touching
