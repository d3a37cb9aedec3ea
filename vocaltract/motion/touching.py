"""How far a closure of the tip may be left before it opens: what the edges of a tap are planned by."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from articulators.curves import Array
from articulators.posture import Posture
from articulators.section import section
from vocaltract.airway.gaps import gaps
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker

SHARES = np.linspace(0.0, 0.48, 7)  # of the way, at which the gap is measured; a tap opens sooner


@lru_cache(maxsize=512)
def touching(closed: str, other: str, speaker: Speaker) -> Array:
    """The posture (parts,), read-only, at which a closure of the tip opens on the straight way to another posture."""
    start, end = posture(closed, speaker).values, posture(other, speaker).values
    found = gaps(section(speaker.head, Posture(start + SHARES[:, None] * (end - start)), red=False))
    first = int(np.argmin([*found.shut("coronal"), False]))  # that is open
    share = SHARES[max(first - 1, 0)]
    if 0 < first < len(SHARES) - 1:
        # between two of the measured postures: where a gap that grows evenly begins
        near, far = found.coronal[first : first + 2]
        back = np.clip(near / (far - near), 0.0, 1.0) if far > near > 0 else 0.5
        share = SHARES[first] - back * (SHARES[1] - SHARES[0])
    values = np.asarray(start + share * (end - start))
    values.setflags(write=False)
    return values
