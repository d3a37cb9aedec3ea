"""A head, and a section of it, so many times as large: every length in them is multiplied, shares and angles stay."""

from __future__ import annotations

import typing
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

import msgspec
import numpy as np

from articulators.head import Head
from articulators.landmarks import CurvePoints, Point
from articulators.posture import Posture, parts
from articulators.records import Row
from articulators.section import Section

POINTS = (CurvePoints, Point)
LENGTHS = ("_mm", "_height", "_size")
"""How the names of numbers end that are lengths."""
OF_THE_HEAD = ("size", "throat")


@lru_cache(maxsize=16)
def scaled_head(head: Head, factor: float) -> Head:
    """The head with every landmark `factor` times as far from the edge of its upper incisor."""
    tables = {name: _scaled_table(getattr(head, name), factor) for name in Head.__struct_fields__}
    return msgspec.structs.replace(head, **tables)


def scaled_section(section: Section, factor: float) -> Section:
    """A section or a batch of them, `factor` times as large, on the scaled head and in the scaled posture."""
    moving = {organ: _scaled(line, factor) for organ, line in section.moving.items()}
    lengths = np.array([factor if part.unit == "mm" else 1.0 for part in parts()])
    posture = Posture(_scaled(section.posture.values, lengths))
    return Section(scaled_head(section.head, factor), posture, MappingProxyType(moving))


def _scaled_table(table: Row, factor: float) -> Row:
    lengths = {name: _scaled(getattr(table, name), factor) for name in _lengths(type(table))}
    return msgspec.structs.replace(table, **lengths)


@cache
def _lengths(kind: type[Row]) -> tuple[str, ...]:
    """The fields of a table that hold points or lengths, or say how large the head is."""
    hints = typing.get_type_hints(kind, include_extras=True)
    return tuple(
        name
        for name in kind.__struct_fields__
        if hints[name] in POINTS or name.endswith(LENGTHS) or name in OF_THE_HEAD
    )


def _scaled(value: Any, factor: Any) -> Any:
    if isinstance(value, Mapping):
        return MappingProxyType({name: _scaled(one, factor) for name, one in value.items()})
    if isinstance(value, tuple):
        return tuple(_scaled(one, factor) for one in value)
    if isinstance(value, float):
        return round(value * factor, 12)  # back and forth is where it was
    made = value * factor
    if isinstance(made, np.ndarray):
        made.setflags(write=False)
    return made
