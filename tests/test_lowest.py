"""The lowest allowed releases are read from the project's own file (PEP 508 and 440 for the forms)."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.lowest import lowest


def test_a_lower_bound_becomes_that_release() -> None:
    assert lowest(["numpy>=1.26", "av>=18"]) == ["numpy==1.26", "av==18"]


@pytest.mark.parametrize("given", ["numpy", "numpy<2", "numpy>=1.26,<3"])
def test_what_names_no_lowest_release_is_refused(given: str) -> None:
    with pytest.raises(ValueError, match="names no lowest release"):
        lowest([given])


def test_every_dependency_of_the_project_has_one(root: Path) -> None:
    done = subprocess.run([sys.executable, "-m", "tests.lowest"], cwd=root, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert len(done.stdout.splitlines()) >= 10
