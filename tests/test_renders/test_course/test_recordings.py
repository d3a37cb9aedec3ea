"""A folder of recordings, and the sheet to record by."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from articulators.errors import BadInput
from renders.course.recordings import recording_names, recording_sheet, recordings_folder

ARCTIC = Path(__file__).parents[2] / "reference" / "arctic" / "arctic_a0009.wav"
TEXTS = ("ticket", "front desk", "two keys")


def test_the_sheet_is_numbered_and_names_files() -> None:
    lines = recording_sheet(TEXTS).splitlines()
    assert [line.split() for line in lines[-3:]] == [
        ["1", "ticket", "01-ticket.wav"],
        ["2", "front", "desk", "02-front-desk.wav"],
        ["3", "two", "keys", "03-two-keys.wav"],
    ]
    assert "rights.txt" in recording_sheet(TEXTS)


def test_files_are_found_with_and_without_their_number(tmp_path: Path) -> None:
    for name in ("01-ticket.wav", "front-desk.wav"):
        shutil.copy(ARCTIC, tmp_path / name)
    (tmp_path / "rights.txt").write_text("Our trainer, for this course\n", encoding="utf-8")
    (tmp_path / "notes.md").write_text("none", encoding="utf-8")
    found = recordings_folder(tmp_path)
    assert found.rights == "Our trainer, for this course"
    assert [found.recording(name) is not None for name in recording_names(TEXTS)] == [True, True, False]
    (missing,) = found.missing(TEXTS)
    assert missing == "not recorded, and so said by the model: 'two keys' (two-keys.wav)"
    assert found.missing(TEXTS[:2]) == []


def test_boundaries_beside_a_recording_go_with_it(tmp_path: Path) -> None:
    shutil.copy(ARCTIC, tmp_path / "ticket.wav")
    (tmp_path / "ticket.toml").write_text(
        'text = "t"\n[[sounds]]\nsymbol = "t"\nstart_s = 0.1\nend_s = 0.2', encoding="utf-8"
    )
    made = recordings_folder(tmp_path).recording("ticket")
    assert made is not None and made.boundaries is not None and made.boundaries.text == "t"


def test_what_does_not_fit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such folder"):
        recordings_folder(tmp_path / "none")
    for name in ("01-ticket.wav", "ticket.flac"):
        shutil.copy(ARCTIC, tmp_path / name)
    with pytest.raises(BadInput, match="are both 'ticket'; keep one"):
        recordings_folder(tmp_path)
    (tmp_path / "ticket.flac").unlink()
    (tmp_path / "rights.txt").write_text("one\ntwo\n", encoding="utf-8")
    with pytest.raises(BadInput, match="one line"):
        recordings_folder(tmp_path)
