"""The Chromium of the system, started once for all tests of a process: its driver cannot run twice in one."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest

# Nothing of the browser's own may go out while tests run.
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
NAMES = ("chromium", "chromium-browser", "google-chrome")


def chromium() -> str | None:
    """Path of a Chromium: CHROMIUM in the environment, else the first of NAMES that is installed."""
    return os.environ.get("CHROMIUM") or next((path for name in NAMES if (path := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A browser of playwright's; the test is skipped where there is none."""
    found = chromium()
    if found is None:
        pytest.skip(f"no Chromium: none of {', '.join(NAMES)} is on the path and CHROMIUM names none")
    api = pytest.importorskip("playwright.sync_api", reason="no playwright: install the extra 'test'")
    with api.sync_playwright() as started:
        made = started.chromium.launch(executable_path=found, args=list(FLAGS), timeout=120_000)
        yield made
        made.close()
