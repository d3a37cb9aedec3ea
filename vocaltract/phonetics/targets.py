"""Sounds as constraints in phonetic terms, read from data/targets.toml and data/places.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from articulators.errors import BadInput, nearest


@dataclass(frozen=True, slots=True)
class Target:
    """One sound as constraints; see data/targets.toml for the meaning of each field."""

    symbols: tuple[str, ...]
    active: str
    place: str
    degree: str
    lips: str
    velum: str
    sides: str
    jaw_mm: float
    free: tuple[str, ...]
    tip: str = ""
    second_place: str = ""
    body_drop_mm: tuple[float, ...] = ()
    tip_at_mm: tuple[float, ...] = ()
    throat_mm: float = 0.0
    second_degree: str = "closed"
    shift_mm: float = 0.0
    curl_deg: float = 0.0
    larynx_mm: float = 0.0
    smooth: float = 1.0
    same_as: str = ""


@cache
def data(name: str) -> Mapping[str, Any]:
    """A parsed data file of this package."""
    text = resources.files("vocaltract.phonetics").joinpath(f"data/{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def quantity(table: str, key: str) -> Any:
    """One entry of places.toml; BadInput where the table lacks it or its source."""
    rows = data("places")[table]
    for need in ("source", "status", "unit"):
        if not rows.get(need):
            raise BadInput(f"places.toml: [{table}] has no {need}")
    if key not in rows:
        raise BadInput(f"places.toml: [{table}] has no '{key}'" + nearest(key, rows))
    return rows[key]


@cache
def targets() -> tuple[Target, ...]:
    """All targets, with `same_as` resolved."""
    found: dict[str, dict[str, Any]] = {}
    rows = data("targets")
    if not rows.get("source") or not rows.get("status"):
        raise BadInput("targets.toml names no source or status")
    out = []
    for row in rows["target"]:
        full = {**found[row["same_as"]], **row} if "same_as" in row else dict(row)
        for symbol in row["symbols"]:
            found[symbol] = full
        out.append(target_from(full))
    return tuple(out)


def target_from(row: Mapping[str, Any]) -> Target:
    """A target from a parsed row, its lists made tuples."""
    fields: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in row.items()}
    return Target(**fields)


def target_of(symbol: str) -> Target:
    """The target of a symbol; BadInput where there is none."""
    for target in targets():
        if symbol in target.symbols:
            return target
    known = [s for t in targets() for s in t.symbols]
    raise BadInput(f"no target for '{symbol}'; there are {' '.join(known)}" + nearest(symbol, known))
