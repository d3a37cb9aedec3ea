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
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
from msgspec.structs import replace

from articulators.errors import BadInput
from articulators.head import Head
from articulators.posture import Posture, parts, posture_of
from vocaltract.phonetics.targets import Target

VARIABLE = "VOCALTRACT_CACHE"
FORMAT = 1
HASHED_TABLES = (
    ("articulators", "data/posture.toml"),
    ("vocaltract.phonetics", "data/places.toml"),
    ("vocaltract.phonetics", "data/solver.toml"),
)


def folder() -> Path:
    """Where solved postures are kept: the folder that VOCALTRACT_CACHE names, else the user's cache folder."""
    import platformdirs

    named = os.environ.get(VARIABLE, "").strip()
    return Path(named) if named else Path(platformdirs.user_cache_dir("vocaltract", appauthor=False))


def solved_posture(target: Target, head: Head) -> Posture:
    """The posture that meets a target on a head; solved only where neither memory nor the cache holds it."""
    return _held(_nameless(target), head, str(folder()))


@lru_cache(maxsize=1024)
def _held(target: Target, head: Head, where: str) -> Posture:
    name = key(target, head)
    path = Path(where) / f"{name}.json"
    found = _read(path, name)
    if found is None:
        from vocaltract.phonetics.solver import solve

        found = solve(target, head)
        _write(path, name, found)
    return found


def key(target: Target, head: Head) -> str:
    """SHA-256 of all that a solved posture depends on: head, target without its symbols, solver, tables of numbers."""
    from vocaltract.phonetics.solver import SOLVER_VERSION

    digest = hashlib.sha256(f"solver {SOLVER_VERSION} format {FORMAT}\n".encode())
    digest.update(msgspec.json.encode(_nameless(target)))
    digest.update(_head_hash(head))
    digest.update(_tables_hash())
    return digest.hexdigest()


@lru_cache(maxsize=8)
def _head_hash(head: Head) -> bytes:
    return hashlib.sha256(msgspec.json.encode(head, enc_hook=np.ndarray.tolist)).digest()


@lru_cache(maxsize=1)
def _tables_hash() -> bytes:
    digest = hashlib.sha256()
    for package, file in HASHED_TABLES:
        digest.update(resources.files(package).joinpath(file).read_bytes().replace(b"\r\n", b"\n"))
    return digest.digest()


def _nameless(target: Target) -> Target:
    return replace(target, symbols=(), nasals=())


def _check(name: str, values: dict[str, Any]) -> str:
    return hashlib.sha256((name + json.dumps(values, sort_keys=True)).encode()).hexdigest()


def _read(path: Path, name: str) -> Posture | None:
    """The posture of a file; None where there is none or it does not check out."""
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        values = kept["parts"]
        if kept["key"] != name or kept["check"] != _check(name, values) or set(values) != {p.name for p in parts()}:
            return None
        return posture_of(**values)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError, BadInput):
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
