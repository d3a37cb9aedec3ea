"""Shipped databases: what is missing or damaged is told, and nothing can be written."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from articulators.errors import SurroundingsError
from vocaltract.words.lexicon.databases import DICTIONARY, opened


def test_missing_and_damaged_database_are_the_surroundings(tmp_path: Path) -> None:
    with (
        pytest.raises(SurroundingsError, match=r"nowhere\.sqlite cannot be read"),
        opened(tmp_path / "nowhere.sqlite") as connection,
    ):
        connection.execute("SELECT 1 FROM entry")
    damaged = tmp_path / "damaged.sqlite"
    damaged.write_bytes(b"not a database " * 100)
    with pytest.raises(SurroundingsError), opened(damaged) as connection:
        connection.execute("SELECT 1 FROM entry")


def test_shipped_databases_are_read_only() -> None:
    with pytest.raises(SurroundingsError), opened(DICTIONARY) as connection:
        connection.execute("DELETE FROM entry")
    assert sqlite3.threadsafety >= 0
