"""From midsagittal distance to area, region by region: the published rules and their numbers (data/areas.toml)."""

from __future__ import annotations

from functools import cache

import numpy as np

from articulators.curves import Array
from articulators.records import Record, Row, table


class PharynxRule(Row, frozen=True):
    """Width of the ellipse low and high in the pharynx; where the side walls come in, and by which power."""

    width_low: float
    width_high: float
    sides_come_in_below: float
    beta: float


class PowerRule(Row, frozen=True):
    """A = alpha d^beta."""

    alpha: float
    beta: float


class FrontRule(Row, frozen=True):
    """Slopes from these distances on; how far back the region reaches, as a share of the hard palate."""

    from_d: tuple[float, ...]
    slopes: tuple[float, ...]
    reach: float

    def __post_init__(self) -> None:
        super().__post_init__()
        if len(self.from_d) != len(self.slopes):
            raise ValueError(f"{len(self.slopes)} slopes for {len(self.from_d)} distances from which they hold")


class LipRule(Row, frozen=True):
    """Width of the lip opening, how it grows with height over protrusion, and its ends."""

    width: float
    grows: float
    narrowest_width: float
    widest_width: float


class TeethRule(Row, frozen=True):
    """Width of the slit between the incisors, and the least area beside closed teeth."""

    width: float
    leak_cm2: float


class TractEnds(Row, frozen=True):
    """How far behind the front of the lips the tract ends, by the state of the lips."""

    behind_rounded: float
    behind_neutral: float
    behind_spread: float


class LarynxTube(Row, frozen=True):
    """Length of the larynx tube, and from where up a narrowing is a place of articulation."""

    tube: float
    up_to: float


class Pockets(Row, frozen=True):
    """Shares of spaces behind another wall; thickness of the epiglottis."""

    vallecula_share: float
    leaf_cm: float
    under_tip_share: float


class Gridding(Row, frozen=True):
    """Gridlines across the passage and the sections that areas are gathered in."""

    sections: int
    level_step_mm: float
    fan_step_deg: float
    across_step_mm: float
    blend_mm: float
    smooth_times: int


class PlaceNames(Row, frozen=True):
    """Names of places from these x of the roof and below these y of the throat on, in order; friction at the lips."""

    roof: tuple[tuple[float, str], ...]
    throat: tuple[tuple[float, str], ...]
    fricative_cm2: float


class PortLimit(Row, frozen=True):
    """From which area on the way to the nose counts as open."""

    counts_from_cm2: float


class AreaRules(Record, frozen=True):
    """data/areas.toml."""

    pharynx: PharynxRule
    soft_palate: PowerRule
    hard_palate: PowerRule
    front: FrontRule
    lips: LipRule
    teeth: TeethRule
    ends: TractEnds
    larynx: LarynxTube
    pockets: Pockets
    grid: Gridding
    places: PlaceNames
    port: PortLimit


@cache
def area_rules() -> AreaRules:
    """The rules from distance to area."""
    return table("vocaltract.airway", "areas.toml", AreaRules)


def pharynx_area_cm2(distance_cm: Array, width_cm: Array) -> Array:
    """Ellipse with the midsagittal distance and the side-to-side width as axes; in a narrow throat the side walls
    come in too, so that the area falls with a power of the distance.
    """
    own = area_rules().pharynx
    narrow = np.minimum(distance_cm / own.sides_come_in_below, 1) ** (own.beta - 1)
    return np.pi / 4 * distance_cm * width_cm * narrow


def power_area_cm2(distance_cm: Array, region: PowerRule) -> Array:
    """alpha d^beta of a region of the palate."""
    return region.alpha * distance_cm**region.beta


def front_area_cm2(distance_cm: Array) -> Array:
    """Straight pieces between ridge and incisors."""
    own = area_rules().front
    area = own.slopes[0] * distance_cm
    for corner, before, after in zip(own.from_d[1:], own.slopes[:-1], own.slopes[1:], strict=True):
        area = area + (after - before) * np.maximum(distance_cm - corner, 0)
    return area


def lip_area_cm2(height_cm: Array, protrusion_cm: Array) -> Array:
    """Ellipse of the lip opening: wider as it opens, narrower as the lips come forward."""
    own = area_rules().lips
    width = own.width + own.grows * (height_cm - protrusion_cm)
    return np.pi / 4 * height_cm * np.clip(width, own.narrowest_width, own.widest_width)


def place_name(x_mm: float, y_mm: float) -> str:
    """Name of the place of a point on the roof of the mouth or on the rear wall of the throat."""
    own = area_rules().places
    if y_mm < own.throat[0][0] and x_mm > own.roof[-1][0]:
        return [name for start, name in own.throat if y_mm < start][-1]
    names = [name for start, name in own.roof if x_mm >= start]
    return names[-1] if names else own.roof[0][1]
