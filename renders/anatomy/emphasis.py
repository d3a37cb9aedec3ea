"""What of a moment is drawn, and what of it strong or pale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from renders.anatomy.plate import plate


@dataclass(frozen=True, eq=False)
class Emphasis:
    """How the organs of a moment are drawn.

    shown    organs to draw            resting  organs that the sound leaves free: drawn paler
    tint     0..1: how strongly the air that is shut in is tinted
    focus    (n, 2) mm, places that act: lines are stronger near them; None for everywhere the same
    """

    shown: frozenset[str]
    resting: frozenset[str] = frozenset()
    tint: float = 0.0
    focus: Array | None = None

    def shows(self, *organs: str) -> bool:
        """Whether any of these organs is drawn."""
        return any(organ in self.shown for organ in organs)

    def rests(self, organ: str) -> bool:
        """Whether the sound leaves an organ free."""
        return organ in self.resting


def focused(line: Array, focus: Array | None) -> Array:
    """Weights (n,) of a line: 1, and up to a half more near the places that act."""
    if focus is None or len(focus) == 0:
        return np.ones(len(line))
    apart = np.min(np.hypot(*np.moveaxis(line[:, None] - focus[None], -1, 0)), axis=1)
    hints = plate().focus
    return hints.elsewhere_share + hints.more_share * np.exp(-((apart / hints.reach_mm) ** 2))
