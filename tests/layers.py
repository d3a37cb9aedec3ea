"""Imports go one way: articulators <- vocaltract <- renders, with floors inside the last two.

`python -m tests.layers` checks the repository and prints every import that climbs; exit status 1 if there is
one. Every import statement counts, wherever it stands: at the top, inside a function, under TYPE_CHECKING,
and a literal name given to import_module.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PACKAGES = ("articulators", "vocaltract", "renders")

_TRACT = "vocaltract."
# Part of the project -> what it may import. The longest name that fits counts, on both sides.
MAY_IMPORT: dict[str, tuple[str, ...]] = {
    "articulators": ("articulators",),
    "vocaltract": ("articulators", "vocaltract"),
    "vocaltract.airway": ("articulators", _TRACT + "airway"),
    "vocaltract.words": ("articulators", _TRACT + "words"),
    "vocaltract.phonetics": ("articulators", _TRACT + "airway", _TRACT + "phonetics"),
    "vocaltract.motion": ("articulators", *(_TRACT + f for f in ("airway", "phonetics", "words", "motion"))),
    "renders": ("articulators", "vocaltract", "renders"),
    "renders.page": ("articulators", "vocaltract", "renders", "renders.page"),
    "renders.course": ("articulators", "vocaltract", "renders", "renders.page", "renders.course"),
    "renders.commands": (
        "articulators",
        "vocaltract",
        "renders",
        "renders.page",
        "renders.course",
        "renders.commands",
    ),
    "renders.cli": (
        "articulators",
        "vocaltract",
        "renders",
        "renders.page",
        "renders.course",
        "renders.commands",
        "renders.cli",
    ),
    "renders.__main__": ("renders.cli",),
}
# Parts that "renders" does not stand for: they must be named to be allowed.
APART = ("renders.page", "renders.course", "renders.commands", "renders.cli", "renders.__main__")


@dataclass(frozen=True)
class Import:
    """One project import: module ``importer`` in ``file`` at ``line`` takes ``imported``."""

    file: Path
    line: int
    importer: str
    imported: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.importer} must not import {self.imported}"


def _within(module: str, part: str) -> bool:
    return module == part or module.startswith(part + ".")


def allowed(importer: str, imported: str) -> bool:
    """Whether one module may import another; both are dotted names within the project, or "tests"."""
    if imported == importer or importer.startswith(imported + "."):
        return True  # a package that holds the importer is loaded before it in any case
    rule = max((part for part in MAY_IMPORT if _within(importer, part)), key=len)
    apart = next((part for part in APART if _within(imported, part)), None)
    return any(_within(imported, may) and (apart is None or _within(may, apart)) for may in MAY_IMPORT[rule])


def _module_name(root: Path, file: Path) -> str:
    parts = file.relative_to(root).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _exists(root: Path, module: str) -> bool:
    place = root.joinpath(*module.split("."))
    return place.is_dir() or place.with_suffix(".py").is_file()


def _imported(root: Path, importer: str, is_package: bool, node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            parts = importer.split(".")
            kept = parts[: len(parts) - node.level + is_package]
            base = ".".join([*kept, base] if base else kept)
        for alias in node.names:
            inner = f"{base}.{alias.name}"
            yield inner if _exists(root, inner) else base
    elif isinstance(node, ast.Call) and node.args:
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        first = node.args[0]
        if called in ("import_module", "__import__") and isinstance(first, ast.Constant):
            yield str(first.value)


def imports(root: Path) -> Iterator[Import]:
    """Every import of one project module (or of the tests) by another, under the folder ``root``."""
    for package in PACKAGES:
        for file in sorted((root / package).rglob("*.py")):
            importer = _module_name(root, file)
            tree = ast.parse(file.read_text(encoding="utf-8"), str(file))
            for node in ast.walk(tree):
                for name in _imported(root, importer, file.name == "__init__.py", node):
                    if name.split(".")[0] in (*PACKAGES, "tests"):
                        yield Import(file, getattr(node, "lineno", 0), importer, name)


def climbing(root: Path) -> list[Import]:
    """The imports that go the wrong way."""
    return [found for found in imports(root) if not allowed(found.importer, found.imported)]


def main() -> int:
    """Checks the repository; 0 where all is well, 1 where an import climbs or nothing was found to check."""
    root = Path(__file__).resolve().parent.parent
    every = list(imports(root))
    wrong = climbing(root)
    for found in wrong:
        print(found)
    modules = {found.importer for found in every}
    print(f"layers: {len(every)} imports in {len(modules)} modules, {len(wrong)} the wrong way")
    return 1 if wrong or not every else 0


if __name__ == "__main__":
    sys.exit(main())
