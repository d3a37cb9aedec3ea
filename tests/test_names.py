"""The list of names with two meanings holds what is planted and leaves out what is not."""

from __future__ import annotations

from pathlib import Path

from tests.names import in_two_places


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
