"""The lowest releases that pyproject.toml allows, as constraints for pip: `python -m tests.lowest`."""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path


def lowest(dependencies: list[str]) -> list[str]:
    """ "numpy>=1.26" as "numpy==1.26"; ValueError for what names no lowest release."""
    found = []
    for dependency in dependencies:
        match = re.fullmatch(r"([\w.-]+)>=([\w.]+)", dependency)
        if match is None:
            raise ValueError(f"{dependency!r} names no lowest release, as in numpy>=1.26")
        found.append(f"{match[1]}=={match[2]}")
    return found


def main() -> int:
    """Prints a constraint for each dependency."""
    project = Path(__file__).resolve().parent.parent / "pyproject.toml"
    print("\n".join(lowest(tomllib.loads(project.read_text(encoding="utf-8"))["project"]["dependencies"])))
    return 0


if __name__ == "__main__":
    sys.exit(main())
