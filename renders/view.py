"""A view: how millimetres of the head become pixels of a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class View:
    """Maps head millimetres (y up) to picture pixels (y down) inside a box.

    box        (x, y, width, height) in px: what is shown is clipped to it
    scale      px per mm
    centre_mm  the point of the head at the middle of the box
    """

    box: tuple[float, float, float, float]
    scale: float
    centre_mm: tuple[float, float]

    def px(self, points_mm: ArrayLike) -> NDArray[np.float64]:
        """Points (..., 2) in px."""
        points = np.asarray(points_mm, dtype=float)
        x, y, width, height = self.box
        out = np.empty(points.shape)
        out[..., 0] = x + width / 2 + (points[..., 0] - self.centre_mm[0]) * self.scale
        out[..., 1] = y + height / 2 - (points[..., 1] - self.centre_mm[1]) * self.scale
        return out

    def line(self, at_four_px: float) -> float:
        """A line width that is given for 4 px per mm, at this view's scale, never thinner than half."""
        return at_four_px * max(self.scale / 4.0, 0.45)
