"""Faults planted in a data file, one at a time: what its reader must refuse, and how the message must begin."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of

_KEY = re.compile(r"([A-Za-z_]\w*) = ")


@dataclass(frozen=True)
class Planted:
    """A text with one fault, and what must be said of it somewhere in the message."""

    fault: str
    text: str
    said: str


def planted(text: str, free: Collection[str] = ()) -> Iterator[Planted]:
    """Every fault of a kind in every table of a TOML text.

    Each source is left out and emptied, each key is misspelt, but for those in ``free`` tables (their dotted names),
    whose keys are names that the file itself gives.
    """
    lines = text.splitlines(keepends=True)
    table = ""
    for number, line in enumerate(lines):
        heading = re.match(r"\[+([\w.]+)\]", line)
        table = heading[1] if heading else table
        found = _KEY.match(line)
        if found is None:
            continue
        key, place = found[1], f"{table}, line {number + 1}"

        def instead(other: str, at: int = number) -> str:
            return "".join([*lines[:at], other, *lines[at + 1 :]])

        if key == "source":
            yield Planted(f"no source in {place}", instead("\n"), "key 'source' is missing")
            yield Planted(f"an empty source in {place}", instead('source = " "\n'), "'source' is empty")
        if table not in free:
            yield Planted(f"{key} misspelt in {place}", instead(f"x{line}"), f"key 'x{key}' is unknown")


def refuses_planted_faults(package: str, file: str, kind: type[Any]) -> None:
    """Fails where the file of a package does not fit its kind, or a fault planted in it is not told."""
    text = text_of(package, file)
    parsed(text, kind, file)
    faults = list(planted(text))
    assert faults
    for fault in faults:
        with pytest.raises(BadInput) as caught:
            parsed(fault.text, kind, file)
        assert file in str(caught.value) and fault.said in str(caught.value), (fault.fault, str(caught.value))
