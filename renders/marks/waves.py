"""Waves that stand for vibration: their shape, and how strong a vibration that is felt is drawn."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array, fraction

SWING_MM, PERIODS = 1.1, 2.5
PLAIN_FROM, FAINTEST = 0.2, 0.75  # what is felt at all is not drawn so faint that it is missed


def wave(at: Array, drift: float, upright: bool = False, length_mm: float = 6.0) -> Array:
    """A wave (31, 2) in mm about a point (2,); `drift` 0..1 is its phase."""
    s = np.linspace(0, 1, 31)
    across, along = SWING_MM * np.sin(2 * np.pi * (PERIODS * s - drift)), (s - 0.5) * length_mm
    return np.asarray(at) + np.stack([across, along] if upright else [along, across], axis=-1)


def felt_opacity(felt: float) -> float:
    """Opacity of the mark of a vibration felt 0..1."""
    return fraction(felt / PLAIN_FROM) * (FAINTEST + (1 - FAINTEST) * min(felt, 1.0))
