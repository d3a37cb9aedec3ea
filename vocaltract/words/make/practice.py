"""Makes data/practice.sqlite, the database that the room `practice` reads."""

from __future__ import annotations

from pathlib import Path

from vocaltract.words.make import examples, listing
from vocaltract.words.make.database import write_database
from vocaltract.words.practice import postings


def build_practice(path: Path) -> int:
    """Writes the practice database; returns its number of rows."""
    tables = {**examples.tables(), **listing.tables()}
    write_database(path, examples.SCHEMA + postings.SCHEMA, tables)
    return sum(map(len, tables.values()))
