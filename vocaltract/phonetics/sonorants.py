"""What l, r, w and j are asked to sound like: formants and least areas as wishes of the search for a posture.

Air passes these sounds without a hiss, so that they are told apart by formants as vowels are, and a contact or a
narrowing alone does not fix where the rest of the tongue lies.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from articulators.curves import Array
from articulators.head import Head
from articulators.posture import Posture
from articulators.section import section
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.resonance import formants
from vocaltract.phonetics.sized import consonant_wishes
from vocaltract.phonetics.targets import Target

THROAT, MOUTH = (1 / 6, 1 / 2), (1 / 2, 5 / 6)
"""Shares of the tract's length from the glottis in which it may not become too narrow."""


def sonorant_rows(target: Target, head: Head) -> Callable[[Posture], Array]:
    """What a target of a head asks of the sound: postures of shape (...) -> rows (..., k)."""
    own = consonant_wishes(head).sonorant
    least_throat = max(target.throat_cm2, own.least_throat_cm2)
    wanted, weights = np.log(np.array(target.formants_hz)), np.array(own.formants)

    def rows(posture: Posture) -> Array:
        areas = tract_areas(section(head, posture))
        found = formants(areas.length_cm, areas.area_cm2, count=len(wanted)).frequency_hz
        n = areas.area_cm2.shape[-1]
        throat, mouth = (areas.least_cm2[..., int(n * low) : int(n * high)] for low, high in (THROAT, MOUTH))
        return np.concatenate(
            [
                np.nan_to_num(np.log(found) - wanted, nan=1.0) * weights,
                own.narrow * np.minimum(throat - least_throat, 0),
                own.narrow * np.minimum(mouth - own.least_mouth_cm2, 0),
            ],
            axis=-1,
        )

    return rows
