"""Vowels fitted: the posture on a head whose area function has the published formants, with the least departure
from a starting shape.

Formants alone do not fix a shape, so place and width of the constriction, the tongue's area, jaw and lips are
wishes too. The posture that is fitted is the one that is drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from articulators import tongue
from articulators.curves import Array
from articulators.errors import BadInput, nearest
from articulators.head import Head
from articulators.posture import Posture, parts, posture_from, posture_of
from articulators.section import rest_tongue_area_mm2, section
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.resonance import formants
from vocaltract.phonetics.targets import data

FREE = (
    "root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm", "tip_up_mm", "tip_forward_mm",
    "jaw_mm", "aperture_mm", "rounded", "larynx_mm",
)  # fmt: skip

# How far each part may go from its starting value at the price of one, and how much each wish counts.
ALLOWANCE = {
    "jaw_mm": 0.9, "aperture_mm": 1.6, "rounded": 0.2, "larynx_mm": 3.0, "rear_mm": 5.0,
    "tip_forward_mm": 3.0, "body_forward_mm": 4.0,
}  # fmt: skip
ALLOWANCE_MM = 7.0
F_WEIGHTS = (110.0, 110.0, 80.0)
BEND_WEIGHT = 1.1
TIP_BEHIND_RIM_MM, TIP_BELOW_RIM_MM = 4.5, 2.0
TIP_WEIGHTS = (0.24, 0.16)
AREA_WEIGHT_PER_CENT, AREA_FREE_PER_CENT = 3.0, 1.5
LEAST_AREA_CM2, LEAST_THROAT_CM2, NARROW_WEIGHT = 0.28, 0.34, 25.0
PLACE_WEIGHT = 14.0
STEP = 0.04
VERSION = 1


@dataclass(frozen=True, slots=True)
class VowelTarget:
    """One vowel to fit; see data/vowels.toml."""

    symbol: str
    formants_hz: tuple[float, ...]
    place: str
    jaw_mm: float
    aperture_mm: float
    rounded: float
    spread: float
    start: str = ""
    throat_cm2: float = LEAST_THROAT_CM2


def vowel_targets() -> tuple[VowelTarget, ...]:
    """The fitted vowels of data/vowels.toml; BadInput where the table names no source."""
    table = data("vowels")
    if not table.get("source", {}).get("formants"):
        raise BadInput("vowels.toml names no source of its formants")
    return tuple(VowelTarget(**{**row, "formants_hz": tuple(row["formants_hz"])}) for row in table["vowel"])


def vowel_target(symbol: str) -> VowelTarget:
    """The target of a vowel; BadInput where it is not fitted."""
    known = {t.symbol: t for t in vowel_targets()}
    if symbol not in known:
        raise BadInput(f"vowel '{symbol}' is not fitted; there are {' '.join(known)}" + nearest(symbol, known))
    return known[symbol]


def formants_of(head: Head, posture: Posture, count: int = 4) -> Array:
    """Formants (..., count) in Hz of postures as drawn."""
    areas = tract_areas(section(head, posture))
    return formants(areas.length_cm, areas.area_cm2, count=count).frequency_hz


def fit(target: VowelTarget, head: Head, start: Posture) -> Posture:
    """The posture for a vowel, from a starting posture (shape ()). Deterministic."""
    base = np.array(start.values)
    stated = {
        "jaw_mm": target.jaw_mm,
        "aperture_mm": target.aperture_mm,
        "rounded": target.rounded,
        "spread": target.spread,
    }
    for i, part in enumerate(parts()):
        base[i] = stated.get(part.name, base[i])
    columns = [i for i, p in enumerate(parts()) if p.name in FREE]
    low = np.array([parts()[i].low for i in columns]) + 1e-6
    high = np.array([parts()[i].high for i in columns]) - 1e-6
    allowance = np.array([ALLOWANCE.get(parts()[i].name, ALLOWANCE_MM) for i in columns])
    rest_area = rest_tongue_area_mm2(head)
    rest_line = tongue.rest(head).surface
    wanted = np.log(np.array(target.formants_hz))
    first = base[columns]
    # a low third formant is what tells an r-coloured vowel
    weights = np.array(F_WEIGHTS) * ((1, 1, 1.6) if target.place == "bunched" else (1, 1, 1))

    def residuals(x: Array) -> Array:
        values = np.broadcast_to(base, (*x.shape[:-1], len(base))).copy()
        values[..., columns] = x
        posture = Posture(values)
        shown = section(head, posture)
        areas = tract_areas(shown)
        found = formants(areas.length_cm, areas.area_cm2, count=3).frequency_hz
        wish = [np.nan_to_num(np.log(found) - wanted, nan=1.0) * weights]
        wish.append((x - first) / allowance)
        off = (shown.tongue_area_mm2() / rest_area - 1)[..., None] * 100
        wish.append(AREA_WEIGHT_PER_CENT * (off - np.clip(off, -AREA_FREE_PER_CENT, AREA_FREE_PER_CENT)))
        line = tongue.surface(head, posture) - rest_line
        wish.append(BEND_WEIGHT * np.diff(line[..., ::8, :], n=2, axis=-2).reshape(*x.shape[:-1], -1))
        rim = shown["lower_incisor"]
        edge = np.take_along_axis(rim, np.argmax(rim[..., 1], axis=-1)[..., None, None], axis=-2)[..., 0, :]
        tip = tongue.surface(head, posture)[..., -1, :] - edge - np.array([TIP_BEHIND_RIM_MM, -TIP_BELOW_RIM_MM])
        wish.append(tip * np.array(TIP_WEIGHTS) * (0.2 if target.place == "bunched" else 1.0))
        n = areas.area_cm2.shape[-1]
        throat, mouth = areas.area_cm2[..., n // 6 : n // 2], areas.area_cm2[..., n // 2 : n - 4]
        wish.append(NARROW_WEIGHT * np.minimum(throat - target.throat_cm2, 0))
        wish.append(NARROW_WEIGHT * np.minimum(mouth - LEAST_AREA_CM2, 0))
        wish.append(PLACE_WEIGHT * _misplaced(target.place, areas.area_cm2)[..., None])
        return np.concatenate(wish, axis=-1)

    def jacobian(x: Array) -> Array:
        batch = residuals(np.concatenate([x[None], x + STEP * np.eye(len(x))]))
        return ((batch[1:] - batch[0]) / STEP).T

    found = least_squares(
        residuals,
        np.clip(first, low, high),
        jac=jacobian,
        bounds=(low, high),
        x_scale=allowance,
        max_nfev=60,
        ftol=1e-5,
        xtol=1e-5,
    )
    values = base.copy()
    values[columns] = np.round(found.x, 3)
    return posture_from(values)


# Where each place lies on the way from glottis to lips, as shares of the tract's length.
SPANS: dict[str, tuple[float, float]] = {
    "lower pharyngeal": (0.16, 0.40),
    "upper pharyngeal": (0.33, 0.48),
    "velar": (0.50, 0.72),
    "palatal": (0.62, 0.79),
}


def _misplaced(place: str, area_cm2: Array) -> Array:
    """How much narrower the tract is elsewhere than at its place, as a smooth logarithm (...); 0 where it is right."""
    if place not in SPANS:
        return np.zeros(area_cm2.shape[:-1])
    n = area_cm2.shape[-1]
    at = (np.arange(n) + 0.5) / n
    low, high = SPANS[place]
    here = (at >= low) & (at <= high)
    elsewhere = (at > 0.16) & (at < 0.90) & ~here
    log = np.log(np.maximum(area_cm2, 1e-3))
    return np.maximum(_soft_least(log[..., here]) - _soft_least(log[..., elsewhere]) + 0.15, 0)


def _soft_least(values: Array, sharp: float = 16.0) -> Array:
    return -np.log(np.exp(-sharp * values).mean(axis=-1)) / sharp


def starting(key: str) -> Posture:
    """A starting posture of data/starting.toml; BadInput where there is none."""
    for row in data("starting")["posture"]:
        if key in row["symbols"]:
            return posture_of(**{k: v for k, v in row.items() if k != "symbols"})
    raise BadInput(f"no starting posture for '{key}'")
