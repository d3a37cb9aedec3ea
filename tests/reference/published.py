"""Rows of the published figures beside this file, as frozen values.

A test that reads a row names the row's id; the source, the status and the licence stand in the row.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

HERE = Path(__file__).parent
CMH2O_PA = 98.0665  # conventional centimetre of water, exact


@dataclass(frozen=True)
class Figure:
    """One published figure: value with its range, in `unit`; None where the source gives none."""

    key: str
    unit: str
    value: float | None
    low: float | None
    high: float | None
    sd: float | None
    source: str
    status: str

    @property
    def range(self) -> tuple[float, float]:
        assert self.low is not None and self.high is not None, f"{self.key} has no range"
        return self.low, self.high

    @property
    def within_sd(self) -> tuple[float, float]:
        assert self.value is not None and self.sd is not None, f"{self.key} has no standard deviation"
        return self.value - self.sd, self.value + self.sd

    @property
    def mean(self) -> float:
        assert self.value is not None, f"{self.key} has no value"
        return self.value


@cache
def table(name: str) -> dict[str, Figure]:
    """All rows of a file by id."""
    with (HERE / f"{name}.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))

    def number(text: str) -> float | None:
        return float(text) if text else None

    return {
        r["id"]: Figure(
            r["id"],
            r["unit"],
            number(r["value"]),
            number(r["low"]),
            number(r["high"]),
            number(r["sd"]),
            r["source"],
            r["status"],
        )
        for r in rows
    }


def air(key: str) -> Figure:
    """A row of air_of_speech.csv."""
    return table("air_of_speech")[key]


def timing(key: str) -> Figure:
    """A row of timing_of_stops.csv."""
    return table("timing_of_stops")[key]


def size(key: str) -> Figure:
    """A row of sizes_of_the_mouth.csv."""
    return table("sizes_of_the_mouth")[key]


def speed(key: str) -> Figure:
    """A row of speeds_of_movement.csv."""
    return table("speeds_of_movement")[key]
