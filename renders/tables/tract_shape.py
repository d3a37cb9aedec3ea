"""The shape of a tract read from a table, and its resonances as plain values and as text."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

from articulators.errors import BadInput, SurroundingsError, nearest
from renders.tables.columns import in_columns
from renders.tables.measurement import plain_numbers

TUBE_COLUMNS = ("length_cm", "area_cm2")
MOST_SECTIONS = 2000
# what the calculation bears without overflow, far wider than any tract
BOUNDS = {"length_cm": (0.001, 100.0), "area_cm2": (0.001, 1000.0)}


def read_shape(file: str | Path) -> tuple[list[float], list[float]]:
    """Lengths and areas of a table with the columns length_cm and area_cm2, glottis first; other columns are let be.

    Lines that start with # are remarks. BadInput (with the line's number) for a missing file or column, what is
    not a number, a length of 0 or less, an area below 0, an empty table; SurroundingsError where it cannot be read.
    """
    path = Path(file)
    if path.is_dir():
        raise BadInput(f"{path} is a folder; a table (.csv) is needed")
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise BadInput(f"there is no file {path}") from None
    except UnicodeDecodeError:
        raise BadInput(f"{path} is not a text file in UTF-8") from None
    except OSError as error:
        raise SurroundingsError(f"{path} cannot be read: {error.strerror or error}") from None
    numbered = enumerate(text.splitlines(), 1)
    lines = [(n, line) for n, line in numbered if line.strip() and not line.lstrip().startswith("#")]
    if not lines:
        raise BadInput(f"{path} is empty; needed are a heading length_cm,area_cm2 and one line for each section")
    rows = [_fields(path, n, line) for n, line in lines]
    heading = [name.strip() for name in rows[0]]
    for column in TUBE_COLUMNS:
        if column not in heading:
            found = f"{', '.join(heading)}{nearest(column, heading)}"
            raise BadInput(f"{path}, line {lines[0][0]}: column {column} is missing; found: {found}")
    if len(rows) == 1:
        raise BadInput(f"{path} has a heading but no sections")
    if len(rows) - 1 > MOST_SECTIONS:
        raise BadInput(f"{path} has {len(rows) - 1} sections; allowed are up to {MOST_SECTIONS}")
    where = [heading.index(column) for column in TUBE_COLUMNS]
    shape = [
        [_number(path, line, row, at, column) for at, column in zip(where, TUBE_COLUMNS, strict=True)]
        for (line, _), row in zip(lines[1:], rows[1:], strict=True)
    ]
    return [length for length, _ in shape], [area for _, area in shape]


def _fields(path: Path, number: int, line: str) -> list[str]:
    try:
        return next(csv.reader([line]))
    except csv.Error as error:
        raise BadInput(f"{path}, line {number}: not a line of a table ({error})") from None


def _number(path: Path, line: int, row: list[str], at: int, column: str) -> float:
    given = row[at].strip() if at < len(row) else ""
    try:
        value = float(given)
    except ValueError:
        raise BadInput(f"{path}, line {line}: {column} is {given!r}; a number is needed") from None
    if column == "area_cm2" and value == 0:
        raise BadInput(f"{path}, line {line}: area_cm2 is 0; the tract is shut there and has no resonances")
    low, high = BOUNDS[column]
    if not low <= value <= high:  # nan too
        raise BadInput(f"{path}, line {line}: {column} is {given}; allowed is {low:g} to {high:g}")
    return value


def resonances_of(
    file: str | Path, *, lossless: bool = False, sound_speed_cm_s: float | None = None, count: int = 5
) -> dict[str, Any]:
    """Resonances of a shape in a table (see `read_shape`), as plain values for JSON.

    `resonances_hz` (and `bandwidths_hz` with losses), `lossless`, `sound_speed_cm_s`, `sections`, `length_cm`.
    lossless: hard walls, closed glottis, zero pressure at the lips, no end correction.
    """
    lengths, areas = read_shape(file)
    import numpy as np

    from vocaltract.airway import losses, measure, resonance

    speed = losses.medium(sound_speed_cm_s).speed
    values: dict[str, Any] = {}
    if lossless:
        values["resonances_hz"] = plain_numbers(
            resonance.resonances_hz(lengths, areas, lossless=True, sound_speed_cm_s=speed, count=count), 2
        )
    else:
        found = resonance.formants(lengths, areas, sound_speed_cm_s=speed, count=count)
        if not np.isnan(found.frequency_hz).all():
            top = float(np.nanmax(found.frequency_hz)) * 1.2
            frequency = np.linspace(top / 4000, top, 4000)
            response = resonance.transfer(frequency, lengths, areas, sound_speed_cm_s=speed)
            found = measure.with_peaks(found, frequency, response)
        values["resonances_hz"] = plain_numbers(found.frequency_hz, 2)
        values["bandwidths_hz"] = plain_numbers(found.bandwidth_hz, 2)
    values.update(lossless=lossless, sound_speed_cm_s=speed, sections=len(lengths), length_cm=round(sum(lengths), 4))
    return values


def resonances_text(values: dict[str, Any]) -> str:
    """What `resonances_of` gives, as lines of text."""
    hard = "closed glottis, zero pressure at the lips, hard walls"
    rows = [
        ("tract", f"{values['length_cm']:g} cm, {values['sections']} sections"),
        ("speed of sound", f"{values['sound_speed_cm_s']:g} cm/s"),
        ("ends", hard if values["lossless"] else "closed glottis, open lips, losses counted"),
    ]
    widths = values.get("bandwidths_hz") or [None] * len(values["resonances_hz"])
    for i, (hz, width) in enumerate(zip(values["resonances_hz"], widths, strict=True), 1):
        beside = "" if width is None else f", {width:.1f} Hz wide"
        rows.append((f"resonance {i}", "none" if hz is None else f"{hz:.1f} Hz{beside}"))
    return "\n".join(in_columns(rows))
