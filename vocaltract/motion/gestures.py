"""Movements of one group of articulators: plateaus of consonants over a vowel-to-vowel carrier.

A plateau claims its articulators fully while it holds; between plateaus the carrier shows through
(after S. E. G. Ohman 1967). All movements are minimum-jerk curves.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from articulators.curves import Array


def minimum_jerk(x: Array) -> Array:
    """Smooth 0-to-1 curve of x in 0..1 (clipped outside): velocity and acceleration are 0 at both ends."""
    x = np.clip(x, 0, 1)
    return x**3 * (10 + x * (6 * x - 15))


@dataclass(frozen=True)
class Plateau:
    """A target held from `start_s` to `end_s`, reached in `approach_s`, left in `leave_s`.

    values (parts,) are the target; claim (parts,) in 0..1 is how much of each part it takes from the carrier.
    """

    start_s: float
    end_s: float
    approach_s: float
    leave_s: float
    values: Array
    claim: Array


@dataclass(frozen=True)
class Knot:
    """The carrier stands at `values` (parts,) from `start_s` to `end_s`."""

    start_s: float
    end_s: float
    values: Array


def carrier(knots: list[Knot], times_s: Array) -> Array:
    """Carrier values (n, parts) at times (n,): each knot held, minimum jerk between them."""
    out = np.empty((len(times_s), len(knots[0].values)))
    out[:] = knots[0].values
    for before, after in pairwise(knots):
        span = max(after.start_s - before.end_s, 1e-6)
        share = minimum_jerk((times_s - before.end_s) / span)[:, None]
        later = times_s >= before.end_s
        out[later] = (before.values + share * (after.values - before.values))[later]
    return out


def laid_over(base: Array, plateaus: list[Plateau], times_s: Array) -> Array:
    """Plateaus over a carrier, (n, parts). Movements between plateaus closer than their own time cross-fade."""
    total = np.zeros((len(times_s), 1))
    moved = np.zeros_like(base)
    ordered = sorted(plateaus, key=lambda p: p.start_s)
    for i, plateau in enumerate(ordered):
        rise, fall = plateau.approach_s, plateau.leave_s
        if i > 0:
            rise = min(rise, max(plateau.start_s - ordered[i - 1].end_s, 1e-4))
        if i + 1 < len(ordered):
            fall = min(fall, max(ordered[i + 1].start_s - plateau.end_s, 1e-4))
        weight = minimum_jerk((times_s - plateau.start_s + rise) / rise)
        weight = weight * (1 - minimum_jerk((times_s - plateau.end_s) / fall))
        moved += weight[:, None] * plateau.claim * (plateau.values - base)
        total += weight[:, None]
    return base + moved / np.maximum(total, 1.0)
