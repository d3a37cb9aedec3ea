"""Steps of a command that change files, counted as Python's audit events tell of them."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

_CHANGES = frozenset({
    "os.chmod", "os.link", "os.mkdir", "os.remove", "os.rename", "os.rmdir", "os.symlink", "os.truncate",
    "tempfile.mkstemp", "tempfile.mkdtemp", "shutil.move", "shutil.rmtree",
})  # fmt: skip
_WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT


def watch(folder: Path, told: Callable[[int], None]) -> None:
    """Calls ``told`` with the number of each step, from 1, before it changes something in the folder.

    For the rest of the process; processes that it splits off are not watched.
    """
    process, count, busy = os.getpid(), 0, False

    def hook(event: str, args: tuple[object, ...]) -> None:
        nonlocal count, busy
        if busy or not _changes(event, args, folder) or os.getpid() != process:
            return
        count += 1
        busy = True
        try:
            told(count)
        finally:
            busy = False

    sys.addaudithook(hook)


def _changes(event: str, args: tuple[object, ...], folder: Path) -> bool:
    if event == "open":
        if not isinstance(args[2], int) or not args[2] & _WRITES:
            return False
    elif event not in _CHANGES:
        return False
    path = args[0]
    if isinstance(path, bytes):
        path = os.fsdecode(path)
    return isinstance(path, str) and os.path.join(os.getcwd(), path).startswith(str(folder))
