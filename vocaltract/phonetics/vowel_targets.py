"""The vowels that are fitted, as wishes besides their formants, read from data/vowels.toml."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table
from vocaltract.phonetics.places import known


class VowelTarget(Record, frozen=True):
    """One vowel to fit; see data/vowels.toml."""

    symbol: str
    place: str
    jaw_mm: float
    aperture_mm: float
    rounded: float
    spread: float
    velum: float = 0.0
    start: str = ""
    throat_cm2: float = 0.34
    gap_mm: float = 0.0
    tip_share: float = 1.0


class VowelPlaces(Row, frozen=True):
    """Where places of constriction lie between glottis (0) and lips (1), and between which ends narrowings count."""

    counts: tuple[float, float]
    lies: Mapping[str, tuple[float, float]]


class Reach(Row, frozen=True):
    """How near to its formants a vowel has to come."""

    within_share: float
    first_two_within_share: float


class VowelTargets(Row, frozen=True):
    """data/vowels.toml."""

    reach: Reach
    place: VowelPlaces
    vowel: tuple[VowelTarget, ...]


NO_ONE_PLACE = ("open", "bunched")


@cache
def vowel_table() -> VowelTargets:
    """data/vowels.toml; BadInput where a vowel has a place that does not lie anywhere."""
    found = table("vocaltract.phonetics", "vowels.toml", VowelTargets)
    for number, row in enumerate(found.vowel, 1):
        known(row.place, frozenset({*found.place.lies, *NO_ONE_PLACE}), "place", f"vowels.toml: vowel[{number}]")
    return found


def vowel_targets() -> tuple[VowelTarget, ...]:
    """The fitted vowels."""
    return vowel_table().vowel


def vowel_target(symbol: str) -> VowelTarget:
    """The target of a vowel; BadInput where it is not fitted."""
    fitted = {t.symbol: t for t in vowel_targets()}
    if symbol not in fitted:
        raise BadInput(f"vowel '{symbol}' is not fitted; there are {' '.join(fitted)}" + nearest(symbol, fitted))
    return fitted[symbol]
