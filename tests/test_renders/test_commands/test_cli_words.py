"""`vocaltract words`: lists in all forms, what is refused, and that reading half of a list is no error."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from renders import cli
from renders.tables.words_table import PAIR_COLUMNS, WORD_COLUMNS


def said(argv: str, capsys: pytest.CaptureFixture[str]) -> str:
    """What a command prints; fails where it fails or says anything on standard error."""
    assert cli.main(argv.split()) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_overview_has_a_line_for_each_place(capsys: pytest.CaptureFixture[str]) -> None:
    lines = said("words t", capsys).splitlines()
    assert lines[0] == "[t]: words by place, the commonest first"
    places = [line.split()[0] for line in lines[2:-2]]
    assert {"initial", "medial", "final", "held", "flapped", "aspirated", "glottal"} <= set(places)
    assert all(int(line.split()[1]) > 0 for line in lines[2:-2])
    assert max(map(len, lines)) <= 100


def test_one_place_is_a_table(capsys: pytest.CaptureFixture[str]) -> None:
    lines = said("words t --where flapped --count 5", capsys).splitlines()
    assert lines[0].startswith("[t] flapped: 5 of ")
    assert lines[2].split() == ["word", "transcription", "[t]", "is", "also", "commonness"]
    assert len(lines) == 3 + 5 + 2
    assert all("ɾ" in line for line in lines[3:8])


def test_pairs_are_a_table_and_marked(capsys: pytest.CaptureFixture[str]) -> None:
    lines = said("words t --against d --where medial --count all", capsys).splitlines()
    writer = next(line for line in lines if line.startswith("writer "))
    assert writer.endswith("same flap, differ only in vowel length")
    assert "rider" in writer


def test_json_of_words(capsys: pytest.CaptureFixture[str]) -> None:
    report = json.loads(said("words k --where held --where medial --count 7 --json", capsys))
    assert (report["command"], report["sound"], report["where"]) == ("words", "k", ["held", "medial"])
    assert report["total"] == report["places"]["held medial"] > 7
    assert len(report["words"]) == 7
    for row in report["words"]:
        assert set(row) == set(WORD_COLUMNS)
        assert row["symbol"] == "k\u031a"
        assert {"held", "medial"} <= set(row["places"])


def test_json_without_a_place_has_every_place(capsys: pytest.CaptureFixture[str]) -> None:
    report = json.loads(said("words l --count 2 --json", capsys))
    assert report["where"] == []
    assert set(report["places"]) == {row["where"] for row in report["words"]}
    assert report["total"] > max(report["places"].values())


def test_json_of_pairs(capsys: pytest.CaptureFixture[str]) -> None:
    report = json.loads(said("words v --against w --count all --json", capsys))
    assert (report["sound"], report["against"]) == ("v", "w")
    assert report["total"] == len(report["pairs"]) == sum(report["places"].values())
    pair = next(p for p in report["pairs"] if p["first"]["word"] == "vest")
    assert pair["second"]["word"] == "west"
    assert (pair["where"], pair["same_flap"], pair["note"]) == ("initial", False, None)


@pytest.mark.parametrize("form", ["--csv", "--csv list.csv", "--out list.csv"])
def test_csv_reads_back(
    form: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    printed = said(f"words ʃ --where initial --count 9 {form}", capsys)
    text = printed if form == "--csv" else (tmp_path / "list.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert tuple(rows[0]) == WORD_COLUMNS
    assert len(rows) == 9
    assert all(row["symbol"].startswith("ʃ") and row["where"] == "initial" for row in rows)


def test_csv_of_pairs_reads_back(capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(csv.DictReader(io.StringIO(said("words t --against d --count all --csv", capsys))))
    assert tuple(rows[0]) == PAIR_COLUMNS
    alike = {(row["first"], row["second"]) for row in rows if row["same_flap"] == "yes"}
    assert ("writer", "rider") in alike
    assert all(row["note"] for row in rows if row["same_flap"] == "yes")


def test_space_around_a_name_is_no_part_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["words", " t\n"]) == 0
    assert capsys.readouterr().out == said("words t", capsys)


def test_options_may_stand_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert said("words --csv t", capsys) == said("words t --csv", capsys)


def test_lists_in_files(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for ending in ("txt", "csv", "json"):
        assert said(f"words m --where final --out m.{ending}", capsys) == f"wrote m.{ending}\n"
    text = (tmp_path / "m.txt").read_text(encoding="utf-8")
    rows = json.loads((tmp_path / "m.json").read_text(encoding="utf-8"))["words"]
    assert len(rows) == 20
    assert all(row["word"] in text for row in rows)
    assert json.loads(said("words m --where final --out m.csv --force --json", capsys))["count"] == 20


@pytest.mark.parametrize(
    ("argv", "what"),
    [
        (["words"], "words needs a SOUND"),
        (["words", "zzh"], "sound 'zzh' is not in the inventory"),
        (["words", ""], "no sound given"),
        (["words", "т"], "CYRILLIC"),
        (["words", "ʙ"], "[ʙ] is no sound of American English"),
        (["words", "t", "--against", "ʘ"], "[ʘ] is no sound of American English"),
        (["words", "[ʈ]"], "[ʈ] is no sound of American English"),
        (["words", "[r]"], "[r] is no sound of American English"),
        (["words", "t", "--against", "[ʈ]"], "[ʈ] is no sound of American English"),
        (["words", "t", "--against", "t"], "the same sound"),
        (["words", "t", "d"], "'d' is one argument too many"),
        (["words", "t", "--where", "intial"], "(nearest: initial)"),
        (["words", "t", "--where", ""], "place '' is unknown"),
        (["words", "t", "--where", "initial,,final"], "place '' is unknown"),
        (["words", "h", "--where", "final"], "no common English word has [h] final"),
        (["words", "v", "--against", "w", "--where", "final"], "no common minimal pair"),
        (["words", "t", "--count", "0"], "count '0' is not a whole number from 1, or all"),
        (["words", "t", "--count", "-1"], "count"),
        (["words", "t", "--count", "2.5"], "count '2.5' is not"),
        (["words", "t", "--count", "١"], "count '١' is not"),
        (["words", "t", "--count", "99999999999999999999"], "is not a whole number"),
        (["words", "t", "--csv", "--json"], "give one of them"),
        (["words", "t", "--csv", "words.txt"], "not a file ending in .csv"),
        (["words", "t", "--csv", "a.csv", "--out", "b.csv"], "give one of them"),
        (["words", "t", "--out", "words.xml"], "allowed: .txt, .csv, .json"),
        (["words", "t", "--out", "there.csv"], "there.csv exists; give --force"),
        (["words", "t", "--csv", "no-such-folder/a.csv"], "does not exist"),
        (["words", "[t"], "'[t' is not in the inventory"),
        (["words", "[t\u0000]"], "U+0000"),
    ],
)
def test_bad_input_ends_with_2_and_one_line(
    argv: list[str], what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.csv").write_text("mine", encoding="utf-8")
    status = cli.main(argv)
    out, err = capsys.readouterr()
    assert status == 2
    assert out == ""
    assert err.startswith("vocaltract: ")
    assert err.count("\n") == 1
    assert what in err
    assert [p.name for p in tmp_path.iterdir()] == ["there.csv"]
    assert (tmp_path / "there.csv").read_text(encoding="utf-8") == "mine"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close otherwise there")
def test_a_reader_that_leaves_is_no_error(read_by_nobody: Callable[..., tuple[int, bytes]]) -> None:
    assert read_by_nobody("words", "t", "--csv") == (0, b"")


def test_nothing_heavy_is_imported(root: Path) -> None:
    code = (
        "import sys\nfrom renders.cli import main\nmain(['words', 't', '--against', 'd'])\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'matplotlib', 'av', 'PIL', 'tqdm'} & set(sys.modules)\n"
        "sys.exit(f'imported: {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", cwd=root, timeout=60)
    assert done.returncode == 0, done.stderr
