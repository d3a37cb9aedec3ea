"""Minimum-jerk curves, and the carrier from vowel to vowel, which shows where nothing else is asked (after S. E. G.
Ohman 1967)."""

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
