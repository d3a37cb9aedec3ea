"""Writes a database anew, moved into place when it is complete."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Mapping
from contextlib import closing
from pathlib import Path


def write_database(path: Path, schema: str, tables: Mapping[str, Iterable[tuple[object, ...]]]) -> None:
    """A fresh database beside `path`, moved into place when complete."""
    fresh = path.with_suffix(".building")
    fresh.unlink(missing_ok=True)
    with closing(sqlite3.connect(fresh)) as connection:
        connection.executescript(schema)
        for table, content in tables.items():
            content = list(content)
            if content:
                marks = ",".join("?" * len(content[0]))
                connection.executemany(f"INSERT INTO {table} VALUES ({marks})", content)
        connection.commit()
        connection.execute("VACUUM")
    os.replace(fresh, path)
