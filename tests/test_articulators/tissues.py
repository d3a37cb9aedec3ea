"""Comparers for tissue: which organs share area, and how smooth an outline is."""

from __future__ import annotations

import numpy as np
import shapely

from articulators import contact
from articulators.curves import Array
from articulators.head import Head, adult_male
from articulators.posture import Posture, stack
from articulators.section import Section
from vocaltract.phonetics.inventory import entries
from vocaltract.phonetics.postures import posture

# Outlines are traced again at steps of about 0.5 mm, so a bend of radius r is cut by up to step^2 / (8 r):
# some 0.01 mm over a contact of at most 60 mm. Half a square millimetre is that error, not tissue in tissue.
CROSSING_MM2 = 0.5
# Where two lips meet at an acute corner the sampled outline may cross itself by less than a hair.
FOLD_MM2 = 0.01
# Issue 2 and design.md: a midsagittal guard for the tongue's kept volume.
AREA_SHARE = 0.05

SOFT = ("tongue", "upper_lip", "lower_lip", "velum", "epiglottis")
HARD = ("upper_incisor", "upper_gum", "lower_incisor", "lower_gum", "mandible", "hyoid")


def shapes(section: Section) -> dict[str, contact.Shapes]:
    """Every organ of a section as polygons (n,), what is fixed as one polygon each."""
    found = {organ: np.atleast_1d(section.polygons(organ)) for organ in (*SOFT, *HARD)}
    found["rear wall"] = np.array([contact.rear_mass(section.head)])
    found["palate"] = np.array([contact.maxilla_mass(section.head)])
    return found


def crossings_mm2(found: dict[str, contact.Shapes]) -> dict[tuple[str, str], float]:
    """Greatest shared area of each pair with a soft organ in it, over all moments.

    Left out: upper lip and palate, because the lip grows from there (its closing edge is its root).
    """
    names = list(found)
    out = {}
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            if not {a, b} & set(SOFT) or {a, b} == {"upper_lip", "palate"}:
                continue
            out[a, b] = float(np.max(shapely.area(shapely.intersection(found[a], found[b]))))
    return out


def crossing(section: Section) -> dict[tuple[str, str], float]:
    """Pairs that share more than the tolerance."""
    return {pair: area for pair, area in crossings_mm2(shapes(section)).items() if area > CROSSING_MM2}


def folded_mm2(section: Section) -> dict[str, float]:
    """Organs whose outline crosses itself, with the area that lies in the fold."""
    out = {}
    for organ in (*SOFT, "upper_red", "lower_red"):
        for ring in np.atleast_1d(shapely.polygons(section[organ])):
            if not ring.is_valid:
                out[organ] = max(out.get(organ, 0.0), abs(ring.area - shapely.make_valid(ring).area))
    return {organ: fold for organ, fold in out.items() if fold > FOLD_MM2}


def turning_deg(line: Array) -> Array:
    """Absolute turning angle (..., n - 2) between the steps of an open line."""
    step = np.diff(line, axis=-2)
    angle = np.arctan2(step[..., 1], step[..., 0])
    return np.abs(np.degrees((np.diff(angle, axis=-1) + np.pi) % (2 * np.pi) - np.pi))


def head() -> Head:
    """The head that ships with the project."""
    return adult_male()


def inventory_keys() -> tuple[str, ...]:
    """Every posture that a sound of the inventory is drawn with, and quiet breathing."""
    keys = {key for entry in entries().values() for key in entry.posture if key != "next"}
    return ("rest", *sorted(keys))


def inventory() -> Posture:
    """Those postures as one batch."""
    return stack([posture(key) for key in inventory_keys()])
