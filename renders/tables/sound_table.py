"""The list of sounds as text in columns and as CSV.

Rows are the dictionaries of `vocaltract.phonetics.inventory.listing`.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any

_TITLES = {"consonant": "Consonants", "allophone": "Variants", "vowel": "Vowels"}
_COLUMNS = ("symbol", "also", "example", "name")


def _cells(row: Mapping[str, Any]) -> tuple[str, str, str, str]:
    return row["symbol"], " ".join(row["aliases"]), row["keyword"], row["name"]


def _width(text: str) -> int:
    """Columns of a terminal: combining marks take none."""
    return sum(not unicodedata.combining(char) for char in text)


def as_text(rows: Sequence[Mapping[str, Any]]) -> str:
    """Three tables (consonants, variants, vowels) in columns; no line break at the end."""
    widths = [
        max(_width(cell) for cell in column)
        for column in zip(_COLUMNS, *(_cells(row) for row in rows), strict=True)
    ]

    def line(cells: Sequence[str]) -> str:
        return "  ".join(
            cell + " " * (width - _width(cell)) for cell, width in zip(cells, widths, strict=True)
        ).rstrip()

    blocks = []
    for kind, title in _TITLES.items():
        of_kind = [line(_cells(row)) for row in rows if row["kind"] == kind]
        blocks.append("\n".join([title, line(_COLUMNS), *of_kind]))
    return "\n\n".join(blocks)


def as_csv(rows: Sequence[Mapping[str, Any]]) -> str:
    """One row a sound, RFC 4180 but for the line ends, which are line feeds; no line break at the end."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["symbol", "also", "example", "kind", "place", "manner", "voiced", "name"])
    for row in rows:
        kind = (row["kind"], row["place"], row["manner"], "yes" if row["voiced"] else "no", row["name"])
        writer.writerow([row["symbol"], " ".join(row["aliases"]), row["keyword"], *kind])
    return text.getvalue().rstrip("\n")
