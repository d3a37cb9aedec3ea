"""Where the shipped databases lie, and how they are opened: read-only."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import cache
from pathlib import Path

from articulators.errors import SurroundingsError

DATA = Path(__file__).parent.parent / "data"
DICTIONARY = DATA / "dictionary.sqlite"
PRACTICE = DATA / "practice.sqlite"
GUESSES = DATA / "guess.bin"


@cache
def _address(path: Path) -> str:
    return f"{path.resolve().as_uri()}?mode=ro&immutable=1"


@contextmanager
def opened(path: Path) -> Iterator[sqlite3.Connection]:
    """A shipped database, read-only. Raises SurroundingsError if it is missing or damaged."""
    try:
        with closing(sqlite3.connect(_address(path), uri=True)) as connection:
            yield connection
    except sqlite3.Error as error:
        raise SurroundingsError(f"data file {path.name} cannot be read: {error}") from error
