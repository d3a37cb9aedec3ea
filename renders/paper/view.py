"""A view: how millimetres of the head become pixels of a picture."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from articulators.curves import Array
from renders.paper.picture import Box


@dataclass(frozen=True)
class View:
    """Maps head millimetres (y up) to picture pixels (y down) inside a box.

    box        (x, y, width, height) in px: what is shown is clipped to it
    scale      px per mm
    centre_mm  the point of the head at the middle of the box
    """

    box: Box
    scale: float
    centre_mm: tuple[float, float]

    def px(self, points_mm: ArrayLike) -> Array:
        """Points (..., 2) in px."""
        centre, factor, middle = self._numbers
        return (np.asarray(points_mm, dtype=float) - centre) * factor + middle

    @cached_property
    def matrix(self) -> Array:
        """What `px` does as a matrix (2, 3): out = m[:, :2] @ in + m[:, 2]."""
        centre, factor, middle = self._numbers
        matrix = np.column_stack([np.diag(factor), middle - centre * factor])
        matrix.setflags(write=False)
        return matrix

    @cached_property
    def _numbers(self) -> tuple[Array, Array, Array]:
        x, y, width, height = self.box
        middle = np.array([x + width / 2, y + height / 2])
        return np.array(self.centre_mm), np.array([self.scale, -self.scale]), middle

    def line(self, at_four_px: float) -> float:
        """A line width that is given for 4 px per mm, at this view's scale, never thinner than half."""
        return at_four_px * max(self.scale / 4.0, 0.45)
