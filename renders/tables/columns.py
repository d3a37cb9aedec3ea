"""Rows as text in columns, for a terminal, and as CSV."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Any


def columns_wide(text: str) -> int:
    """Columns of a terminal that a text takes: combining marks take none."""
    return sum(not unicodedata.combining(char) for char in text)


def in_columns(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """A line for each row, its cells in columns two spaces apart; those numbered in ``right`` end at one edge."""
    widths = [max(columns_wide(cell) for cell in column) for column in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = []
        for i, (cell, wide) in enumerate(zip(row, widths, strict=True)):
            room = " " * (wide - columns_wide(cell))
            cells.append(room + cell if i in right else cell + room)
        lines.append("  ".join(cells).rstrip())
    return lines


def csv_text(columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> str:
    """Rows under their columns: RFC 4180 but for the line ends, which are line feeds; no line break at the end."""
    text = io.StringIO()
    writer = csv.DictWriter(text, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue().rstrip("\n")
