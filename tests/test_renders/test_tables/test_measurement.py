"""A measurement as text, JSON and figure. No outside reference: what is measured is tested where it is measured."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from renders.tables import measurement, measurement_plot
from vocaltract.airway.measure import measure_sound
from vocaltract.phonetics.postures import posture

FIELDS = (
    "formants_hz",
    "bandwidths_hz",
    "area_cm2",
    "section_length_cm",
    "constriction",
    "port_area_cm2",
    "sound_speed_cm_s",
)


def test_values_are_plain_and_complete() -> None:
    values = json.loads(json.dumps(measurement.measurement_values(measure_sound(posture("i"))), allow_nan=False))
    assert all(field in values for field in FIELDS)
    assert len(values["formants_hz"]) == len(values["bandwidths_hz"]) == 5
    assert len(values["area_cm2"]) == len(values["section_length_cm"])
    assert values["formants_hz"] == sorted(values["formants_hz"])
    assert values["constriction"]["place"] == "palatal"


def test_shut_tract_is_told_and_not_a_number_is_never_written() -> None:
    measured = measure_sound(posture("t"))
    values = json.loads(json.dumps(measurement.measurement_values(measured), allow_nan=False))
    assert values["formants_hz"] == [None] * 5
    said = measurement.measurement_text(measured)
    assert "alveolar, shut" in said and "none: the tract is shut" in said


@pytest.mark.parametrize("key", ["i", "t", "n"])
def test_figure_is_written_and_described(tmp_path: Path, key: str) -> None:
    measured = measure_sound(posture(key))
    measurement_plot.write_plot(measured, tmp_path / "plot.svg", title=f"[{key}]")
    text = (tmp_path / "plot.svg").read_text(encoding="utf-8")
    assert measured.constriction.place in text
