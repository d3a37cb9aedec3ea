"""A posture: what every articulator does at a moment, as one small vector in the trade's own terms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table


class Part(Record, frozen=True):
    """One number of a posture, with its unit and the range it may take."""

    name: str
    unit: str
    low: float
    high: float
    neutral: float
    what: str


class Parts(Row, frozen=True):
    """data/posture.toml: the parts of a posture in the order of its vector."""

    part: tuple[Part, ...]


@cache
def parts() -> tuple[Part, ...]:
    """The parts of a posture in the order of its vector (data/posture.toml)."""
    return table("articulators", "posture.toml", Parts).part


@cache
def _index() -> Mapping[str, int]:
    return {part.name: i for i, part in enumerate(parts())}


@dataclass(frozen=True)
class Posture:
    """Articulator states, `values` (..., parts) read-only, in the order and units of `parts()`.

    ``posture["jaw_mm"]`` is the array (...) of one part. Build with `posture_of` (by name) or
    `posture_from` (from a vector); both check the ranges.
    """

    values: Array

    def __getitem__(self, name: str) -> Array:
        return self.values[..., part_index(name)]

    @property
    def shape(self) -> tuple[int, ...]:
        """The batch shape: () for one posture."""
        return self.values.shape[:-1]

    def at(self, index: int | slice | Array) -> Posture:
        """The postures at an index of the first batch axis."""
        return Posture(_frozen(self.values[index]))

    def with_parts(self, **changes: float | Array) -> Posture:
        """The same posture with some parts replaced."""
        values = np.array(
            np.broadcast_to(
                self.values,
                (*np.broadcast_shapes(self.shape, *(np.shape(c) for c in changes.values())), len(parts())),
            )
        )
        for name, value in changes.items():
            values[..., part_index(name)] = value
        return posture_from(values)


def part_index(name: str) -> int:
    """Place of a part in the vector; BadInput for a name that is none."""
    try:
        return _index()[name]
    except KeyError:
        raise BadInput(f"posture part '{name}' is not known" + nearest(name, _index())) from None


def part_values(value: Any) -> Mapping[str, float]:
    """Numbers of a data file by the names of parts; ValueError for a name that is none, or no number."""
    if not isinstance(value, Mapping):
        raise ValueError(f"{value!r} names no parts of a posture")
    for name, number in value.items():
        part_index(name)
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise ValueError(f"{name} {number!r} is no number")
    return MappingProxyType({name: float(number) for name, number in value.items()})


PartValues = Annotated[Mapping[str, float], part_values]
"""Numbers by the names of posture parts, as a data file gives them."""


def _frozen(values: Array) -> Array:
    values = np.array(values, dtype=float)
    values.setflags(write=False)
    return values


def posture_from(values: Array) -> Posture:
    """A posture from its vector (..., parts). BadInput where a part is outside its range or not finite."""
    values = _frozen(values)
    if values.ndim == 0 or values.shape[-1] != len(parts()):
        raise BadInput(f"a posture has {len(parts())} parts; got an array of shape {values.shape}")
    for i, part in enumerate(parts()):
        column = values[..., i]
        bad = ~((column >= part.low - 1e-9) & (column <= part.high + 1e-9))
        if np.any(bad):
            given = float(np.asarray(column)[bad].flat[0])
            raise BadInput(f"{part.name} is {given:g}; allowed is {part.low:g} to {part.high:g} {part.unit}")
    return Posture(values)


def posture_of(**named: float | Array) -> Posture:
    """A posture by names; parts that are left out are neutral. Arrays broadcast to a batch."""
    for name in named:
        part_index(name)
    columns = [np.asarray(named.get(part.name, part.neutral), dtype=float) for part in parts()]
    return posture_from(np.stack(np.broadcast_arrays(*columns), axis=-1))


def stack(postures: list[Posture]) -> Posture:
    """Several single postures as one batch along a new first axis."""
    return Posture(_frozen(np.stack([p.values for p in postures])))
