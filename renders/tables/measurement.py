"""A measurement as text and as plain values for JSON."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from renders.tables.columns import in_columns

if TYPE_CHECKING:
    from vocaltract.airway.measure import Measurement


def measurement_values(measurement: Measurement) -> dict[str, Any]:
    """The measurement as plain numbers, lists and texts; what does not exist (a formant of a shut tract) is None."""
    narrow = measurement.constriction
    return {
        "formants_hz": plain_numbers(measurement.formants_hz, 1),
        "bandwidths_hz": plain_numbers(measurement.bandwidths_hz, 1),
        "area_cm2": plain_numbers(measurement.area_cm2, 4),
        "section_length_cm": plain_numbers(measurement.section_length_cm, 4),
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


def plain_numbers(values: Any, digits: int) -> list[float | None]:
    """Numbers rounded for JSON; None for what is not finite."""
    return [round(float(v), digits) if math.isfinite(v) else None for v in values]


def measurement_text(measurement: Measurement) -> str:
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
    return "\n".join(in_columns(rows))
