"""The jaw turns about one hinge; whatever rides on it turns by a share of the same angle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array, rotate
from articulators.head import Head


def opening_angle_rad(head: Head, opening_mm: Array) -> Array:
    """Rotation (...) for an incisor opening (...) in mm: opening over the edge's horizontal radius.

    The opening is the way of the lower edge along its arc; arc and chord agree within 1 % to 20 mm. Straight down the
    gap is up to 7 % less at 20 mm, because the edge also moves back.
    """
    radius = head.jaw.hinge[0] - head.jaw.lower_incisor[0, 0]
    return np.asarray(opening_mm) / radius


def carry(head: Head, points: Array, opening_mm: Array, share: Array | float = 1.0, from_mm: float = 0.0) -> Array:
    """Points (..., n, 2) turned with the jaw from an opening `from_mm` to `opening_mm` (...).

    `share` (n,) is the part of the angle each point follows.
    """
    angle = opening_angle_rad(head, np.asarray(opening_mm) - from_mm)
    return rotate(points, head.jaw.hinge, angle[..., None] * np.asarray(share))


def motion(head: Head, opening_mm: float) -> NDArray[np.float64]:
    """What `carry` does with whatever rides on the jaw whole, as a matrix (2, 3): out = m[:, :2] @ in + m[:, 2]."""
    hinge, angle = head.jaw.hinge, float(opening_angle_rad(head, np.asarray(opening_mm)))
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return np.asarray(np.column_stack([turn, hinge - turn @ hinge]), dtype=np.float64)
