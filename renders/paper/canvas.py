"""What marks are drawn on: a view, and the style that they are drawn in."""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from articulators.curves import Array
from renders.paper.style import Style
from renders.paper.view import View


@dataclass(frozen=True)
class Canvas:
    """A view in a style."""

    view: View
    style: Style

    @property
    def scale(self) -> float:
        """Px per mm."""
        return self.view.scale

    def px(self, points_mm: ArrayLike) -> Array:
        """Points (..., 2) of the head in px."""
        return self.view.px(points_mm)

    def line(self, part: str) -> float:
        """Width in px of that part's line at the scale of the view."""
        return self.view.line(self.style.line(part))
