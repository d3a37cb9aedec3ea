"""What the search for a posture weighs against what (data/solver.toml)."""

from __future__ import annotations

from functools import cache

from articulators.posture import PartValues
from articulators.records import Pair, Record, Row, table


class ThroatWish(Record, frozen=True):
    """How important it is that the root of the tongue keeps so far from the throat wall at these heights."""

    weight: float
    levels_mm: tuple[float, ...]


class SonorantWishes(Record, frozen=True):
    """Weights for consonants that are asked to have formants; see the file for each."""

    formants: tuple[float, float, float]
    place: float
    allowance_of: PartValues
    elsewhere: float
    elsewhere_mm: float
    narrow: float
    least_mouth_cm2: float
    least_throat_cm2: float


class ConsonantWishes(Record, frozen=True):
    """Weights for consonants; see the file for each."""

    place: float
    area_per_cent: float
    area_free_per_cent: float
    clear: float
    clear_mm: float
    window_edge_mm: float
    bend: float
    drop: float
    drop_at_mm: tuple[float, ...]
    effort: float
    effort_mm: float
    effort_of_mm: PartValues
    effort_far_back_mm: PartValues
    throat_mm: float
    throat: ThroatWish
    throat_asked: ThroatWish
    tip: float
    low_tip: Pair
    low_tip_x_mm: float
    low_tip_above_rim_mm: float
    corner: float
    corner_deg: float
    corner_span_mm: float
    corner_tip_mm: float
    sonorant: SonorantWishes


class VowelWishes(Record, frozen=True):
    """Weights for vowels; see the file for each."""

    formants: tuple[float, float, float]
    third_of_bunched: float
    allowance: float
    allowance_of: PartValues
    bend: float
    tip: Pair
    tip_behind_rim_mm: float
    tip_below_rim_mm: float
    area_per_cent: float
    area_free_per_cent: float
    narrow: float
    least_mouth_cm2: float
    gap: float
    gap_mm: float
    uvula: float
    uvula_mm: float
    place: float
    place_margin: float


class Wishes(Row, frozen=True):
    """data/solver.toml."""

    consonant: ConsonantWishes
    vowel: VowelWishes


@cache
def wishes() -> Wishes:
    """The weights of the search."""
    return table("vocaltract.phonetics", "solver.toml", Wishes)
