"""The layers check passes on the repository and fails on planted imports."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import layers

ROOT = Path(layers.__file__).resolve().parent.parent


def test_repository_keeps_its_layers() -> None:
    found = list(layers.imports(ROOT))
    assert len({entry.importer for entry in found}) > 20, "the check saw hardly any module"
    assert [str(entry) for entry in layers.climbing(ROOT)] == []


def _plant(root: Path, module: str, code: str) -> None:
    for name in ("articulators/errors", "vocaltract/airway/breath", "vocaltract/words/ipa",
                 "vocaltract/phonetics/targets", "vocaltract/motion/timeline", "renders/film",
                 "renders/course/lesson", "renders/cli", "tests/layers"):  # fmt: skip
        file = root / f"{name}.py"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.touch()
    (root / f"{module}.py").write_text(code, encoding="utf-8")


@pytest.mark.parametrize(
    ("module", "code"),
    [
        ("articulators/errors", "import vocaltract.words.ipa"),
        ("articulators/errors", "from renders import film"),
        ("articulators/errors", "def late():\n    from vocaltract import airway"),
        (
            "articulators/errors",
            "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import renders.films.film",
        ),
        ("articulators/errors", "import importlib\nimportlib.import_module('renders.films.film')"),
        ("vocaltract/airway/breath", "from renders.films.film import x"),
        ("vocaltract/airway/breath", "from vocaltract.phonetics.targets import x"),
        ("vocaltract/airway/breath", "from ..words import ipa"),
        ("vocaltract/airway/breath", "def late():\n    import vocaltract.motion.timeline"),
        ("vocaltract/words/ipa", "from vocaltract import airway"),
        ("vocaltract/words/ipa", "from vocaltract.phonetics import targets"),
        ("vocaltract/words/ipa", "from vocaltract.motion import timeline"),
        ("vocaltract/phonetics/targets", "from vocaltract.words import ipa"),
        ("vocaltract/phonetics/targets", "from vocaltract.motion import timeline"),
        ("vocaltract/motion/timeline", "import renders"),
        ("renders/film", "from renders.course import lesson"),
        ("renders/film", "from renders.course.lesson import x"),
        ("renders/film", "from . import cli"),
        ("renders/course/lesson", "from renders import cli"),
        ("renders/film", "from tests import layers"),
    ],
)
def test_planted_import_is_found(tmp_path: Path, module: str, code: str) -> None:
    _plant(tmp_path, module, code)
    found = layers.climbing(tmp_path)
    assert len(found) == 1
    assert found[0].importer == module.replace("/", ".")


@pytest.mark.parametrize(
    ("module", "code"),
    [
        ("vocaltract/airway/breath", "from articulators.errors import x"),
        ("vocaltract/airway/breath", "from vocaltract import __version__"),
        ("vocaltract/phonetics/targets", "from vocaltract.airway import breath"),
        (
            "vocaltract/motion/timeline",
            "from vocaltract.words import ipa\nfrom vocaltract.phonetics import targets",
        ),
        ("renders/film", "from vocaltract.motion import timeline\nimport numpy"),
        ("renders/course/lesson", "from renders import film"),
        ("renders/cli", "from renders.course import lesson"),
    ],
)
def test_downward_import_is_allowed(tmp_path: Path, module: str, code: str) -> None:
    _plant(tmp_path, module, code)
    assert len(list(layers.imports(tmp_path))) > 0
    assert layers.climbing(tmp_path) == []
