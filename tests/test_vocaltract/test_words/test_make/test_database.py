"""A database appears whole or not at all."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from vocaltract.words.make.database import write_database

SCHEMA = "CREATE TABLE word (text TEXT PRIMARY KEY, rank INTEGER NOT NULL) WITHOUT ROWID;"


def content(path: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT text, rank FROM word").fetchall()


def test_rows_are_written_in_place_of_the_old_ones(tmp_path: Path) -> None:
    path = tmp_path / "words.sqlite"
    write_database(path, SCHEMA, {"word": [("key", 1), ("door", 2)]})
    write_database(path, SCHEMA, {"word": [("towel", 1)]})
    assert content(path) == [("towel", 1)]
    assert [file.name for file in tmp_path.iterdir()] == ["words.sqlite"]


def test_a_build_that_breaks_off_leaves_the_old_one(tmp_path: Path) -> None:
    def broken() -> Iterator[tuple[object, ...]]:
        yield ("door", 1)
        raise KeyError("door")

    path = tmp_path / "words.sqlite"
    write_database(path, SCHEMA, {"word": [("key", 1)]})
    with pytest.raises(KeyError):
        write_database(path, SCHEMA, {"word": broken()})
    assert content(path) == [("key", 1)]
