"""`vocaltract timing`: what it prints, its JSON and its figure, and what is refused."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from renders import cli


def told(argv: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """What a command prints; fails where it fails or says anything on standard error."""
    assert cli.main(["timing", *argv]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_tables(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(["front", "desk"], capsys).splitlines()
    assert lines[0].startswith("front desk  [")
    assert "gestures" in lines
    assert "stops" in lines
    assert any(line.endswith("held: no audible release") for line in lines)


def test_a_word_without_stops_has_no_table_of_them(capsys: pytest.CaptureFixture[str]) -> None:
    assert "stops" not in told(["hello"], capsys).splitlines()


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    report = json.loads(told(["backpack", "--json"], capsys))
    assert (report["command"], report["text"]) == ("timing", "backpack")
    assert {"transcription", "rules", "segments", "stops", "gestures", "duration_s"} <= set(report)
    assert [stop["symbol"] for stop in report["stops"]] == ["b", "k\u031a", "pʰ", "k"]
    assert [stop["release_s"] is None for stop in report["stops"]] == [False, True, False, False]
    assert report["stops"][3]["voicing_onset_s"] is None
    assert {"aspiration", "no audible release"} <= {rule["name"] for rule in report["rules"]}


def test_rules_are_explained_on_request(capsys: pytest.CaptureFixture[str]) -> None:
    assert "one quick tap" in told(["get", "it", "--explain", "plain"], capsys)


def test_a_guess_is_noted(capsys: pytest.CaptureFixture[str]) -> None:
    assert "note: 'blorf': guessed pronunciation, please check" in told(["blorf"], capsys)
    assert json.loads(told(["blorf", "--json"], capsys))["notes"]


@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_figure(
    ending: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    out = told(["desk", "--plot", f"desk.{ending}", "--size", "900x626"], capsys)
    assert out.endswith(f"wrote desk.{ending}\n")
    path = tmp_path / f"desk.{ending}"
    assert [p.name for p in tmp_path.iterdir()] == [path.name]
    if ending == "png":
        assert Image.open(path).size == (900, 626)
    else:
        assert path.read_bytes()[:5] in (b"%PDF-", b"<?xml", b"<svg ")


def test_figure_is_named_in_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plot = tmp_path / "a.svg"
    assert json.loads(told(["a", "--plot", str(plot), "--json"], capsys))["plot"] == str(plot)


@pytest.mark.parametrize(
    ("argv", "what"),
    [
        ([], "TEXT"),
        ([""], "the text is empty"),
        (["?!,"], "?!,"),
        (["[t"], "no matching ']'"),
        (["[t~%]"], "'~'"),
        (["qqzzxx"], "qqzzxx"),
        (["a" * 201], "200"),
        (["towel", "--rate", "fast"], "rate 'fast' is not a number"),
        (["towel", "--rate", "0"], "rate 0 is not possible; allowed is 0.5 to 2"),
        (["towel", "--rate", "nan"], "rate nan is not possible"),
        (["towel", "--rate", "1e9"], "allowed is 0.5 to 2"),
        (["towel", "--explain", "plane"], "allowed: plain, technical (nearest: plain)"),
        (["towel", "--emphasis", "tub"], "emphasis 'tub' is no word of the text; its words: towel"),
        (["towel", "--plot", "towel.gif"], "allowed: .png, .svg, .pdf"),
        (["towel", "--plot", ""], "is not a file name"),
        (["towel", "--plot", "there.png"], "there.png exists; give --force"),
        (["towel", "--plot", "no-such-folder/a.png"], "does not exist"),
        (["towel", "--size", "1x1"], "size 1x1"),
        (["towel", "--csv"], "option '--csv' is unknown"),
    ],
)
def test_bad_input_ends_with_2_and_one_line(
    argv: list[str], what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.png").write_text("mine", encoding="utf-8")
    assert cli.main(["timing", *argv]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("vocaltract: ")
    assert err.count("\n") == 1
    assert what in err
    assert [p.name for p in tmp_path.iterdir()] == ["there.png"]
    assert (tmp_path / "there.png").read_text(encoding="utf-8") == "mine"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close otherwise there")
def test_a_reader_that_leaves_is_no_error(read_by_nobody: Callable[..., tuple[int, bytes]]) -> None:
    assert read_by_nobody("timing", "front desk", "--json") == (0, b"")
