"""Commands led by a recording, and what is told where one cannot be used."""

from __future__ import annotations

import json
import re
import shutil
import sys
from pathlib import Path

import pytest

from renders import cli

ARCTIC = Path(__file__).parents[2] / "reference" / "arctic" / "arctic_a0009.wav"
TEXT = "He turned sharply, and faced Gregson across the table"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(ARCTIC, "said.wav")


def test_a_film_carries_the_recording(capsys: pytest.CaptureFixture[str]) -> None:
    import av
    import numpy as np

    pytest.importorskip("pocketsphinx")
    asked = ["film", TEXT, "--recording", "said.wav", "--speed", "1", "--fps", "10", "--size", "320x180", "--captions",
             "none", "--out", "a.mp4", "--json"]  # fmt: skip
    assert cli.main(asked) == 0
    made = json.loads(capsys.readouterr().out)
    assert "recording" in made["sound"] and any("not judged" in note for note in made["notes"])

    def samples(name: str) -> np.ndarray:
        with av.open(name) as file:
            resampler = av.AudioResampler(format="fltp", layout="mono", rate=8000)
            parts = [p.to_ndarray()[0] for f in file.decode(audio=0) for p in resampler.resample(f)]
        return np.concatenate(parts)

    film, own = samples("a.mp4"), samples("said.wav")
    likeness = np.correlate(film, own[4000:20000], "valid")
    best = int(np.argmax(likeness))
    part = film[best : best + 16000]
    assert np.corrcoef(part, own[4000:20000])[0, 1] > 0.97


def test_boundaries_are_written_corrected_and_read(capsys: pytest.CaptureFixture[str]) -> None:
    pytest.importorskip("pocketsphinx")
    asked = ["timing", TEXT, "--recording", "said.wav", "--boundaries", "said.toml", "--json"]
    assert cli.main(asked) == 0
    first = json.loads(capsys.readouterr().out)
    assert first["boundaries"] == "said.toml"
    text = Path("said.toml").read_text(encoding="utf-8")
    starts = re.findall(r"^start_s = (.*)$", text, re.MULTILINE)
    Path("said.toml").write_text(text.replace(f"start_s = {starts[1]}", f"start_s = {float(starts[1]) - 0.02:.3f}"))
    assert cli.main(asked) == 0
    second = json.loads(capsys.readouterr().out)
    moved = [a["start_s"] - b["start_s"] for a, b in zip(first["segments"], second["segments"], strict=True)]
    assert moved[1] == pytest.approx(0.02, abs=0.002) and moved[2:] == pytest.approx([0] * len(moved[2:]), abs=0.002)
    assert "boundaries" not in second


@pytest.mark.parametrize(
    ("argv", "told"),
    [
        (["film", TEXT, "--recording", "none.wav", "--out", "a.mp4"], r"no such file \(nearest: said.wav\)"),
        (["strip", "good night", "--recording", "said.wav"], "said.wav does not fit 'good night'"),
        (["strip", TEXT, "--boundaries", "a.toml"], "--boundaries is about a recording; name that with --recording"),
        (["strip", TEXT, "--recording", "said.wav", "--boundaries", "a.toml"], "a.toml: no such file; `voc"),
        (["strip", TEXT, "--recording", "said.wav", "--rate", "2"], "leave the rate out"),
        (["pair", "t", "d", "--recording-a", "said.wav"], "a recording leads a word or a phrase; 't' is the name"),
        (["page", "t", "--recording-a", "said.wav"], "a recording leads a word or a phrase; 't' is the name"),
        (["page", "desk", "--recording-b", "said.wav"], "--recording-b goes with a second text"),
    ],
)
def test_what_cannot_be_is_one_line(argv: list[str], told: str, capsys: pytest.CaptureFixture[str]) -> None:
    pytest.importorskip("pocketsphinx")
    assert cli.main(argv) == 2
    error = capsys.readouterr().err
    assert re.search(told, error) and error.count("\n") == 1
    assert [file.name for file in Path().iterdir()] == ["said.wav"]


def test_without_the_recogniser_one_line_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from vocaltract.recording import listener

    monkeypatch.setitem(sys.modules, "pocketsphinx", None)
    listener.listener.cache_clear()
    assert cli.main(["strip", "good night", "--recording", "said.wav"]) == 1
    assert "pip install" in (error := capsys.readouterr().err) and error.count("\n") == 1
    monkeypatch.setattr(sys, "version_info", (3, 19, 0))
    assert cli.main(["strip", "good night", "--recording", "said.wav"]) == 1
    assert "no wheel for Python 3.19 yet; use Python 3.11 to 3.13" in capsys.readouterr().err
    assert [file.name for file in Path().iterdir()] == ["said.wav"]


def test_a_sheet_of_what_to_record(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["lesson", "t", "d", "--word", "ticket", "--word", "desk", "--recording-sheet"]) == 0
    assert "01-ticket.wav" in capsys.readouterr().out
    assert [file.name for file in Path().iterdir()] == ["said.wav"]
    assert cli.main(["lesson", "t", "d", "--recordings", "none"]) == 2
    assert "no such folder" in capsys.readouterr().err
