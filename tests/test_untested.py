"""Every module has a test that imports it, and tests stand where rooms do; planted faults are found."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import untested

ROOT = Path(untested.__file__).resolve().parent.parent


def test_every_module_is_imported_by_a_test_or_has_a_reason() -> None:
    found = set(untested.untested(ROOT))
    excused = set(untested.REASONS)
    assert sorted(found - excused) == []
    assert sorted(excused - found) == [], "these have a test now: take them out of the list"
    assert all(untested.REASONS.values())


@pytest.mark.parametrize(
    ("code", "covered"),
    [
        ("import renders.films.frame", True),
        ("from renders.films import frame", True),
        ("from renders.films.frame import picture", True),
        ("def test():\n    from renders.films import frame", True),
        ("import importlib\nimportlib.import_module('renders.films.frame')", True),
        ("import renders.films", False),
        ("from renders.films import film", False),
        ("from renders.films.framework import x", False),
        ("'renders.films.frame'", False),
    ],
)
def test_a_module_without_a_test_is_found(tmp_path: Path, code: str, covered: bool) -> None:
    for name in ("renders/__init__", "renders/films/__init__", "renders/films/frame", "tests/test_films/test_frame"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / f"{name}.py").write_text('"""Purpose."""\n', encoding="utf-8")
    (tmp_path / "tests/test_films/test_frame.py").write_text(code, encoding="utf-8")
    assert untested.untested(tmp_path) == ([] if covered else ["renders.films.frame"])


def test_folders_of_tests_mirror_the_rooms() -> None:
    found = set(untested.elsewhere(ROOT))
    assert sorted(found - untested.ROOMS_AWAITED) == []
    assert sorted(untested.ROOMS_AWAITED - found) == [], "these are mended: take them out of the list"


@pytest.mark.parametrize(
    ("place", "code", "found"),
    [
        ("test_renders/test_films/test_frame", "import renders.films.frame", None),
        ("test_renders/test_films/test_frame", "from renders.films import frame", None),
        ("test_renders/test_films/test_frame", "import renders.ink", "imports nothing of renders.films"),
        ("test_renders/test_films/test_frame", "", "imports nothing of renders.films"),
        ("test_renders/test_cellar/test_frame", "import renders.films", "there is no renders.cellar"),
    ],
)
def test_a_test_in_another_room_is_found(tmp_path: Path, place: str, code: str, found: str | None) -> None:
    for name in ("renders/__init__", "renders/films/__init__", "renders/ink/__init__", "renders/films/frame"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / f"{name}.py").touch()
    test = tmp_path / "tests" / f"{place}.py"
    test.parent.mkdir(parents=True)
    test.write_text(code, encoding="utf-8")
    rooms = {"renders.ink", "renders.films"} - ({"renders.films"} if "test_films" in place else set())
    expected = {f"{room}: has no folder of tests" for room in rooms}
    if found:
        name = f"tests/{place}.py" if found.startswith("imports") else f"tests/{place.rsplit('/', 1)[0]}"
        expected.add(f"{name}: {found}")
    assert set(untested.elsewhere(tmp_path)) == expected
