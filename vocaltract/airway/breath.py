"""Air behind and through the openings: pressure by the gas law with wall give, flow by the orifice law.

One cavity between the folds and the openings of mouth and nose. Holds for the slow pressures and flows of
speech (below about 50 Hz); sound itself is not modelled here.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import numpy as np

from articulators.curves import Array
from vocaltract.airway.gaps import Gaps

CM2_TO_M2 = 1e-4
M3_TO_ML = 1e6


@cache
def constants() -> Mapping[str, Any]:
    """data/air.toml, parsed."""
    text = resources.files("vocaltract.airway").joinpath("data/air.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@dataclass(frozen=True)
class Openings:
    """Areas in cm2, each (n,): glottis, mouth (its narrowest place) and port to the nose."""

    glottis: Array
    mouth: Array
    port: Array


@dataclass(frozen=True)
class Air:
    """Air at times (n,).

    pressure_pa      above the folds, over the outside          mouth_ml_s, nose_ml_s   flows out
    share            pressure over lung pressure, 0..1          glottis_ml_s            flow through the folds
    """

    pressure_pa: Array
    share: Array
    mouth_ml_s: Array
    nose_ml_s: Array
    glottis_ml_s: Array


def openings(gaps: Gaps, glottis_mm: Array, sides_open: Array) -> Openings:
    """Areas from the gaps measured on the section (see data/air.toml for the rules and their sources)."""
    table = constants()["opening"]
    coronal = table["coronal_width_cm"] * gaps.coronal / 10
    coronal = coronal + table["beside_tongue_cm2"] * sides_open
    dorsal = table["dorsal_alpha"] * (gaps.dorsal / 10) ** 1.5
    dorsal = dorsal + table["beside_tongue_cm2"] * sides_open
    lips = table["lips_width_cm"] * np.minimum(gaps.lips, gaps.teeth) / 10
    throat = table["throat_width_cm"] * np.minimum(gaps.throat, gaps.leaf) / 10 * np.pi / 4
    mouth = np.minimum(np.minimum(coronal, dorsal), np.minimum(lips, throat))
    folds = constants()["glottis"]
    area = np.maximum(folds["voicing_area_cm2"], glottis_mm * folds["length_mm"] / 2 / 100)
    return Openings(area, mouth, table["port_width_cm"] * gaps.port / 10)


def flow_ml_s(area_cm2: Array | float, drop_pa: Array | float) -> Array:
    """Orifice law: flow through an area at a pressure drop, signed as the drop."""
    density = constants()["air"]["density_kg_m3"]
    speed = np.sqrt(2 * np.abs(drop_pa) / density)
    return np.sign(drop_pa) * np.asarray(area_cm2) * CM2_TO_M2 * speed * M3_TO_ML


def breathe(times_s: Array, areas: Openings, lung_pa: Array, give: Array | float = 1.0) -> Air:
    """Pressure and flows (n,) at rising times (n,) for openings and lung pressure given at those times.

    `give` (n,) multiplies the walls' compliance (above 1: the cavity is enlarged on purpose).

    Backward Euler on the cavity's volume balance, so that wide openings need no small steps.
    """
    law = constants()["air"]
    compliance = np.broadcast_to(law["wall_compliance_m3_pa"] * np.asarray(give), (len(times_s),))
    density = law["density_kg_m3"]
    root = np.sqrt(2 / density) * CM2_TO_M2
    n = len(times_s)
    pressure = np.zeros(n)
    steps = np.diff(times_s, prepend=times_s[0])
    out_area = areas.mouth + areas.port
    p = _balance(lung_pa[0], areas.glottis[0], out_area[0])
    for i in range(n):
        p = _implicit(p, steps[i] / compliance[i], areas.glottis[i] * root, out_area[i] * root, lung_pa[i])
        pressure[i] = p
    full = law["lung_pressure_pa"]
    return Air(
        pressure_pa=pressure,
        share=np.clip(pressure / full, 0, 1),
        mouth_ml_s=flow_ml_s(areas.mouth, pressure),
        nose_ml_s=flow_ml_s(areas.port, pressure),
        glottis_ml_s=flow_ml_s(areas.glottis, lung_pa - pressure),
    )


def _balance(lung: float, inlet: float, outlet: float) -> float:
    """Steady pressure between two orifices in series."""
    return float(lung * inlet**2 / max(inlet**2 + outlet**2, 1e-12))


def _implicit(old: float, step: float, inlet: float, outlet: float, lung: float) -> float:
    """The p that solves p = old + step * (inlet sqrt(lung - p) - outlet sqrt(p)), by bisection on a rising residual."""
    low, high = min(0.0, old, lung), max(old, lung, 0.0)
    for _ in range(40):
        p = (low + high) / 2
        flow_in = inlet * np.copysign(abs(lung - p) ** 0.5, lung - p)
        flow_out = outlet * np.copysign(abs(p) ** 0.5, p)
        if p - old - step * (flow_in - flow_out) > 0:
            high = p
        else:
            low = p
    return (low + high) / 2
