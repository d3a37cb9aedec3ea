"""Faults planted in data files: in every table a misspelt key, and in every row a source that is absent or empty.

Walks a parsed file beside the record that it is read as. Of a list the first and the last row are spoiled.
"""

from __future__ import annotations

import copy
import tomllib
import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import msgspec

from articulators.posture import part_values
from articulators.records import Row, record, text_of

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class DataFile:
    """A data file, and the record that it is read as."""

    package: str
    name: str
    kind: type

    def values(self) -> dict[str, Any]:
        """The file, parsed."""
        return tomllib.loads(text_of(self.package, self.name))


@dataclass(frozen=True)
class Fault:
    """One entry of a file replaced: at a path the key `old` by `new` (None: taken out) or its value by `value`."""

    file: DataFile
    path: Path
    old: str
    new: str | None
    value: Any
    message: str

    def __str__(self) -> str:
        what = "no" if self.new is None else ("empty" if self.value == " " else "misspelt")
        return f"{self.file.name}:{'.'.join(map(str, (*self.path, self.old)))}-{what}"

    def read(self) -> None:
        """Read the spoiled file."""
        values = copy.deepcopy(self.file.values())
        at = values
        for step in self.path:
            at = at[step]
        kept = at.pop(self.old)
        if self.new is not None:
            at[self.new] = kept if self.value is None else self.value
        record(values, self.file.kind, self.file.name)


def faults(file: DataFile) -> list[Fault]:
    """Every fault that is planted in a file."""
    return list(_faults(file, file.values(), file.kind, ()))


def _faults(file: DataFile, values: Any, kind: Any, path: Path) -> Iterator[Fault]:
    origin, of = typing.get_origin(kind), typing.get_args(kind)
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        fields = {f.encode_name: f for f in msgspec.structs.fields(kind)}
        hints = typing.get_type_hints(kind, include_extras=True)
        first = next(iter(values))
        yield Fault(file, path, first, f"{first}x", None, f"key '{first}x' is unknown; allowed: ")
        if issubclass(kind, Row):
            yield Fault(file, path, "source", None, None, "key 'source' is missing; allowed: ")
            yield Fault(file, path, "source", "source", " ", "'source' is empty")
        for key, value in values.items():
            yield from _faults(file, value, hints[fields[key].name], (*path, key))
    elif origin in (dict, Mapping):
        if typing.get_origin(of[0]) is Literal:
            first = next(iter(values))
            yield Fault(file, path, first, f"{first}x", None, f"key '{first}x' is unknown; allowed: ")
        for key, value in values.items():
            yield from _faults(file, value, of[1], (*path, key))
    elif origin is tuple and of[-1] is Ellipsis:
        for number in sorted({0, len(values) - 1} if values else ()):
            yield from _faults(file, values[number], of[0], (*path, number))
    elif origin is Annotated and of[1] is part_values:
        first = next(iter(values))
        yield Fault(file, path, first, f"{first}x", None, f"posture part '{first}x' is not known (nearest: {first})")


def unsourced(values: Any, kind: Any, path: str = "") -> list[str]:
    """Where in a file a number stands that no row, around it or its own, gives a source."""
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        if issubclass(kind, Row):
            return []
        fields = {f.encode_name: f for f in msgspec.structs.fields(kind)}
        hints = typing.get_type_hints(kind, include_extras=True)
        return [w for k, v in values.items() for w in unsourced(v, hints[fields[k].name], f"{path}.{k}")]
    if typing.get_origin(kind) in (dict, Mapping):
        return [w for k, v in values.items() for w in unsourced(v, typing.get_args(kind)[1], f"{path}.{k}")]
    return [path]
