"""What all tests share: the folder of the repository, and the command line run as a user runs it."""

from __future__ import annotations

import functools
import gc
import os
import subprocess
import sys
from collections.abc import Callable, Generator, Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.browser import browser
from tests.hostile.machines import enter
from vocaltract import speech

gc.set_threshold(100_000)  # rubbish in circles is little here, and looking for it takes a tenth of the time

ROOT = Path(__file__).resolve().parent.parent

settings.register_profile("untimed", deadline=None)  # no test asserts a time
settings.load_profile("untimed")

__all__ = ["browser"]  # a fixture for all tests

Run = Callable[..., subprocess.CompletedProcess[str]]

BROWSER_NEEDED = "TESTS_NEED_BROWSER"
"""Where this is set in the environment, a test that is skipped for want of a browser fails."""


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if report.skipped and os.environ.get(BROWSER_NEEDED) and isinstance(report.longrepr, tuple):
        reason = str(report.longrepr[2])
        if "chromium" in reason.lower() or "playwright" in reason.lower():
            report.outcome, report.longrepr = "failed", f"{BROWSER_NEEDED} is set. {reason}"
    return report


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes long in one piece begins first, so that no process waits for it at the end."""
    items.sort(key=lambda item: item.get_closest_marker("long") is None)


def pytest_collection_finish() -> None:
    """The cases themselves stay to the end: they need not be looked through for rubbish."""
    gc.freeze()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--without-fork", action="store_true", help="run as where a process cannot be split in two")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--without-fork"):
        enter("macos")


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Solved postures and bytecode are kept in a folder of this run's own, for its processes and their commands."""
    run = tmp_path_factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        run = run.parent  # a process of several has a folder of its own within that of the run
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("VOCALTRACT_CACHE", str(run / "solved"))
        if os.environ.get("PYTHONDONTWRITEBYTECODE"):  # else every command would compile all modules anew
            patch.delenv("PYTHONDONTWRITEBYTECODE")
            patch.setenv("PYTHONPYCACHEPREFIX", str(run / "bytecode"))
        yield


@pytest.fixture(scope="session", autouse=True)
def _each_timeline_once() -> Iterator[None]:
    """Timelines of a whole run are kept, not the last few: tests of many rooms look at the same sounds and words."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("_said", "_said_alone"):
            made = getattr(speech, name).__wrapped__
            patch.setattr(speech, name, functools.lru_cache(maxsize=512)(made))
        yield


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the repository."""
    return ROOT


@pytest.fixture
def read_by_nobody(root: Path) -> Callable[..., tuple[int, bytes]]:
    """Runs a command whose reader has left; its exit status and what it says on standard error."""

    def run(*argv: str) -> tuple[int, bytes]:
        code = f"import sys, time\ntime.sleep(0.3)\nfrom renders.cli import main\nsys.exit(main({list(argv)!r}))"
        writer = subprocess.Popen(
            [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=root
        )
        assert writer.stdout is not None and writer.stderr is not None
        writer.stdout.close()
        said = writer.stderr.read()
        return writer.wait(60), said

    return run


@pytest.fixture
def vocaltract(tmp_path: Path) -> Run:
    """Runs `python -m renders ARGS` in an empty folder; standard output and error are pipes."""

    def run(*args: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}
        command = [sys.executable, "-m", "renders", *args]
        return subprocess.run(
            command, cwd=cwd or tmp_path, env=environment, capture_output=True, encoding="utf-8", timeout=300
        )

    return run
