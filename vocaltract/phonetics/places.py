"""Where places of articulation lie on a head, and what degrees, lips, soft palate and folds are in numbers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal, TypeAlias

from msgspec.structs import replace

from articulators.errors import BadInput, nearest
from articulators.head import Head, adult_male
from articulators.records import Pair, Record, Row, table

Surface: TypeAlias = Literal["roof", "velum", "wall"]
VelumState: TypeAlias = Literal["raised", "lowered"]
SidesState: TypeAlias = Literal["sealed", "narrow", "open"]


class Stretch(Record, frozen=True):
    """A stretch of the still side: x in mm on the roof, share of the soft palate's length, y in mm on the rear wall."""

    surface: Surface
    first: float
    last: float


class Degrees(Row, frozen=True):
    """Clearance of the tongue in the midline by degree; below zero it is pressed against what it meets.

    Lengths of the adult man's mouth but for those that make air hiss, which are the same in every mouth.
    """

    hisses: tuple[str, ...]
    clearance_mm: Mapping[str, float]


class LipPosture(Record, frozen=True):
    """Lips as parts of a posture."""

    aperture_mm: float
    rounded: float
    spread: float
    tucked: float
    upper_raise_mm: float


class LipPostures(Row, frozen=True):
    """What the adult man's lips do, by name, and which of it makes air hiss."""

    hisses: tuple[str, ...]
    shape: Mapping[str, LipPosture]


class FoldGaps(Row, frozen=True):
    """Gap between the vocal processes together, spread for voiceless sounds, and in quiet breathing."""

    together_mm: float
    spread_mm: float
    breath_mm: float


class VelumStates(Row, frozen=True):
    """How far the soft palate is lowered, 0 to 1."""

    lowered_by: Mapping[VelumState, float]


class SidesStates(Row, frozen=True):
    """How far the sides of the tongue are lowered, 0 to 1."""

    lowered_by: Mapping[SidesState, float]


class EpiglottisStates(Row, frozen=True):
    """How far the epiglottis is folded back, 0 to 1, by the degree of an epiglottal sound."""

    folded_by: Mapping[str, float]


class Places(Record, frozen=True):
    """data/places.toml."""

    degree: Degrees
    lips: LipPostures
    glottis: FoldGaps
    velum: VelumStates
    sides: SidesStates
    epiglottis: EpiglottisStates


@cache
def places() -> Places:
    """The places, degrees and states."""
    return table("vocaltract.phonetics", "places.toml", Places)


def stretch(head: Head, place: str) -> Stretch:
    """Where a place lies on a head. BadInput for a place that it does not have."""
    own = head.places
    rows: tuple[tuple[Surface, Mapping[str, Pair]], ...] = (
        ("roof", own.roof_mm),
        ("velum", own.velum_share),
        ("wall", own.wall_mm),
    )
    for surface, spans in rows:
        if place in spans:
            return Stretch(surface=surface, first=spans[place][0], last=spans[place][1])
    raise BadInput(_unknown(place, list(own.named()), "place", f"head {head.name}"))


def degree_mm(degree: str, size: float = 1.0) -> float:
    """Clearance of the tongue for a degree of constriction in a mouth of a size. BadInput for one that is none."""
    own = places().degree
    clearance = own.clearance_mm[known(degree, own.clearance_mm, "degree", "places.toml")]
    return clearance if degree in own.hisses else clearance * size


def lip_posture(name: str, size: float = 1.0) -> LipPosture:
    """What lips do in a mouth of a size. BadInput for a name that is none."""
    own = places().lips
    row = own.shape[known(name, own.shape, "lips", "places.toml")]
    if name in own.hisses:
        return row
    return replace(row, aperture_mm=row.aperture_mm * size, upper_raise_mm=row.upper_raise_mm * size)


def place_names() -> frozenset[str]:
    """The places that every head has."""
    return frozenset(adult_male().places.named())


def known(name: str, allowed: Mapping[str, object] | frozenset[str], key: str, where: str) -> str:
    """The name, if it is allowed; else BadInput that says where it stands, what is allowed and what is nearest."""
    if name not in allowed:
        raise BadInput(_unknown(name, allowed, key, where))
    return name


def _unknown(name: str, allowed: Mapping[str, object] | frozenset[str] | list[str], key: str, where: str) -> str:
    return f"{where}: {key} {name!r} is unknown; allowed: {', '.join(sorted(allowed))}{nearest(name, allowed)}"
