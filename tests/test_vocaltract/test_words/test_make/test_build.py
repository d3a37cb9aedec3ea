"""The command that makes the shipped databases: what it builds, and what it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from vocaltract.words.lexicon.databases import DICTIONARY, opened
from vocaltract.words.make import build


def test_the_dictionary_is_made_again_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = tmp_path / "dictionary.sqlite"
    monkeypatch.setattr(build, "DICTIONARY", made)
    build.main(["dictionary"])
    assert capsys.readouterr().out == "dictionary.sqlite: 126052 words\n"
    rows = []
    for path in (made, DICTIONARY):
        with opened(path) as connection:
            rows.append(connection.execute("SELECT word, pronunciations FROM entry").fetchall())
    assert rows[0] == rows[1] != []


def test_an_unknown_part_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        build.main(["dictionry"])
    assert caught.value.code == 2
    assert "'dictionry' is not built here; allowed: dictionary, guesses, practice" in capsys.readouterr().err
