"""Lines of the small views in px: where they lie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from articulators.curves import Array

_Scalar = TypeVar("_Scalar", bound=np.generic)


@dataclass(frozen=True, eq=False)
class Place:
    """Where millimetres about a point lie in px: that point (2,) and px per mm (2,) across and down."""

    middle: Array
    scale: Array

    def px(self, points: ArrayLike) -> Array:
        """Points (..., 2) in mm, y down, in px."""
        return np.asarray(points, dtype=float) * self.scale + self.middle


def read_only(array: NDArray[_Scalar]) -> NDArray[_Scalar]:
    """The same array, made read-only, so that it may be kept."""
    array.flags.writeable = False
    return array


def line_of(x: Array, y: Array) -> Array:
    """The line (n, 2) through points of those x (n,) and y (n,)."""
    line = np.empty((len(x), 2))
    line[:, 0], line[:, 1] = x, y
    return line
