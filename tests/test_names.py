"""No public name has two homes without a reason; the check holds what is planted and leaves out what is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import names
from tests.names import faults, in_two_places

ROOT = Path(names.__file__).resolve().parent.parent


def test_a_name_has_one_home_or_a_reason() -> None:
    assert faults(ROOT) == []


def test_a_name_without_a_reason_is_a_fault_and_a_reason_without_need_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "renders").mkdir()
    (tmp_path / "renders/one.py").write_text("def rim(): ...\nWIDE, (HIGH, _deep) = 1, (2, 3)\n", encoding="utf-8")
    (tmp_path / "renders/two.py").write_text("def rim(): ...\n_deep = HIGH = 2\n", encoding="utf-8")
    homes = "is defined in renders.one, renders.two"
    monkeypatch.setattr(names, "REASONS", {})
    assert faults(tmp_path) == [f"rim {homes}", f"HIGH {homes}"]
    monkeypatch.setattr(names, "REASONS", {"rim": "both are seen", "WIDE": "is long gone"})
    assert faults(tmp_path) == [f"HIGH {homes}", "REASONS names WIDE, which has one home or none"]


def test_the_command_ends_with_its_verdict(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "renders").mkdir()
    (tmp_path / "renders/one.py").write_text("def rim(): ...\n", encoding="utf-8")
    monkeypatch.setattr("sys.argv", ["names", str(tmp_path)])
    monkeypatch.setattr(names, "REASONS", {})
    assert names.main() == 0
    (tmp_path / "renders/two.py").write_text("rim = 3\n", encoding="utf-8")
    assert names.main() == 1
    assert capsys.readouterr().out.endswith("names: 1 faults\n")


def test_names_defined_twice_are_listed(tmp_path: Path) -> None:
    code = {
        "articulators/one.py": "from x import shape\nWIDE = 1\nrim: int = 2\n_own = 3\nNAME = 'a'\ndef tip(): ...\n",
        "vocaltract/two.py": "WIDE = 1\n_own = 3\nNAME = 'b'\nclass Tip: ...\ndef tip(): ...\n",
        "renders/three.py": "def rim():\n    WIDE = 2\nclass shape: ...\ndef main(): ...\n",
        "renders/__init__.py": "def tip(): ...\ndef door(): ...\n",
        "renders/commands/still.py": "NAME = 'c'\ndef run(): ...\ndef main(): ...\n",
        "renders/commands/film.py": "NAME = 'd'\ndef run(): ...\ndef door(): ...\n",
    }
    for name, text in code.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    called, constants = in_two_places(tmp_path)
    assert called == {
        "tip": ["articulators.one", "vocaltract.two"],
        "rim": ["articulators.one", "renders.three"],
    }
    assert constants == {
        "NAME": ["articulators.one", "vocaltract.two"],
        "WIDE": ["articulators.one", "vocaltract.two"],
    }
