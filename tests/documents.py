"""What README.md and DEVELOPERS.md name between backticks, and whether it is there.

Looked at are paths (`renders/films`, `renders/paper/data/styles.toml`), modules and what they define
(`renders.films.film.write_film`), and modules to run (`python -m tests.layers`).
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

from tests.layers import PACKAGES
from tests.names import defined_in

TOPS = "|".join((*PACKAGES, "tests"))
_PATH = re.compile(rf"(?:{TOPS})(?:/[\w.-]+)+/?")
_DOTTED = re.compile(rf"(?:{TOPS})(?:\.\w+)+")


def named(text: str) -> set[str]:
    """Paths and dotted names of the project between backticks and in blocks of code."""
    quoted = re.findall(r"`([^`\n]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL))
    return {found for part in quoted for kind in (_PATH, _DOTTED) for found in kind.findall(part)}


def is_there(root: Path, name: str) -> bool:
    """Whether a path exists, or a dotted name is a module, or something that a module defines at its top."""
    if "/" in name:
        return (root / name).exists()
    parts = name.split(".")
    for count in range(len(parts), 0, -1):
        place = root.joinpath(*parts[:count])
        file = place / "__init__.py" if place.is_dir() else place.with_suffix(".py")
        if place.is_dir() or file.is_file():
            rest = parts[count:]
            return not rest or (file.is_file() and rest[0] in defined_in(file) | _handed_out(file))
    return False


def _handed_out(file: Path) -> set[str]:
    """The names in a package's __all__, wherever they are defined."""
    listed = [
        node.value
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"
    ]
    return {name for value in listed for name in ast.literal_eval(value)}


def missing(root: Path, document: Path) -> list[str]:
    """What a document names and the project does not have."""
    return sorted(name for name in named(document.read_text(encoding="utf-8")) if not is_there(root, name))
