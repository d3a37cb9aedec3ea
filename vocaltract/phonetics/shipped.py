"""Postures that come with the package: solved ones, and those that a search starts from (two files)."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from articulators.errors import BadInput, nearest
from articulators.posture import PartValues, Posture, posture_of
from articulators.records import Record, Row, table


class ShippedPosture(Record, frozen=True):
    """Parts of the posture of one or more symbols; a part that is not named is neutral."""

    symbols: tuple[str, ...]
    parts: PartValues


class StartingPostures(Row, frozen=True):
    """data/starting.toml."""

    posture: tuple[ShippedPosture, ...]


class SolvedPostures(Row, frozen=True):
    """data/solved.toml; the hash is that of all that the postures were solved from."""

    inputs_sha256: str
    posture: tuple[ShippedPosture, ...]


def starting_postures() -> StartingPostures:
    """The postures to start from."""
    return table("vocaltract.phonetics", "starting.toml", StartingPostures)


def solved_postures() -> SolvedPostures:
    """The solved postures."""
    return table("vocaltract.phonetics", "solved.toml", SolvedPostures)


@cache
def shipped_parts() -> Mapping[str, PartValues]:
    """Symbol -> parts of its posture on the shipped head, for all that come with the package."""
    rows = (*starting_postures().posture, *solved_postures().posture)
    return MappingProxyType({unicodedata.normalize("NFD", s): row.parts for row in rows for s in row.symbols})


def shipped_keys() -> frozenset[str]:
    """The symbols whose postures come with the package."""
    return frozenset(shipped_parts())


def is_shipped(key: str) -> bool:
    """Whether a symbol's posture comes with the package."""
    return key in shipped_parts()


def shipped(key: str) -> Posture:
    """The posture of a symbol that comes with the package, folds together; BadInput where there is none."""
    if not is_shipped(key):
        raise BadInput(f"no posture for '{key}'" + nearest(key, shipped_parts()))
    return posture_of(**shipped_parts()[key])


def starting(key: str) -> Posture:
    """The posture that a search for a symbol starts from; BadInput where there is none."""
    for row in starting_postures().posture:
        if key in row.symbols:
            return posture_of(**row.parts)
    raise BadInput(f"no starting posture for '{key}'")
