"""Solved postures of sounds that are not shipped, kept by content: head, target, solver and tables.

A file is written whole and then named, so that several processes never see half of one; what cannot be read or does
not check out is solved again; where nothing can be written, memory serves.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Callable
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
from msgspec.structs import replace

from articulators.errors import TractError
from articulators.given_file import text_given
from articulators.head import Head
from articulators.posture import Posture, parts, posture_of
from vocaltract.phonetics.cache_folder import folder
from vocaltract.phonetics.speaker import Speaker
from vocaltract.phonetics.targets import Target
from vocaltract.phonetics.vowel_targets import VowelTarget

FORMAT = 2
FOR_CONSONANTS = (
    ("articulators", "data/posture.toml"),
    ("vocaltract.phonetics", "data/places.toml"),
    ("vocaltract.phonetics", "data/solver.toml"),
)
FOR_VOWELS = (
    *FOR_CONSONANTS,
    ("vocaltract.phonetics", "data/vowels.toml"),
    ("vocaltract.airway", "data/areas.toml"),
    ("vocaltract.airway", "data/acoustics.toml"),
)


def solved_posture(target: Target, head: Head) -> Posture:
    """The posture that meets a target on a head; solved only where neither memory nor the cache holds it."""
    return _held(_nameless(target), head, str(folder()))


def fitted_posture(target: VowelTarget, speaker: Speaker, start: Posture) -> Posture:
    """The posture of a vowel of a speaker, searched for from a start only where the cache does not hold it."""
    from vocaltract.phonetics.vowels import fit

    return _kept(vowel_key(target, speaker, start), folder(), lambda: fit(target, speaker, start))


@lru_cache(maxsize=1024)
def _held(target: Target, head: Head, where: str) -> Posture:
    from vocaltract.phonetics.solver import solve

    return _kept(key(target, head), Path(where), lambda: solve(target, head))


def _kept(name: str, where: Path, make: Callable[[], Posture]) -> Posture:
    path = where / f"{name}.json"
    found = _read(path, name)
    if found is None:
        found = make()
        _write(path, name, found)
    return found


def key(target: Target, head: Head) -> str:
    """SHA-256 of all that a solved posture depends on: head, target without its symbols, solver, tables of numbers."""
    from vocaltract.phonetics.solver import SOLVER_VERSION

    digest = hashlib.sha256(f"solver {SOLVER_VERSION} format {FORMAT}\n".encode())
    digest.update(msgspec.json.encode(_nameless(target)))
    digest.update(head_hash(head))
    digest.update(_tables_hash(FOR_CONSONANTS))
    return digest.hexdigest()


def vowel_key(target: VowelTarget, speaker: Speaker, start: Posture) -> str:
    """SHA-256 of all that a fitted vowel depends on: head, formants, target, start, search, tables of numbers."""
    from vocaltract.phonetics.vowels import VOWELS_VERSION

    digest = hashlib.sha256(f"vowels {VOWELS_VERSION} format {FORMAT}\n".encode())
    digest.update(msgspec.json.encode((target, speaker.formants_hz[target.symbol], start.values.tolist())))
    digest.update(head_hash(speaker.head))
    digest.update(_tables_hash(FOR_VOWELS))
    return digest.hexdigest()


@lru_cache(maxsize=8)
def head_hash(head: Head) -> bytes:
    """SHA-256 of the numbers of a head; what it is called and where they are from changes nothing."""
    numbers = {name: getattr(head, name).values() for name in head.__struct_fields__}
    for name in ("name", "title"):
        del numbers["head_of"][name]
    return hashlib.sha256(msgspec.json.encode(numbers, enc_hook=_plain)).digest()


def _plain(value: Any) -> Any:
    """Arrays as lists and mappings as dictionaries, for JSON."""
    return value.tolist() if isinstance(value, np.ndarray) else dict(value)


@lru_cache(maxsize=2)
def _tables_hash(tables: tuple[tuple[str, str], ...]) -> bytes:
    digest = hashlib.sha256()
    for package, file in tables:
        digest.update(resources.files(package).joinpath(file).read_bytes().replace(b"\r\n", b"\n"))
    return digest.digest()


def _nameless(target: Target) -> Target:
    return replace(target, symbols=(), nasals=())


def _check(name: str, values: dict[str, Any]) -> str:
    return hashlib.sha256((name + json.dumps(values, sort_keys=True)).encode()).hexdigest()


def _read(path: Path, name: str) -> Posture | None:
    """The posture of a file; None where there is none or it does not check out."""
    try:
        kept = json.loads(text_given(path, "cache entry"))
        values = kept["parts"]
        if kept["key"] != name or kept["check"] != _check(name, values) or set(values) != {p.name for p in parts()}:
            return None
        return posture_of(**values)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, TractError):
        return None


def _write(path: Path, name: str, made: Posture) -> None:
    """Keep a posture if the folder can be written; a file that stands there is replaced in one step."""
    values = {p.name: float(made[p.name]) for p in parts()}
    text = json.dumps({"format": FORMAT, "key": name, "parts": values, "check": _check(name, values)}, indent=1)
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, draft = tempfile.mkstemp(dir=path.parent, prefix=".draft-", suffix=".json")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
            os.replace(draft, path)
        except OSError:
            with contextlib.suppress(OSError):
                os.unlink(draft)
            raise
