"""Movement with the least acceleration: of all ways to meet what sounds ask for, the smoothest.

A target that is asked for firmly is met; one that is asked for weakly, or for a short time, is fallen short of (B.
Lindblom 1963), the farther the faster one would have to move. Least squares: weight x (way - target)^2 + ease^4 x
acceleration^2 over time, one banded solution for all parts at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from articulators.curves import Array

LAPACK_BYTES = 1 << 27  # what LAPACK takes of address space as it is loaded, and for its buffers


@dataclass(frozen=True)
class Plateau:
    """A target asked for from `start_s` to `end_s`.

    values (parts,) are the target; weight (parts,) says how firmly each part is asked for: 0 = not at all.
    """

    start_s: float
    end_s: float
    values: Array
    weight: Array


def demand(base: Array, base_weight: float, plateaus: Sequence[Plateau], times_s: Array) -> tuple[Array, Array]:
    """Targets and weights (n, parts) at evenly spaced times (n,): plateaus, and everywhere weakly the base (n, parts).

    Where plateaus overlap, the target is their mean by weight. One shorter than a step counts for a step.
    """
    step = times_s[1] - times_s[0]
    weight = np.full_like(base, base_weight)
    pull = base_weight * base
    for plateau in plateaus:
        length = max(plateau.end_s - plateau.start_s, step)
        middle = (plateau.start_s + plateau.end_s) / 2
        first = max(int((middle - length / 2 - times_s[0]) / step), 0)
        last = min(int((middle + length / 2 - times_s[0]) / step) + 2, len(times_s))
        at = times_s[first:last]
        share = np.minimum(middle + length / 2, at + step / 2) - np.maximum(middle - length / 2, at - step / 2)
        firm = np.clip(share / step, 0, 1)[:, None] * plateau.weight
        weight[first:last] += firm
        pull[first:last] += firm * plateau.values
    return pull / weight, weight


def least_acceleration(target: Array, weight: Array, ease_s: Array, step_s: float) -> Array:
    """Ways (n, parts) for targets and weights (n, parts), weights above 0, at steps of step_s.

    ease_s (parts,) is how slow a part is: a target of weight 1 that changes faster than this is smoothed.
    """
    _check_room()
    from scipy.linalg.lapack import dpbsv

    count, parts = target.shape
    stiff = (np.asarray(ease_s) / step_s) ** 4
    # second differences, squared: 1 -4 6 -4 1, with free ends; the ways of all parts lie one after another
    main = np.full((parts, count), 6.0)
    main[:, [0, -1]], main[:, [1, -2]] = 1.0, 5.0
    first = np.full((parts, count), -4.0)
    first[:, [1, -1]] = -2.0
    second = np.ones((parts, count))
    first[:, 0], second[:, :2] = 0.0, 0.0
    bands = np.stack([second, first, main]).reshape(3, parts, count) * stiff[:, None]
    bands[2] += weight.T
    _, found, failed = dpbsv(bands.reshape(3, -1), (weight * target).T.reshape(-1, 1))
    if failed:
        raise ValueError("a part that nothing asks for has no way")
    return np.asarray(found).reshape(parts, count).T


@cache
def _check_room() -> None:
    """MemoryError where memory is too short for LAPACK: without room for its buffers OpenBLAS tries for ever."""
    np.empty(LAPACK_BYTES, np.uint8)
