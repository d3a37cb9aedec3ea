"""What fails while a command runs: one line, and an exit status of its own.

Exit statuses 0, 1, 2 and 130: common practice of command shells, no source.
"""

from __future__ import annotations

import errno
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders import cli
from tests.test_renders.test_commands.makers import MAKERS, Makers, one_line


def _raise(error: BaseException) -> Callable[[], dict[str, Any] | None]:
    def raising() -> dict[str, Any] | None:
        raise error

    return raising


@pytest.mark.parametrize("command", MAKERS)
@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (BadInput("word 'towle' is unknown (nearest: towel)"), 2, "word 'towle' is unknown (nearest: towel)"),
        (SurroundingsError("the disk is gone"), 1, "the disk is gone"),
        (OSError(errno.ENOSPC, "No space left on device", "x.png"), 1, "No space left on device: x.png"),
        (MemoryError(), 1, "out of memory"),
        (ImportError("cannot import name 'x'"), 1, "a fault of this program (ImportError: cannot import name 'x')"),
        # as GEOS (C++ standard library), the loader of glibc and errno 12 of POSIX say it
        (RuntimeError("std::bad_alloc"), 1, "out of memory"),
        (ImportError("libavcodec.so: failed to map segment from shared object"), 1, "out of memory"),
        (ImportError("libx.so: cannot allocate memory"), 1, "out of memory"),
        (KeyboardInterrupt(), 130, "interrupted"),
        (ZeroDivisionError("division\nby zero"), 1, "ZeroDivisionError: division\\nby zero"),
    ],
)
def test_failure_while_drawing_is_one_line(
    command: str,
    error: BaseException,
    status: int,
    said: str,
    makers: Makers,
    capsys: pytest.CaptureFixture[str],
) -> None:
    makers.then = _raise(error)
    assert cli.main([command, *("t", "d")[: MAKERS[command][2]]]) == status
    assert said in one_line(capsys)


def test_part_of_the_work_not_done_ends_with_1(makers: Makers, capsys: pytest.CaptureFixture[str]) -> None:
    makers.then = lambda: {"failed": ["towel.mp4"]}
    assert cli.main(["lesson", "t", "d", "--json"]) == 1
    out, err = capsys.readouterr()
    assert json.loads(out)["failed"] == ["towel.mp4"]
    assert err == "vocaltract: 1 not made: towel.mp4\n"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close otherwise there")
def test_a_reader_that_leaves_is_no_error(root: Path) -> None:
    code = "import sys, time\ntime.sleep(0.5)\nfrom renders.cli import main\nsys.exit(main(['sounds']))"
    writer = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=root
    )
    assert writer.stdout is not None
    assert writer.stderr is not None
    writer.stdout.close()
    assert writer.stderr.read() == b""
    assert writer.wait(60) == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_behind_stdout_is_one_line(root: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "renders", "sounds"],
            stdout=full,
            stderr=subprocess.PIPE,
            cwd=root,
            timeout=60,
        )
    assert done.returncode == 1
    assert done.stderr.decode() == "vocaltract: No space left on device\n"
