"""Hidden folders that results are built in, on the disk where they will be. What a command left that was killed, the
next one clears away, or finishes where it had begun to be put in its place.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from articulators.errors import TractError
from renders.files.interrupts import held
from renders.files.placing import READY, begun_target, put_into

PREFIX = ".building-"
LOCK = ".at-work"
"""A file that is locked while somebody is at work in its folder; the system lets go of it when they are gone."""

_AGAIN_S = 0.02


@contextlib.contextmanager
def workplace(where: Path) -> Iterator[Path]:
    """A hidden folder in that one, to build in, cleared away at the end. OSError where none can be made."""
    clear(where)
    with contextlib.ExitStack() as at_work:
        folder: Path | None = None
        try:
            with held():
                folder = _begun(where, at_work)
            yield folder
        finally:
            with held():
                if folder is not None and not (folder / READY).exists():
                    _empty(folder)
                at_work.close()
                if folder is not None:
                    with contextlib.suppress(OSError):
                        folder.rmdir()


def _begun(where: Path, at_work: contextlib.ExitStack) -> Path:
    while True:
        folder = Path(tempfile.mkdtemp(prefix=PREFIX, dir=where))
        # as long as it is not locked somebody else may clear it away
        try:
            at_work.enter_context(alone_in(folder))
            return folder
        except (BlockingIOError, FileNotFoundError):
            continue
        except OSError:  # a disk that has room for a folder, but for no file in it
            folder.rmdir()
            raise


def names_in(where: Path) -> set[str]:
    """Names in a folder, without what commands have there while they are at work."""
    return {name for name in os.listdir(where) if name != LOCK and not name.startswith(PREFIX)}


def clear(where: Path) -> None:
    """Clears away work folders whose makers are gone, after finishing what they had begun to put in its place.

    What others are at work in stays, and so does what cannot be cleared.
    """
    with contextlib.suppress(OSError):
        left = [name for name in os.listdir(where) if name == LOCK or name.startswith(PREFIX)]
        if not left:
            return
        with held(), alone_in(where) as sure:
            for name in left if sure else ():
                _clear_one(where / name, where)


def _clear_one(folder: Path, where: Path) -> None:
    with contextlib.suppress(OSError):
        if folder.name == LOCK or folder.is_symlink() or not _own(folder):
            return
        if (folder / LOCK).exists():
            with alone_in(folder):
                if (folder / READY).exists():
                    with contextlib.suppress(OSError, ValueError, TractError):
                        _finish(folder, where)
                if not (folder / READY).exists():
                    _empty(folder)
        folder.rmdir()  # without a lock it is ours only where it is empty: its maker got no further


def _finish(folder: Path, where: Path) -> None:
    target = begun_target(folder)
    with contextlib.nullcontext() if target == where else alone_in(target):
        put_into(folder, target)


def _own(folder: Path) -> bool:
    """Whether a folder is this user's: in one that many write to, nobody's lists are followed but our own."""
    return sys.platform == "win32" or folder.lstat().st_uid == os.getuid()


def _empty(folder: Path) -> None:
    """Takes away all but the lock, which goes last: without it nobody would know the rest for ours."""
    for entry in folder.iterdir():
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry, ignore_errors=True)
        elif entry.name != LOCK:
            with contextlib.suppress(OSError):
                entry.unlink()


@contextlib.contextmanager
def alone_in(folder: Path, wait_s: float = 0.0) -> Iterator[bool]:
    """Keeps other commands out of a folder; gives whether that is sure, since some network disks have no locks.

    BlockingIOError where another command stays in it for longer than `wait_s`.
    """
    file = folder / LOCK
    number, sure = _locked(file, time.monotonic() + wait_s)
    try:
        yield sure
    finally:
        taken = _taken_away(file)
        os.close(number)
        if not taken:  # on Windows only what is closed
            _taken_away(file)


def _taken_away(file: Path) -> bool:
    with contextlib.suppress(OSError):
        file.unlink()
        return True
    return False


def _locked(file: Path, until_s: float) -> tuple[int, bool]:
    """The number of the opened file, and whether it is locked."""
    while True:
        number = os.open(file, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
        try:
            sure = _lock(number)
            with contextlib.suppress(FileNotFoundError):
                if os.path.samestat(os.fstat(number), os.lstat(file)):  # else its last holder took it away
                    return number, sure
            os.close(number)
        except BlockingIOError:
            os.close(number)
            if time.monotonic() >= until_s:
                raise
            time.sleep(_AGAIN_S)


def _lock(number: int) -> bool:
    """Whether this disk has locks; BlockingIOError where another command has this one."""
    if sys.platform == "win32":
        import msvcrt

        try:
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
        except OSError as error:
            raise BlockingIOError from error
        return True
    import fcntl

    try:
        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise
    except OSError:
        return False
    return True
