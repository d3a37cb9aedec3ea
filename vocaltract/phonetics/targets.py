"""Sounds as constraints in phonetic terms, read from data/targets.toml."""

from __future__ import annotations

from functools import cache

from msgspec.structs import replace

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table
from vocaltract.phonetics.places import SidesState, VelumState, known, place_names, places


class Target(Record, frozen=True):
    """One sound as constraints; see data/targets.toml for the meaning of each field."""

    symbols: tuple[str, ...]
    active: str
    place: str
    degree: str
    lips: str
    velum: VelumState
    sides: SidesState
    jaw_mm: float
    free: tuple[str, ...]
    nasals: tuple[str, ...] = ()
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
    formants_hz: tuple[float, ...] = ()
    formants_source: str = ""
    yields: tuple[str, ...] = ()
    throat_cm2: float = 0.0
    start: str = ""


class Targets(Row, frozen=True):
    """data/targets.toml."""

    target: tuple[Target, ...]


@cache
def targets() -> tuple[Target, ...]:
    """All targets. BadInput where one names a place, degree or state of the lips that places.toml does not have."""
    found = table("vocaltract.phonetics", "targets.toml", Targets).target
    for number, target in enumerate(found, 1):
        check_names(target, f"targets.toml: target[{number}]")
    return found


def check_names(target: Target, where: str) -> None:
    """BadInput where a target names what places.toml does not have; the place of a free tongue is no stretch."""
    known(target.lips, places().lips.shape, "lips", where)
    known(target.degree, places().degree.clearance_mm, "degree", where)
    if "tongue" not in target.free:
        known(target.place, place_names(), "place", where)
    if target.second_place:
        known(target.second_place, place_names(), "second_place", where)
        known(target.second_degree, places().degree.clearance_mm, "second_degree", where)


def target_of(symbol: str) -> Target:
    """The target of a symbol; BadInput where there is none."""
    for target in targets():
        if symbol in target.symbols:
            return target
        if symbol in target.nasals:
            return replace(target, symbols=target.nasals, nasals=(), velum="lowered")
    names = [s for t in targets() for s in (*t.symbols, *t.nasals)]
    raise BadInput(f"no target for '{symbol}'; there are {' '.join(names)}" + nearest(symbol, names))
