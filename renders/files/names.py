"""Names of files for any text: safe on every system, and told apart by sound."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence

from articulators.records import Record, Row, table

LONGEST_SLUG = 60


class Spelling(Row, frozen=True):
    """How IPA symbols are spelled: symbol to words."""

    spelled: Mapping[str, str]


class Reserved(Row, frozen=True):
    """Names that some system keeps for a device."""

    names: tuple[str, ...]


class FileNames(Record, frozen=True):
    """What names of files are made by."""

    symbols: Spelling
    reserved: Reserved


def slug(text: str) -> str:
    """A file name for any text: lower-case ASCII letters, digits and single hyphens, 1 to 60 characters.

    IPA symbols are spelled out by data/file_names.toml (ʃ becomes "esh"), accents are dropped, what is left
    becomes a hyphen. Never a name that some system reserves for a device.
    """
    rules = table("renders.files", "file_names.toml", FileNames)
    marks = rules.symbols.spelled
    pieces: list[str] = []
    for char in unicodedata.normalize("NFD", text):
        if char in marks:
            pieces.append(f"-{marks[char]}-")
        elif not unicodedata.combining(char):
            plain = unicodedata.normalize("NFKD", char)
            pieces.append("".join(c for c in plain if not unicodedata.combining(c)).lower())
    name = re.sub(r"[^a-z0-9]+", "-", "".join(pieces)).strip("-")
    name = name[:LONGEST_SLUG].rstrip("-") or "unnamed"
    if name in rules.reserved.names:
        name += "-sound"
    return name


def unique_slugs(texts: Sequence[str]) -> list[str]:
    """A slug for each text, no two alike; the second "t" becomes "t-2"."""
    taken: set[str] = set()
    result = []
    for text in texts:
        base = name = slug(text)
        count = 1
        while name in taken:
            count += 1
            tail = f"-{count}"
            name = base[: LONGEST_SLUG - len(tail)].rstrip("-") + tail
        taken.add(name)
        result.append(name)
    return result
