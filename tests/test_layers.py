"""The layers check passes on the repository and fails on planted faults, one for each kind."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import layers

ROOT = Path(layers.__file__).resolve().parent.parent


def test_the_house_stands() -> None:
    assert len(layers.modules(ROOT)) > 150, "the check saw hardly any module"
    assert [str(fault) for fault in layers.faults(ROOT) if fault.what not in layers.KNOWN] == []


def test_what_is_mended_is_taken_out_of_the_list() -> None:
    assert sorted(layers.KNOWN - {fault.what for fault in layers.faults(ROOT)}) == []


def test_the_drawing_names_every_room_and_what_it_is_for() -> None:
    lines = [line[5:].split(maxsplit=2) for line in layers.drawing(ROOT) if line]
    standing = [room for room in layers.floors() if room in layers.modules(ROOT)]
    assert sorted(room for room, _, _ in lines) == sorted(standing)
    assert all(int(count) > 0 and purpose.endswith((".", ">")) for _, count, purpose in lines)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Every room of the table with a purpose and one module; no imports."""
    root = tmp_path_factory.mktemp("house")
    for room in layers.floors():
        folder = root.joinpath(*room.split("."))
        if room in ("vocaltract.speech", "vocaltract.words.utterance", "renders.cli", "renders.__main__"):
            folder.parent.mkdir(parents=True, exist_ok=True)
            folder.with_suffix(".py").write_text('"""Purpose."""\n', encoding="utf-8")
            continue
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "__init__.py").write_text('"""Purpose."""\n', encoding="utf-8")
        if room not in layers.PACKAGES:
            (folder / "one.py").touch()
            (folder / "two.py").touch()
    (root / "vocaltract/words/__init__.py").write_text('"""Purpose."""\n', encoding="utf-8")
    (root / "articulators/one.py").touch()
    (root / "tests").mkdir()
    (root / "tests/layers.py").touch()
    return root


@pytest.fixture
def plant(house: Path, request: pytest.FixtureRequest):
    """Writes a module into the house and tells what is found; the house is left as it was."""

    def planted(code_of: dict[str, str | None]) -> list[layers.Fault]:
        for name, code in code_of.items():
            file = house / name
            old = file.read_text(encoding="utf-8") if file.is_file() else None
            request.addfinalizer(lambda file=file, old=old: _put(file, old))
            _put(file, code)
        return layers.faults(house)

    return planted


def _put(file: Path, code: str | None) -> None:
    if code is None:
        file.unlink(missing_ok=True)
        if not any(file.parent.iterdir()):
            file.parent.rmdir()
    else:
        file.parent.mkdir(exist_ok=True)
        file.write_text(code, encoding="utf-8")


def test_a_house_without_imports_stands(house: Path) -> None:
    assert layers.faults(house) == []


@pytest.mark.parametrize(
    ("module", "code", "kind"),
    [
        ("articulators/one", "import vocaltract.ipa.one", "climbs"),
        ("articulators/one", "from renders.films import one", "climbs"),
        ("articulators/one", "def late():\n    from vocaltract import airway", "climbs"),
        (
            "articulators/one",
            "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import renders.films.one",
            "climbs",
        ),
        ("articulators/one", "import importlib\nimportlib.import_module('renders.films.one')", "climbs"),
        ("vocaltract/airway/one", "from renders.films.one import x", "climbs"),
        ("vocaltract/airway/one", "from vocaltract.phonetics.one import x", "climbs"),
        ("vocaltract/airway/one", "from ..ipa import one", "climbs"),
        ("vocaltract/airway/one", "def late():\n    import vocaltract.motion.one", "climbs"),
        ("vocaltract/words/lexicon/one", "from vocaltract.words.rules import one", "climbs"),
        ("vocaltract/motion/one", "from vocaltract.speech import x", "climbs"),
        ("vocaltract/motion/one", "import renders", "climbs"),
        ("vocaltract/speech", "from vocaltract import say", "climbs"),
        ("renders/paper/one", "from ..ink.one import x", "climbs"),
        ("renders/insets/one", "from renders.marks import one", "climbs"),
        ("renders/tracks/one", "from renders.marks import one", "climbs"),
        ("renders/films/one", "from renders.course import one", "climbs"),
        ("renders/films/one", "from renders import cli", "climbs"),
        ("renders/course/one", "from renders import film", "climbs"),
        ("renders/cli", "import renders.__main__", "climbs"),
        ("vocaltract/words/rules/one", "from vocaltract.phonetics import one", "apart"),
        ("vocaltract/words/text/one", "from vocaltract import airway", "apart"),
        ("vocaltract/phonetics/one", "from vocaltract.words.lexicon import one", "apart"),
        ("vocaltract/pairs/one", "from vocaltract.words.make.one import x", "build only"),
        ("renders/pairs/one", "def late():\n    import vocaltract.words.make.one", "build only"),
        ("renders/films/one", "from tests import layers", "tests"),
        ("renders/films/one", "from renders.films.one import x", None),
        ("vocaltract/airway/one", "from articulators.one import x", None),
        ("vocaltract/airway/one", "from vocaltract import __version__", None),
        ("vocaltract/phonetics/one", "from vocaltract.airway import one", None),
        ("vocaltract/motion/one", "from ..words.rules import one\nfrom ..phonetics import one", None),
        ("vocaltract/words/make/one", "from vocaltract.words.make import two", None),
        ("vocaltract/__init__", '"""Purpose."""\ndef late():\n    from vocaltract.pairs import one', None),
        ("renders/films/one", "from vocaltract.motion import one\nimport numpy", None),
        ("renders/films/one", "from renders.films import two", None),
        ("renders/course/one", "from renders.films import one", None),
        ("renders/cli", "from renders.commands import one\nfrom vocaltract import say", None),
    ],
)
def test_imports_go_down_only(plant, module: str, code: str, kind: str | None) -> None:
    if not code.startswith('"""'):
        code = f'"""Purpose."""\n{code}'
    found = plant({f"{module}.py": code})
    assert [fault.kind for fault in found] == ([kind] if kind else [])
    if kind:
        assert f"{module.replace('/', '.')} imports " in str(found[0])
        assert str(found[0]).startswith(f"{module}.py:")


def test_a_circle_of_files_is_told_with_its_path(plant) -> None:
    """Within one room, one way inside a function and one under TYPE_CHECKING: no floor forbids any of the three."""
    found = plant(
        {
            "renders/films/one.py": "from renders.films import two",
            "renders/films/two.py": "def late():\n    from renders.films.three import x",
            "renders/films/three.py": "from typing import TYPE_CHECKING\n"
            "if TYPE_CHECKING:\n    from renders.films import one",
        }
    )
    way = "renders.films.one -> renders.films.two -> renders.films.three -> renders.films.one"
    assert [(fault.kind, fault.what) for fault in found] == [("circle", f"circle of files: {way}")]


def test_two_circles_through_one_file_are_both_told(plant) -> None:
    found = plant(
        {
            "renders/films/one.py": "from renders.films import three, two",
            "renders/films/two.py": "from renders.films import one",
            "renders/films/three.py": "from renders.films import one",
        }
    )
    assert [fault.kind for fault in found] == ["circle", "circle"]


@pytest.mark.parametrize(
    ("code_of", "kind", "named"),
    [
        ({"renders/loose.py": ""}, "flat", "renders.loose"),
        ({"vocaltract/words/loose.py": ""}, "flat", "vocaltract.words.loose"),
        ({"vocaltract/words/__init__.py": '"""Purpose."""\nx = 1\n'}, "flat", "vocaltract.words"),
        ({"renders/cellar/__init__.py": '"""Purpose."""\n'}, "not in the table", "renders.cellar"),
        ({"renders/films/__init__.py": ""}, "no purpose", "renders.films"),
        ({"renders/films/__init__.py": "x = 1"}, "no purpose", "renders.films"),
        ({"renders/cli.py": ""}, "no purpose", "renders.cli"),
        ({"renders/cli.py": None}, "no such room", "renders.cli"),
    ],
)
def test_modules_stand_in_rooms_and_rooms_have_a_purpose(plant, code_of, kind: str, named: str) -> None:
    found = plant(code_of)
    assert [fault.kind for fault in found] == [kind]
    assert found[0].what.startswith(f"{named}: ")
