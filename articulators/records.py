"""Data files as typed records: what a key may be is said once, by the record; what does not fit is told with its place.

A table is TOML or tab-separated text beside the code that reads it. Every row that holds facts is a `Row`: it names the
source of its numbers, what that source is worth, and their unit.
"""

from __future__ import annotations

import inspect
import tomllib
import typing
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Annotated, Any, Literal, TypeAlias, TypeVar

import msgspec

from articulators.errors import BadInput, SurroundingsError, nearest

T = TypeVar("T")
_PLAIN: tuple[Any, ...] = (str, int, float)
Status = Literal["verified", "memory", "estimated", "common practice", "design choice", "computed"]
"""What a source is worth: read where it is printed, remembered, judged by eye, known to the trade without a source,
chosen by this project, or worked out by it."""
Pair: TypeAlias = tuple[float, float]
"""Two numbers that belong together: from and to, x and y, or one for each of two."""


class Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Named values of a file; no key but its own."""


class Row(Record, frozen=True, kw_only=True):
    """Values with a source.

    unit    of all numbers; "in the names" where names end in theirs (_mm, _s, _share ...); "none" where there are none
    source  where they are from; status  what that is worth
    """

    unit: str
    source: str
    status: Status

    def __post_init__(self) -> None:
        for name in ("unit", "source"):
            if not getattr(self, name).strip():
                raise ValueError(f"{name!r} is empty; every row says where its numbers are from and what they count")

    def values(self) -> dict[str, Any]:
        """What a row holds, without unit, source and status."""
        return {name: getattr(self, name) for name in self.__struct_fields__ if name not in Row.__struct_fields__}


@cache
def table(package: str, file: str, kind: type[T]) -> T:
    """The TOML file ``data/file`` of a package as one record, keys in NFD; BadInput where it does not fit."""
    return parsed(text_of(package, file), kind, file)


def text_of(package: str, file: str) -> str:
    """A data file of a package as text. SurroundingsError where it cannot be read."""
    try:
        return resources.files(package).joinpath("data", *file.split("/")).read_text(encoding="utf-8")
    except OSError as error:
        raise SurroundingsError(f"data file {file} cannot be read: {error.strerror or error}") from None


def parsed(text: str, kind: type[T], file: str) -> T:
    """TOML text as one record. BadInput names file, key, value and what is allowed."""
    return record(toml_values(text, file), kind, file)


def toml_values(text: str, file: str) -> dict[str, Any]:
    """TOML text as plain values; BadInput names file and line where it is no TOML."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"{file}: not TOML: {error}") from None
    except RecursionError:
        raise BadInput(f"{file}: not TOML: lists within lists without end") from None
    except ValueError:
        raise BadInput(f"{file}: not TOML: a number has more digits than can be read") from None


def record(values: Any, kind: Any, where: str) -> Any:
    """Parsed values as a record, a mapping or a tuple of records, or a plain value. ``where``: file and keys so far.

    ``Annotated[T, make]`` is made by ``make(value)``, a function that raises ValueError for a value that does not fit.
    A mapping whose keys are a Literal has all of them and no others.
    """
    if _plain(kind):
        with suppress(msgspec.ValidationError):  # what does not fit is found again below, with its place
            return msgspec.convert(values, kind, strict=True)
    origin, of = typing.get_origin(kind), typing.get_args(kind)
    if origin is Annotated and callable(of[1]):
        try:
            return of[1](values)
        except (TypeError, ValueError) as error:
            raise BadInput(f"{where}: {error}") from None
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        return _struct(values, kind, where)
    if origin in (dict, Mapping) and isinstance(values, Mapping):
        _check_keys(values, of[0], where)
        if _plain(of[1]):
            with suppress(msgspec.ValidationError):
                rows = msgspec.convert(values, dict[str, of[1]], strict=True)  # type: ignore[valid-type]
                return MappingProxyType({_nfd(key): row for key, row in rows.items()})
        return MappingProxyType({_nfd(key): record(row, of[1], _at(where, key)) for key, row in values.items()})
    if origin is tuple and of[-1] is Ellipsis and isinstance(values, list | tuple):
        return tuple(record(row, of[0], f"{where}[{number}]") for number, row in enumerate(values, 1))
    if origin is Literal and values not in of:
        raise BadInput(f"{where}: {values!r} is unknown; allowed: {', '.join(map(str, of))}{_near(values, of)}")
    try:
        return msgspec.convert(values, kind, strict=True)
    except msgspec.ValidationError as error:
        raise BadInput(f"{where}: {str(error)[0].lower()}{str(error)[1:]}, not {values!r}") from None


def _check_keys(values: Mapping[str, Any], kind: Any, where: str) -> None:
    """BadInput where the keys of a mapping are not exactly those of a Literal; keys of any other kind are free."""
    if typing.get_origin(kind) is not Literal:
        return
    allowed = typing.get_args(kind)
    for key in values:
        if key not in allowed:
            raise BadInput(f"{where}: key {key!r} is unknown; allowed: {', '.join(allowed)}{nearest(key, allowed)}")
    for key in allowed:
        if key not in values:
            raise BadInput(f"{where}: key {key!r} is missing; allowed: {', '.join(allowed)}")


@cache
def _plain(kind: Any) -> bool:
    """Whether msgspec alone makes this kind from parsed values: no mapping in it (its keys), nothing that is made."""
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct):
        return all(_plain(hint) for hint in _hints(kind).values())
    if typing.get_origin(kind) is Annotated:
        return not callable(typing.get_args(kind)[1]) and _plain(typing.get_args(kind)[0])
    if typing.get_origin(kind) in (dict, Mapping):
        return False
    return all(_plain(part) for part in typing.get_args(kind) if typing.get_origin(kind) is not Literal)


def _struct(values: Any, kind: type[msgspec.Struct], where: str) -> Any:
    if not isinstance(values, Mapping):
        raise BadInput(f"{where}: {values!r} stands where keys are expected: {', '.join(_fields(kind))}")
    fields, hints = _fields(kind), _hints(kind)
    for key in values:
        if key not in fields:
            raise BadInput(f"{where}: key {key!r} is unknown; allowed: {', '.join(fields)}{nearest(key, fields)}")
    for name, field in fields.items():
        if name not in values and field.required:
            raise BadInput(f"{where}: key {name!r} is missing; allowed: {', '.join(fields)}")
    made = {fields[key].name: record(value, hints[fields[key].name], _at(where, key)) for key, value in values.items()}
    try:
        return kind(**made)
    except ValueError as error:
        raise BadInput(f"{where}: {error}") from None


@cache
def _fields(kind: type[msgspec.Struct]) -> Mapping[str, msgspec.structs.FieldInfo]:
    """Fields by the name that a file gives them."""
    return MappingProxyType({field.encode_name: field for field in msgspec.structs.fields(kind)})


@cache
def _hints(kind: type) -> Mapping[str, Any]:
    """Types of fields by name, those of the classes it extends first; worked out once for each class of those."""
    found: dict[str, Any] = {}
    for base in reversed(kind.__bases__):
        found |= _hints(base)
    return MappingProxyType(found | inspect.get_annotations(kind, eval_str=True))


def _at(where: str, key: str) -> str:
    """The place of a key: file: table.key, with rows of a list as [1], [2] and so on."""
    return f"{where}.{key}" if ": " in where else f"{where}: {key}"


def _nfd(key: str) -> str:
    return unicodedata.normalize("NFD", key)


def _near(value: Any, allowed: tuple[Any, ...]) -> str:
    return nearest(value, [str(a) for a in allowed]) if isinstance(value, str) else ""


@cache
def rows(package: str, file: str, kind: type[T]) -> tuple[T, ...]:
    """Rows of the tab-separated file ``data/file`` of a package as records: a header, then cells; ``#`` for comments.

    Cells are text, a number, 1 or 0 (bool), or words parted by spaces (a tuple). Empty cells take the default of their
    field. BadInput where a row does not fit, or no comment says ``source:``.
    """
    lines = text_of(package, file).splitlines()
    if not any(line.startswith("#") and line.partition("source:")[2].strip() for line in lines):
        raise BadInput(f"{file}: no comment says 'source:'; every table says where its rows are from")
    hints = _hints(kind)  # type: ignore[arg-type]
    body = [line for line in lines if line and line[0] != "#"]
    if not body:
        raise BadInput(f"{file}: no header; its first line names the columns: {', '.join(hints)}")
    header, *cells = [line.split("\t") for line in body]
    plain = all(len(row) == len(header) for row in cells) and all(hints.get(key) in _PLAIN for key in header)
    found = _at_once(header, cells, kind) if plain else ()
    if found:
        return found
    numbers = [number for number, line in enumerate(lines, 1) if line and line[0] != "#"]
    return tuple(
        _row(header, row, kind, hints, f"{file}, line {number}") for number, row in zip(numbers[1:], cells, strict=True)
    )


def _at_once(header: list[str], cells: list[list[str]], kind: type[T]) -> tuple[T, ...]:
    """Rows of text and numbers in one conversion; empty where one does not fit, so that `_row` says which."""
    values = [dict(zip(header, row, strict=True)) for row in cells]
    for row, read in zip(cells, values, strict=True):
        if "" in row:
            for key in [key for key, cell in read.items() if not cell]:
                del read[key]
    try:
        return msgspec.convert(values, tuple[kind, ...], strict=False)  # type: ignore[valid-type]
    except msgspec.ValidationError:
        return ()


def _row(header: list[str], cells: list[str], kind: type[T], hints: Mapping[str, Any], where: str) -> Any:
    if len(cells) != len(header):
        raise BadInput(f"{where}: {len(cells)} cells, not {len(header)}")
    values = {
        key: _cell(cell, hints.get(key), f"{where}: {key}") for key, cell in zip(header, cells, strict=True) if cell
    }
    return record(values, kind, where)


def _cell(cell: str, hint: Any, where: str) -> Any:
    """What a cell holds, by the type of its field."""
    if hint is bool:
        if cell not in ("0", "1"):
            raise BadInput(f"{where} {cell!r} is neither 1 nor 0")
        return cell == "1"
    if hint in (int, float):
        try:
            return hint(cell)
        except ValueError:
            raise BadInput(f"{where} {cell!r} is no number") from None
    return cell.split() if typing.get_origin(hint) is tuple else cell
