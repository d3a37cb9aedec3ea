"""`plan` and `course` as they are typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from renders import cli
from renders.commands import course, plan


def test_plan_new_check_and_changes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = str(tmp_path / "front-desk.toml")
    assert cli.main(["plan", "new", file]) == 0
    assert cli.main(["plan", "new", file]) == 2
    assert cli.main(["plan", "check", file]) == 0
    assert "6 lessons" in capsys.readouterr().out
    assert cli.main(["plan", "changes", file, "--out", str(tmp_path / "course")]) == 0
    assert "phrases: page: new" in capsys.readouterr().out
    assert not (tmp_path / "course").exists()


def test_course_refuses_a_plan_that_is_none(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "desk.toml").write_text('title = "Desk"', encoding="utf-8")
    assert cli.main(["course", str(tmp_path / "desk.toml"), "--out", str(tmp_path / "desk")]) == 2
    assert "has no version" in capsys.readouterr().err
    assert not (tmp_path / "desk").exists()


def test_help_lists_them_beside_each_other() -> None:
    assert 0 < course.ORDER - plan.ORDER < 5
