"""A head: the fixed and moving landmarks of one midsagittal section, loaded from a data file and checked.

Units are millimetres in the frame stated in the package docstring. A head is a frozen value; the arrays
inside are read-only.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, nearest

STATUSES = ("verified", "memory", "estimated", "common practice")
TABLES = ("head_of", "tongue", "jaw", "palate", "nose", "velum", "pharynx", "larynx", "lips", "profile")


@dataclass(frozen=True, slots=True)
class TongueMode:
    """One shape mode: weight(u) * direction, u = normalised arc length from vallecula (0) to tip (1)."""

    name: str
    kind: str  # "bell" or "ramp"
    at: float
    width: float
    direction: tuple[float, float]

    def weight(self, u: Array) -> Array:
        """Weight (n,) of the mode at u (n,) in 0..1."""
        if self.kind == "bell":
            return np.exp(-(((u - self.at) / self.width) ** 2) / 2)
        return np.clip((u - self.at) / (1 - self.at), 0, 1) ** self.width


@dataclass(frozen=True, eq=False)
class Head:
    """Landmarks by table and name; see the data file for what each one is.

    points   (table, name) -> read-only (n, 2) mm
    numbers  (table, name) -> read-only 1-D array (a scalar is an array of one)
    modes    the tongue's shape modes in the order of the posture vector
    sources  table -> its source line with the status

    Compared and hashed by identity, so that what is derived from a head can be cached on it.
    """

    name: str
    title: str
    points: Mapping[tuple[str, str], Array]
    numbers: Mapping[tuple[str, str], Array]
    modes: tuple[TongueMode, ...]
    sources: Mapping[str, str]

    def curve(self, table: str, name: str) -> Array:
        """Landmarks (n, 2) in mm."""
        return self.points[table, name]

    def number(self, table: str, name: str) -> float:
        """One number, in the unit its name or its table states."""
        return float(self.numbers[table, name][0])

    def shares(self, table: str, name: str) -> Array:
        """A row of numbers, (n,)."""
        return self.numbers[table, name]


def _read_only(values: Any) -> Array:
    array = np.array(values, dtype=float)
    array.setflags(write=False)
    return array


def head_from(tables: Mapping[str, Any], where: str = "head") -> Head:
    """A head from parsed TOML.

    Raises BadInput where a table, its unit, source or status is missing, a landmark is not a finite
    pair of numbers, or a follow-share does not fit its curve.
    """
    missing = [t for t in TABLES if t not in tables]
    if missing:
        raise BadInput(f"{where}: table [{missing[0]}] is missing; needed are {', '.join(TABLES)}")
    points: dict[tuple[str, str], Array] = {}
    numbers: dict[tuple[str, str], Array] = {}
    sources: dict[str, str] = {}
    for table in TABLES:
        rows = tables[table]
        for key in ("unit", "source", "status"):
            if not str(rows.get(key, "")).strip():
                raise BadInput(f"{where}: table [{table}] has no {key}; every table names its unit, source and status")
        if rows["status"] not in STATUSES:
            raise BadInput(
                f"{where}: [{table}] status '{rows['status']}' is not one of {', '.join(STATUSES)}"
                + nearest(str(rows["status"]), STATUSES)
            )
        if rows["unit"] != "mm":
            raise BadInput(f"{where}: [{table}] unit '{rows['unit']}' is not mm")
        sources[table] = f"{rows['source']} ({rows['status']})"
        for key, value in rows.items():
            if key in ("unit", "source", "status", "modes", "name", "title"):
                continue
            _store(points, numbers, table, key, value, where)
    modes = tuple(_mode(m, where) for m in tables["tongue"].get("modes", ()))
    if not modes:
        raise BadInput(f"{where}: [tongue] has no modes")
    head = Head(
        name=str(tables["head_of"]["name"]),
        title=str(tables["head_of"]["title"]),
        points=MappingProxyType(points),
        numbers=MappingProxyType(numbers),
        modes=modes,
        sources=MappingProxyType(sources),
    )
    _check_shares(head, where)
    return head


def _store(
    points: dict[tuple[str, str], Array],
    numbers: dict[tuple[str, str], Array],
    table: str,
    key: str,
    value: Any,
    where: str,
) -> None:
    try:
        array = _read_only(value)
    except (TypeError, ValueError):
        if isinstance(value, list) and value and isinstance(value[0], list):
            for i, part in enumerate(value):
                _store(points, numbers, table, f"{key}_{i}", part, where)
            return
        raise BadInput(f"{where}: [{table}] {key} is not a number or a list of [x, y] points") from None
    if not np.all(np.isfinite(array)):
        raise BadInput(f"{where}: [{table}] {key} holds a number that is not finite")
    if array.ndim == 3:
        for i, part in enumerate(array):
            _store(points, numbers, table, f"{key}_{i}", part, where)
    elif array.ndim == 2 and array.shape[1] == 2 and len(array) >= 2:
        points[table, key] = array
    elif array.ndim in (0, 1):
        numbers[table, key] = _read_only(np.atleast_1d(array))
        if array.ndim == 1 and len(array) == 2:
            points[table, key] = _read_only([array])
    else:
        raise BadInput(f"{where}: [{table}] {key} has shape {array.shape}; points are [x, y] pairs")


def _mode(row: Mapping[str, Any], where: str) -> TongueMode:
    kinds = [k for k in ("bell", "ramp") if k in row]
    if len(kinds) != 1 or "direction" not in row or "name" not in row:
        raise BadInput(f"{where}: a tongue mode needs name, direction and one of bell or ramp; got {sorted(row)}")
    at, width = map(float, row[kinds[0]])
    x, y = map(float, row["direction"])
    if not (0 <= at < 1) or width <= 0:
        raise BadInput(
            f"{where}: tongue mode {row['name']}: place must be in 0..1 and width above 0, got {at}, {width}"
        )
    return TongueMode(str(row["name"]), kinds[0], at, width, (x, y))


def _check_shares(head: Head, where: str) -> None:
    pairs = [
        (
            "profile",
            "chin_neck",
            ("chin_neck_follows_jaw", "chin_neck_follows_lip", "chin_neck_follows_larynx"),
        ),
        ("pharynx", "epiglottis", ("epiglottis_share",)),
        ("lips", "upper_rest", ("upper_moves",)),
        ("lips", "lower_rest", ("lower_moves",)),
    ]
    for table, curve, rows in pairs:
        count = len(head.curve(table, curve))
        for row in rows:
            got = len(head.shares(table, row))
            if got != count:
                raise BadInput(f"{where}: [{table}] {row} has {got} shares for the {count} points of {curve}")
    for side, states in (("upper", ("rounded", "spread")), ("lower", ("rounded", "spread", "tucked"))):
        for state in states:
            if head.curve("lips", f"{side}_{state}").shape != head.curve("lips", f"{side}_rest").shape:
                raise BadInput(f"{where}: [lips] {side}_{state} must have as many points as {side}_rest")
    if head.curve("velum", "raised").shape != head.curve("velum", "lowered").shape:
        raise BadInput(f"{where}: [velum] raised and lowered must have the same number of points")


def load_head(path: str | Path) -> Head:
    """Read a head from a TOML file; BadInput says in one line what is wrong with it."""
    path = Path(path)
    try:
        tables = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise BadInput(f"head file {path}: {error.strerror}") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadInput(f"head file {path} is not valid TOML: {error}") from None
    return head_from(tables, path.name)


@cache
def adult_male() -> Head:
    """The head that ships with the package."""
    text = resources.files("articulators").joinpath("data/adult_male.toml").read_text(encoding="utf-8")
    return head_from(tomllib.loads(text), "adult_male.toml")
