"""Modules that no test imports, and tests that stand elsewhere than what they test: `python -m tests.untested`.

A module counts as tested directly where a test imports it, or a name from it, by any import statement in the files
under `tests`, wherever it stands, or by a literal name given to import_module. Folders of tests mirror the packages and
their rooms: `tests/test_renders/test_films` tests `renders.films`, and every file in it, or a file beside it that is no
test, imports something from there.
"""

from __future__ import annotations

import ast
import sys
from pathlib import Path

from tests.layers import floors, imported_names, modules, within

# Module -> why no test imports it.
REASONS: dict[str, str] = {
    "renders.__main__": "is run as `python -m renders` by the tests of the commands",
}
# Folders whose tests run the room's commands as a user does, in place of importing them.
RUN = frozenset({"renders.commands"})
# What is about to be mended; an entry that is mended is refused.
ROOMS_AWAITED: frozenset[str] = frozenset()
AWAITED: frozenset[str] = frozenset()


def imported(root: Path, file: Path) -> set[str]:
    """Everything that a file imports."""
    importer = ".".join(file.relative_to(root).with_suffix("").parts)
    nodes = ast.walk(ast.parse(file.read_text(encoding="utf-8")))
    return {name for node in nodes for name, _ in imported_names(root, importer, file.name == "__init__.py", node)}


def untested(root: Path) -> list[str]:
    """Modules that no test imports; a folder's __init__ without code of its own is none."""
    wanted = {
        module
        for module, file in modules(root).items()
        if file.name != "__init__.py" or len(ast.parse(file.read_text(encoding="utf-8")).body) > 1
    }
    files = (root / "tests").rglob("*.py")
    return sorted(wanted.difference(*(imported(root, file) for file in files)))


def mirrored(root: Path, folder: Path) -> str:
    """The package or room that a folder of tests is named after."""
    return ".".join(part.removeprefix("test_") for part in folder.relative_to(root / "tests").parts)


def elsewhere(root: Path) -> list[str]:
    """Folders of tests that mirror nothing, tests that import nothing of what their folder mirrors, rooms without."""
    folders = {file.parent for file in (root / "tests").glob("test_*/**/test_*.py")}
    found = []
    for folder in sorted(folders):
        place, room = folder.relative_to(root).as_posix(), mirrored(root, folder)
        if room not in modules(root):
            found.append(f"{place}: there is no {room}")
            continue
        beside = [file for file in folder.glob("*.py") if not file.name.startswith("test_")]
        prepared = {name for file in beside for name in imported(root, file)}
        found += [
            f"{file.relative_to(root).as_posix()}: imports nothing of {room}"
            for file in sorted(folder.glob("test_*.py"))
            if room not in RUN and not any(within(name, room) for name in imported(root, file) | prepared)
        ]
    tested = {mirrored(root, folder) for folder in folders}
    in_folders = [room for room in floors() if root.joinpath(*room.split(".")).is_dir() and "." in room]
    return found + [f"{room}: has no folder of tests" for room in in_folders if room not in tested]


def main() -> int:
    """Prints what no test imports and what has no reason; 1 where there is any."""
    root = Path(__file__).resolve().parent.parent
    missing = [module for module in untested(root) if module not in REASONS]
    print(*missing, *elsewhere(root), sep="\n")
    print(f"untested: {len(missing)} modules that no test imports, {len(REASONS)} with a reason")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
