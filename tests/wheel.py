"""The wheel holds every tracked file of the three packages, every licence text, and no tests.

`python -m tests.wheel FILE.whl` checks one; exit status 1 with the differences where it fails.
"""

from __future__ import annotations

import subprocess
import sys
import zipfile
from collections.abc import Iterable
from pathlib import Path

from tests.layers import PACKAGES

LICENCES = ("LICENSE", "LICENSES.md", "OFL.txt", "OFL-Han.txt", "cmudict-LICENSE.txt", "scowl-Copyright.txt")


def faults(held: Iterable[str], tracked: Iterable[str]) -> list[str]:
    """What is wrong with a wheel that holds the files ``held`` where the repository tracks ``tracked``."""
    inside = set(held)
    wanted = {name for name in tracked if name.split("/")[0] in PACKAGES}
    packed = {name for name in inside if not name.split("/")[0].endswith(".dist-info")}
    licences = {name.rsplit("/", 1)[-1] for name in inside if ".dist-info/licenses/" in name}
    return [
        *(f"missing: {name}" for name in sorted(wanted - packed)),
        *(f"not tracked: {name}" for name in sorted(packed - wanted)),
        *(f"licence text missing: {name}" for name in LICENCES if name not in licences),
    ]


def main(argv: list[str]) -> int:
    """Checks the wheel named on the command line."""
    root = Path(__file__).resolve().parent.parent
    listed = subprocess.run(["git", "ls-files"], cwd=root, capture_output=True, text=True, check=True)
    with zipfile.ZipFile(argv[0]) as wheel:
        held = [name for name in wheel.namelist() if not name.endswith("/")]
    found = faults(held, listed.stdout.splitlines())
    print("\n".join(found) or f"wheel: {len(held)} files, all tracked ones there, no tests")
    return 1 if found or not held else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
