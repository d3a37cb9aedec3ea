"""What sound loses in the tract: series impedance and shunt admittance of a tube, and the load of an opening.

Everything is a function of the complex angular frequency s (1/s), so that resonances and their bandwidths are
zeros in the plane of s. Units are cgs: cm, g, s, dyn; acoustic impedance in dyn s/cm5.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array
from articulators.errors import BadInput

Complex: TypeAlias = NDArray[np.complex128]
SPEED_RANGE_CM_S = (20000.0, 120000.0)  # any gas that could be meant: below carbon dioxide, above helium


@cache
def numbers() -> Mapping[str, Any]:
    """data/acoustics.toml, parsed."""
    text = resources.files("vocaltract.airway").joinpath("data/acoustics.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


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
NONE = Losses(0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Medium:
    """Air of a density (g/cm3) and a speed of sound (cm/s)."""

    density: float
    speed: float


def medium(sound_speed_cm_s: float | None = None) -> Medium:
    """The air of the data file, or with another speed of sound; BadInput for a speed that no breathable gas has."""
    air = numbers()["air"]
    speed = float(air["sound_speed_cm_s"] if sound_speed_cm_s is None else sound_speed_cm_s)
    low, high = SPEED_RANGE_CM_S
    if not low <= speed <= high:
        raise BadInput(f"speed of sound {speed:g} cm/s; allowed is {low:g} to {high:g} (warm moist air: 35000)")
    return Medium(float(air["density_g_cm3"]), speed)


def line(s: Complex, area_cm2: Array, air: Medium, losses: Losses) -> tuple[Complex, Complex]:
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
        rub = numbers()["friction"]
        root = np.sqrt(s / 1j)
        series = series + losses.friction * (around / area**2) * np.sqrt(air.density * rub["viscosity"] / 2) * root
        heat = np.sqrt(rub["heat_conduction"] / (2 * rub["specific_heat"] * air.density)) * (rub["heat_ratio"] - 1)
        shunt = shunt + losses.friction * around / stiffness * heat * root
    if losses.walls:
        wall = numbers()["walls"]
        shunt = shunt + losses.walls * around / (wall["mass_g_cm2"] * s + wall["resistance"])
    return series, shunt


def opening(s: Complex, area_cm2: Array, air: Medium, losses: Losses) -> Complex:
    """Acoustic impedance of an opening into free air: piston in a baffle; 0 where its mass is not counted."""
    area = np.asarray(area_cm2, dtype=float)
    if not losses.mass:
        return np.zeros(np.broadcast_shapes(np.shape(s), area.shape), dtype=complex)
    lips = numbers()["lips"]
    mass = s * losses.mass * lips["mass_radii"] * np.sqrt(area / np.pi) * air.density / area
    resistance = lips["resistance_share"] * air.density * air.speed / area
    return mass / (1 + losses.radiation * mass / resistance)


def end_correction_cm(area_cm2: Array) -> Array:
    """Length (cm) by which the mass of air at the opening seems to lengthen the tract."""
    return numbers()["lips"]["mass_radii"] * np.sqrt(np.asarray(area_cm2, dtype=float) / np.pi)
