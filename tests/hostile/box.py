"""The folder that a case happens in, and what stands in it at a time."""

from __future__ import annotations

import contextlib
import os
import shutil
import stat
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from tests.hostile.case import Case, Planted

FOLDERS = ("work", "outside", "home", "passing")
"""The current folder, somebody else's, the home folder, and that of temporary files."""
STREAMS = ("streams", "streams-2")
"""What is printed by a command, and by a second one beside it."""

Snapshot = Mapping[str, tuple[object, ...]]
"""Path within the box -> kind, mode and content."""


class Skipped(Exception):
    """A case that this machine cannot make, with the reason."""


@contextlib.contextmanager
def box(case: Case) -> Iterator[Path]:
    """A folder laid out for a case, taken away afterwards."""
    place = Path(tempfile.mkdtemp(prefix="hostile-"))
    disks: list[Path] = []
    try:
        for name in (*FOLDERS, *STREAMS):
            (place / name).mkdir()
        for planted in (Planted("outside/theirs.png"), Planted("work/notes.txt"), *case.planted):
            _plant(place, planted, disks)
        yield place
    finally:
        for disk in reversed(disks):
            subprocess.run(["umount", "--lazy", disk], check=False, capture_output=True)
        shutil.rmtree(place, ignore_errors=True)


def _plant(place: Path, planted: Planted, disks: list[Path]) -> None:
    path = place / planted.path
    path.parent.mkdir(parents=True, exist_ok=True)
    if planted.kind == "link":
        path.symlink_to(planted.target)
    elif planted.kind == "pipe":
        os.mkfifo(path)
    elif planted.kind == "folder":
        path.mkdir(exist_ok=True)
    elif planted.kind == "disk":
        path.mkdir(exist_ok=True)
        line = ["mount", "-t", "tmpfs", "-o", planted.target, "none", str(path)]
        done = subprocess.run(line, check=False, capture_output=True, text=True)
        if done.returncode:
            raise Skipped(f"no disk can be mounted here: {done.stderr.strip()}")
        disks.append(path)
    else:
        path.write_bytes(planted.data)
        path.chmod(planted.mode)


def snapshot(place: Path) -> Snapshot:
    """Everything that stands in a box but for what was printed."""
    found: dict[str, tuple[object, ...]] = {}
    for folder, folders, files in os.walk(place):
        if folder == str(place):
            folders[:] = FOLDERS
        for name in (*folders, *files):
            path = Path(folder, name)
            with contextlib.suppress(FileNotFoundError):  # a second command may be at work
                found[path.relative_to(place).as_posix()] = _seen(path)
    return found


def _seen(path: Path) -> tuple[object, ...]:
    there = path.lstat()
    mode = stat.S_IMODE(there.st_mode)
    if stat.S_ISLNK(there.st_mode):
        return ("link", os.readlink(path))
    if stat.S_ISREG(there.st_mode):
        return ("file", mode, path.read_bytes())
    return ("folder" if stat.S_ISDIR(there.st_mode) else "other", mode)
