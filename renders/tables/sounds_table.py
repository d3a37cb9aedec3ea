"""The list of sounds as text in columns and as CSV.

Rows are the dictionaries of `vocaltract.naming.listing.listing`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from renders.tables.columns import csv_text, in_columns

_TITLES = {"consonant": "Consonants", "allophone": "Variants", "vowel": "Vowels"}
_HEADING = ("type", "or", "example", "name")
ALSO_SHOWN = 3  # names in a row of text
CSV_COLUMNS = ("symbol", "type", "also", "example", "kind", "place", "manner", "voiced", "name")


def sounds_text(rows: Sequence[Mapping[str, Any]]) -> str:
    """Three tables (consonants, variants, vowels) in columns; no line break at the end."""
    cells = [(row["type"], ", ".join(row["also"][:ALSO_SHOWN]), row["keyword"], row["name"]) for row in rows]
    heading, *lines = in_columns([_HEADING, *cells])
    blocks = []
    for kind, title in _TITLES.items():
        of_kind = [line for line, row in zip(lines, rows, strict=True) if row["kind"] == kind]
        blocks.append("\n".join([title, heading, *of_kind]))
    return "\n\n".join(blocks)


def sounds_csv(rows: Sequence[Mapping[str, Any]]) -> str:
    """One row a sound under CSV_COLUMNS; no line break at the end."""
    made = []
    for row in rows:
        taken = {key: row[key] for key in ("symbol", "type", "kind", "place", "manner", "name")}
        voiced = "yes" if row["voiced"] else "no"
        made.append({**taken, "also": ", ".join(row["also"]), "example": row["keyword"], "voiced": voiced})
    return csv_text(CSV_COLUMNS, made)
