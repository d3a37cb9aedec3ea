"""What was made is put where it was asked for: whole or not at all, and never over what stands there unasked."""

from __future__ import annotations

import contextlib
import ctypes
import errno
import json
import os
import stat
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any

from articulators.errors import BadInput

NEW, OLD, READY = "new", "old", "ready.json"
"""In a work folder: what is to be put into a folder, what it takes the place of, and, once this has begun, the list of
it. Without `OLD` nothing may be replaced."""

_HERE = -100  # AT_FDCWD of Linux
_NO_REPLACE = {"linux": 1, "darwin": 4}  # RENAME_NOREPLACE of renameat2, RENAME_EXCL of renamex_np
_CANNOT = (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP)


def put_new(made: Path, place: Path) -> None:
    """Moves a file or a folder to a place of the same disk where nothing is. FileExistsError where something is."""
    if sys.platform == "win32":
        os.rename(made, place)  # never replaces there
        return
    number = _renamed_by_the_system(os.fsencode(made), os.fsencode(place))
    if number in _CANNOT:
        _taken_then_filled(made, place)
    elif number:
        raise OSError(number, os.strerror(number), os.fspath(place))


def _renamed_by_the_system(made: bytes, place: bytes) -> int:
    """0, or the number of the error."""
    libc, how = _libc(), _NO_REPLACE.get(sys.platform, 0)
    if sys.platform == "linux" and hasattr(libc, "renameat2"):
        failed = libc.renameat2(_HERE, made, _HERE, place, how)
    elif sys.platform == "darwin" and hasattr(libc, "renamex_np"):
        failed = libc.renamex_np(made, place, how)
    else:
        return errno.ENOSYS
    return ctypes.get_errno() if failed else 0


@lru_cache(maxsize=1)
def _libc() -> Any:
    return ctypes.CDLL(None, use_errno=True)


def _taken_then_filled(made: Path, place: Path) -> None:
    """For disks that cannot do both at once, as FAT on macOS and many network disks: the name is taken, then filled."""
    folder = made.is_dir()
    if folder:
        place.mkdir()
    else:
        os.close(os.open(place, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
    try:
        os.replace(made, place)
    except OSError:
        (place.rmdir if folder else place.unlink)()
        raise


def _usual_mode() -> int:
    """The mode of a new file."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def mode_for(place: Path) -> int:
    """The mode of the file that stands there, so that what was private stays so; the usual one where there is none."""
    try:
        found = place.lstat()
    except OSError:
        return _usual_mode()
    return stat.S_IMODE(found.st_mode) & 0o777 if stat.S_ISREG(found.st_mode) else _usual_mode()


def put_into(work: Path, target: Path) -> None:
    """Moves every file below `NEW` of a work folder to its place in the target, which is the folder around it or stands
    beside it: all of them, or none.

    What is killed on the way is finished by whoever calls this again. BadInput where a folder is in the way of a file,
    or a link or a file in that of a folder, and where nothing may be replaced and something would be.
    """
    if not (work / READY).exists():
        _write_plan(work, target)
    plan = _plan(work)
    files, folders = ([Path(name) for name in plan[kind]] for kind in ("files", "folders"))
    try:
        for folder in sorted({part for file in files for part in file.parents if part.name}):
            check_real_folder(target / folder, target)
            (target / folder).mkdir(exist_ok=True)
        for file in files:
            _put(work, target, file)
    except BaseException:
        _take_back(work, target, files, folders)
        (work / READY).unlink()
        raise
    (work / READY).unlink()


def begun_target(work: Path) -> Path:
    """The folder that `put_into` had begun to put a work folder's files into. ValueError where its list is spoiled."""
    return work.parent / _plan(work)["into"]


def _write_plan(work: Path, target: Path) -> None:
    """Writes down, before the first is moved, the files to be put and the folders that are not there yet."""
    new, half = work / NEW, work / f"half {READY}"
    inside = [path.relative_to(new) for path in sorted(new.rglob("*"))]
    plan = {
        "into": "" if work.parent == target else target.name,
        "files": [path.as_posix() for path in inside if not (new / path).is_dir()],
        "folders": [p.as_posix() for p in inside if (new / p).is_dir() and not os.path.lexists(target / p)],
    }
    half.write_text(json.dumps(plan), encoding="utf-8")
    half.rename(work / READY)


def _plan(work: Path) -> Any:
    return json.loads((work / READY).read_text(encoding="utf-8"))


def check_real_folder(folder: Path, target: Path) -> None:
    """BadInput where something stands in the place of that folder, or a link to one."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        what = "a link" if folder.is_symlink() else "a file"
        raise BadInput(f"cannot write the folder {target}: {folder} is {what} and in the way")


def _put(work: Path, target: Path, file: Path) -> None:
    made, place, old = work / NEW / file, target / file, work / OLD
    if not os.path.lexists(made):
        return  # put before it was killed
    if os.path.lexists(place):
        if place.is_dir() and not place.is_symlink():
            raise BadInput(f"cannot write the folder {target}: {place} is a folder and in the way")
        if old.is_dir():
            made.chmod(mode_for(place))
            (old / file).parent.mkdir(parents=True, exist_ok=True)
            os.replace(place, old / file)
    try:
        put_new(made, place)
    except FileExistsError:
        raise BadInput(f"cannot write the folder {target}: {place} appeared while the work went on") from None


def _take_back(work: Path, target: Path, files: list[Path], folders: list[Path]) -> None:
    for file in files:
        made, place, old = work / NEW / file, target / file, work / OLD / file
        if not os.path.lexists(made):
            with contextlib.suppress(FileNotFoundError):  # somebody has taken it away
                os.replace(place, made)
        if os.path.lexists(old):
            os.replace(old, place)
    for folder in reversed(folders):
        with contextlib.suppress(OSError):  # not made yet, or somebody has put something there
            (target / folder).rmdir()
