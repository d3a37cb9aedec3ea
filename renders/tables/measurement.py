"""A measurement for readers: as text, as plain values for JSON, and as a figure of section, areas and response.

Also reads the shape of a tract from a table and tells its resonances.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput, SurroundingsError, nearest

if TYPE_CHECKING:
    from vocaltract.airway.measure import Measurement

COLUMNS = ("length_cm", "area_cm2")
MOST_SECTIONS = 2000
# what the calculation bears without overflow, far wider than any tract
BOUNDS = {"length_cm": (0.001, 100.0), "area_cm2": (0.001, 1000.0)}


def measurement_values(measurement: Measurement) -> dict[str, Any]:
    """The measurement as plain numbers, lists and texts; what does not exist (a formant of a shut tract) is None."""
    narrow = measurement.constriction
    return {
        "formants_hz": _numbers(measurement.formants_hz, 1),
        "bandwidths_hz": _numbers(measurement.bandwidths_hz, 1),
        "area_cm2": _numbers(measurement.area_cm2, 4),
        "section_length_cm": _numbers(measurement.section_length_cm, 4),
        "constriction": {
            "place": narrow.place,
            "x_mm": round(narrow.x_mm, 1),
            "y_mm": round(narrow.y_mm, 1),
            "area_cm2": round(narrow.area_cm2, 4),
            "from_glottis_cm": round(narrow.from_glottis_cm, 2),
            "from_lips_cm": round(narrow.from_lips_cm, 2),
        },
        "lip_area_cm2": round(measurement.lip_area_cm2, 4),
        "contact": list(measurement.contact),
        "port_area_cm2": round(measurement.port_area_cm2, 4),
        "tract_length_cm": round(float(measurement.section_length_cm.sum()), 2),
        "sound_speed_cm_s": measurement.sound_speed_cm_s,
    }


def _numbers(values: Any, digits: int) -> list[float | None]:
    return [round(float(v), digits) if math.isfinite(v) else None for v in values]


def report(measurement: Measurement) -> str:
    """The measurement as lines of text."""
    values = measurement_values(measurement)
    narrow = values["constriction"]
    area = narrow["area_cm2"]
    how = "shut" if area <= 0 else f"{area:.2f} cm2"
    rows = [
        ("narrowest place", f"{narrow['place']}, {how}, {narrow['from_lips_cm']:.1f} cm behind the lips' end"),
        ("contact", "; ".join(values["contact"]) or "none"),
        ("lip opening", f"{values['lip_area_cm2']:.2f} cm2"),
        ("way to the nose", f"{values['port_area_cm2']:.2f} cm2"),
        ("length of the tract", f"{values['tract_length_cm']:.1f} cm, {len(values['area_cm2'])} sections"),
    ]
    for i, (hz, width) in enumerate(zip(values["formants_hz"], values["bandwidths_hz"], strict=True), 1):
        if hz is None:
            rows.append(("formants", "none: the tract is shut"))
            break
        rows.append((f"F{i}", f"{hz:.0f} Hz, {width:.0f} Hz wide"))
    rows.append(("speed of sound", f"{values['sound_speed_cm_s']:.0f} cm/s"))
    return _aligned(rows)


def _aligned(rows: list[tuple[str, str]]) -> str:
    wide = max(len(name) for name, _ in rows)
    return "\n".join(f"{name:<{wide}}  {value}" for name, value in rows)


def read_areas(file: str | Path) -> tuple[list[float], list[float]]:
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
    for column in COLUMNS:
        if column not in heading:
            found = f"{', '.join(heading)}{nearest(column, heading)}"
            raise BadInput(f"{path}, line {lines[0][0]}: column {column} is missing; found: {found}")
    if len(rows) == 1:
        raise BadInput(f"{path} has a heading but no sections")
    if len(rows) - 1 > MOST_SECTIONS:
        raise BadInput(f"{path} has {len(rows) - 1} sections; allowed are up to {MOST_SECTIONS}")
    where = [heading.index(column) for column in COLUMNS]
    shape = [
        [_number(path, line, row, at, column) for at, column in zip(where, COLUMNS, strict=True)]
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


def areas_report(
    file: str | Path, *, lossless: bool = False, sound_speed_cm_s: float | None = None, count: int = 5
) -> dict[str, Any]:
    """Resonances of a shape in a table (see `read_areas`), as plain values for JSON.

    `resonances_hz` (and `bandwidths_hz` with losses), `lossless`, `sound_speed_cm_s`, `sections`, `length_cm`.
    lossless: hard walls, closed glottis, zero pressure at the lips, no end correction.
    """
    lengths, areas = read_areas(file)
    import numpy as np

    from vocaltract.airway import losses, measure, resonance

    speed = losses.medium(sound_speed_cm_s).speed
    values: dict[str, Any] = {}
    if lossless:
        values["resonances_hz"] = _numbers(
            resonance.resonances_hz(lengths, areas, lossless=True, sound_speed_cm_s=speed, count=count), 2
        )
    else:
        found = resonance.formants(lengths, areas, sound_speed_cm_s=speed, count=count)
        if not np.isnan(found.frequency_hz).all():
            top = float(np.nanmax(found.frequency_hz)) * 1.2
            frequency = np.linspace(top / 4000, top, 4000)
            response = resonance.transfer(frequency, lengths, areas, sound_speed_cm_s=speed)
            found = measure.with_peaks(found, frequency, response)
        values["resonances_hz"] = _numbers(found.frequency_hz, 2)
        values["bandwidths_hz"] = _numbers(found.bandwidth_hz, 2)
    values.update(lossless=lossless, sound_speed_cm_s=speed, sections=len(lengths), length_cm=round(sum(lengths), 4))
    return values


def areas_text(values: dict[str, Any]) -> str:
    """What `areas_report` gives, as lines of text."""
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
    return _aligned(rows)
