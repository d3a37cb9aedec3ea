"""The check of the wheel's contents can fail; .ci/run makes it on a wheel that it builds."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from tests.wheel import LICENCES, faults

TRACKED = ["renders/cli.py", "renders/paper/data/styles.toml", "tests/wheel.py", "README.md"]
INFO = [f"vocaltract-0.1.0.dist-info/licenses/somewhere/{name}" for name in LICENCES]
WHOLE = ["renders/cli.py", "renders/paper/data/styles.toml", "vocaltract-0.1.0.dist-info/METADATA", *INFO]


def test_whole_wheel_has_no_fault() -> None:
    assert faults(WHOLE, TRACKED) == []


@pytest.mark.parametrize(
    ("held", "fault"),
    [
        ([n for n in WHOLE if "styles" not in n], "missing: renders/paper/data/styles.toml"),
        ([*WHOLE, "tests/wheel.py"], "not tracked: tests/wheel.py"),
        ([*WHOLE, "renders/left_over.py"], "not tracked: renders/left_over.py"),
        ([n for n in WHOLE if "OFL.txt" not in n], "licence text missing: OFL.txt"),
    ],
)
def test_faults_are_found(held: list[str], fault: str) -> None:
    assert faults(held, TRACKED) == [fault]


def test_every_licence_text_lies_beside_its_data(root: Path) -> None:
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    texts = [file for pattern in project["license-files"] for file in root.glob(pattern)]
    assert sorted(file.name for file in texts) == sorted(LICENCES)
    # SPDX identifiers and the words that open or title the texts: SPDX licence list (from memory).
    words = {
        "MIT": "MIT License",
        "BSD-2-Clause": "Redistribution and use in source and binary forms",
        "OFL-1.1": "SIL OPEN FONT LICENSE Version 1.1",
        "LicenseRef-SCOWL": "Kevin Atkinson",
    }
    assert set(project["license"].split(" AND ")) == set(words)
    whole = "\n".join(file.read_text(encoding="utf-8") for file in texts)
    for opening in words.values():
        assert opening in whole
