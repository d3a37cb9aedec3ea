"""What sound loses in the tract: series impedance and shunt admittance of a tube, and the load of an opening.

Everything is a function of the complex angular frequency s (1/s), so that resonances and their bandwidths are
zeros in the plane of s. Units are cgs: cm, g, s, dyn; acoustic impedance in dyn s/cm5.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array
from articulators.errors import BadInput
from articulators.records import Record, Row, table

Complex: TypeAlias = NDArray[np.complex128]
SPEED_RANGE_CM_S = (20000.0, 120000.0)  # any gas that could be meant: below carbon dioxide, above helium


class SoundingAir(Row, frozen=True):
    """The air that sound goes through."""

    density_g_cm3: float
    sound_speed_cm_s: float


class FrictionLoss(Row, frozen=True):
    """Air rubbing on the walls, and heat that flows into them."""

    viscosity: float
    heat_conduction: float
    specific_heat: float
    heat_ratio: float


class WallLoss(Row, frozen=True):
    """Impedance of a wall that yields."""

    mass_g_cm2: float
    resistance: float


class LipLoad(Row, frozen=True):
    """The opening as a piston in a baffle."""

    resistance_share: float
    mass_radii: float


class NoseCavity(Row, frozen=True):
    """The cavity from the port to the nostrils, in sections of equal length."""

    length_cm: float
    area_cm2: tuple[float, ...]


class Acoustics(Record, frozen=True):
    """data/acoustics.toml."""

    air: SoundingAir
    friction: FrictionLoss
    walls: WallLoss
    lips: LipLoad
    nose: NoseCavity


@cache
def acoustics() -> Acoustics:
    """The numbers of sound in the tract."""
    return table("vocaltract.airway", "acoustics.toml", Acoustics)


@dataclass(frozen=True, slots=True)
class Losses:
    """How much of each loss is counted, 0 (none) to 1 (as in data/acoustics.toml).

    walls      walls that yield                  radiation  sound that leaves the lips (its mass counts in full)
    friction   viscous friction and heat         mass       mass of the air in front of the lips
    """

    walls: float = 1.0
    friction: float = 1.0
    radiation: float = 1.0
    mass: float = 1.0

    def scaled(self, share: float) -> Losses:
        """The same with a share of every loss; the mass at the lips, which loses nothing, stays."""
        return replace(self, walls=self.walls * share, friction=self.friction * share, radiation=self.radiation * share)


ALL = Losses()


@dataclass(frozen=True, slots=True)
class Medium:
    """Air of a density (g/cm3) and a speed of sound (cm/s)."""

    density: float
    speed: float


def medium(sound_speed_cm_s: float | None = None) -> Medium:
    """The air of the data file, or with another speed of sound; BadInput for a speed that no breathable gas has."""
    own = acoustics().air
    speed = float(own.sound_speed_cm_s if sound_speed_cm_s is None else sound_speed_cm_s)
    low, high = SPEED_RANGE_CM_S
    if not low <= speed <= high:
        raise BadInput(f"speed of sound {speed:g} cm/s; allowed is {low:g} to {high:g} (warm moist air: 35000)")
    return Medium(own.density_g_cm3, speed)


def series_and_shunt(s: Complex, area_cm2: Array, air: Medium, losses: Losses) -> tuple[Complex, Complex]:
    """Series impedance and shunt admittance for each cm of a round tube; s and area broadcast.

    Friction and heat follow the square root of frequency; the root of s/i continues it off the axis.
    """
    area = np.asarray(area_cm2, dtype=float)
    stiffness = air.density * air.speed**2
    series = s * air.density / area
    shunt = s * area / stiffness
    if not (losses.friction or losses.walls):
        return series, shunt
    around = 2 * np.sqrt(np.pi * area)
    if losses.friction:
        rub = acoustics().friction
        root = np.sqrt(s / 1j)
        series = series + losses.friction * (around / area**2) * np.sqrt(air.density * rub.viscosity / 2) * root
        heat = np.sqrt(rub.heat_conduction / (2 * rub.specific_heat * air.density)) * (rub.heat_ratio - 1)
        shunt = shunt + losses.friction * around / stiffness * heat * root
    if losses.walls:
        wall = acoustics().walls
        shunt = shunt + losses.walls * around / (wall.mass_g_cm2 * s + wall.resistance)
    return series, shunt


def opening(s: Complex, area_cm2: Array, air: Medium, losses: Losses) -> Complex:
    """Acoustic impedance of an opening into free air: piston in a baffle; 0 where its mass is not counted."""
    area = np.asarray(area_cm2, dtype=float)
    if not losses.mass:
        return np.zeros(np.broadcast_shapes(np.shape(s), area.shape), dtype=complex)
    lips = acoustics().lips
    mass = s * losses.mass * lips.mass_radii * np.sqrt(area / np.pi) * air.density / area
    resistance = lips.resistance_share * air.density * air.speed / area
    return mass / (1 + losses.radiation * mass / resistance)


def end_correction_cm(area_cm2: Array) -> Array:
    """Length (cm) by which the mass of air at the opening seems to lengthen the tract."""
    return acoustics().lips.mass_radii * np.sqrt(np.asarray(area_cm2, dtype=float) / np.pi)
