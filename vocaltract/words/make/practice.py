"""Makes data/practice.sqlite, the database that the room `practice` reads."""

from __future__ import annotations

from pathlib import Path

from vocaltract.words.make.database import write_database
from vocaltract.words.make.examples import EXAMPLE_SCHEMA, example_tables
from vocaltract.words.make.listing import LISTING_SCHEMA, listing_tables


def build_practice(path: Path) -> int:
    """Writes the practice database; returns its number of rows."""
    tables = {**example_tables(), **listing_tables()}
    write_database(path, EXAMPLE_SCHEMA + LISTING_SCHEMA, tables)
    return sum(map(len, tables.values()))
