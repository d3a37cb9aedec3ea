"""From where on the ways of the air count as open: the one place that decides it for air, closures and pictures."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array, Bools
from articulators.records import Record, Row, table
from vocaltract.airway.channel import Channel


class Sides(Row, frozen=True):
    """Sides of the tongue, lowered by a share 0..1."""

    open_from: float


class Seam(Row, frozen=True):
    """Where the midline is shut: a channel narrower than `width_mm` at a gridline beyond `above_gridline`."""

    width_mm: float
    above_gridline: int


class HissGap(Row, frozen=True):
    """The widest narrowing through which air can hiss."""

    gap_mm: float


class AirwayLimits(Record, frozen=True):
    """data/limits.toml."""

    sides: Sides
    hiss: HissGap
    seam: Seam


def airway_limits() -> AirwayLimits:
    """The limits, with their sources."""
    return table("vocaltract.airway", "limits.toml", AirwayLimits)


def sides_open(lowered: Array | float) -> Bools:
    """Where (...) air passes beside a tongue that touches in the midline; `lowered`: its sides, a share 0..1."""
    return np.asarray(lowered) >= airway_limits().sides.open_from


def sealed(gap_mm: Array | float) -> Bools:
    """Where (...) a gap is so narrow that it is shut."""
    return np.asarray(gap_mm) < airway_limits().seam.width_mm


def narrow(gap_mm: Array | float) -> Bools:
    """Whether (...) a gap is as narrow as that of a hiss; a gap of 0 is shut."""
    return (np.asarray(gap_mm) > 0) & (np.asarray(gap_mm) < airway_limits().hiss.gap_mm)


def seam(channel: Channel) -> int | None:
    """The first gridline, from the throat on, at which the midline of one channel is shut; None where it is open."""
    row = airway_limits().seam
    shut = np.flatnonzero(sealed(channel.width_mm) & (np.arange(len(channel.width_mm)) > row.above_gridline))
    return int(shut[0]) if len(shut) else None
