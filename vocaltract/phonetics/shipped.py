"""Postures that come with the package: solved ones, and those that a search starts from (two files)."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from articulators.errors import BadInput
from articulators.posture import PartValues
from articulators.records import Record, Row, table


class ShippedPosture(Record, frozen=True):
    """Parts of the posture of one or more symbols; a part that is not named is neutral."""

    symbols: tuple[str, ...]
    parts: PartValues


class StartingPostures(Row, frozen=True):
    """data/starting.toml."""

    posture: tuple[ShippedPosture, ...]


class SolvedPostures(Row, frozen=True):
    """data/solved/NAME.toml; the hash is that of all that the postures were solved from."""

    inputs_sha256: str
    posture: tuple[ShippedPosture, ...]


def starting_postures() -> StartingPostures:
    """The postures to start from."""
    return table("vocaltract.phonetics", "starting.toml", StartingPostures)


def solved_postures(speaker: str) -> SolvedPostures:
    """The solved postures of a speaker that comes with the package."""
    return table("vocaltract.phonetics", f"solved/{speaker}.toml", SolvedPostures)


@cache
def solved_parts(speaker: str) -> Mapping[str, PartValues]:
    """Symbol -> parts of its posture, for all that was solved for a speaker that comes with the package."""
    rows = solved_postures(speaker).posture
    return MappingProxyType({unicodedata.normalize("NFD", s): row.parts for row in rows for s in row.symbols})


def starting(key: str) -> PartValues:
    """Parts of the posture that a search for a symbol starts from on the adult man's head.

    BadInput where there is none.
    """
    for row in starting_postures().posture:
        if key in row.symbols:
            return row.parts
    raise BadInput(f"no starting posture for '{key}'")
