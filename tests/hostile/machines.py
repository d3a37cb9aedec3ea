"""Other machines, as far as they can be imitated here: what their file systems refuse, and a Python without fork.

The rules of names are those of "Naming Files, Paths, and Namespaces" (Microsoft Learn, from memory): < > : " | ? * and
characters below 32 are refused, so are a dot or a space at the end and names of devices with any ending; a path has
at most 259 characters. A file that is open cannot be renamed, replaced or removed, and a rename replaces nothing.
"""

from __future__ import annotations

import builtins
import errno
import io
import os
import re
import sys
from collections.abc import Callable
from types import ModuleType, SimpleNamespace
from typing import Any

MACHINES = ("windows", "macos", "fat", "busy")
"""macos: a process cannot be split, and its rename that replaces nothing is not there; fat: a disk without links and
without such a rename; busy: a rename fails with EACCES, as where a virus scanner holds the file.
"""
LONGEST_PATH = 259
_REFUSED = re.compile(r'[<>:"|?*\x00-\x1f\\]|[. ]$', re.DOTALL)
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?", re.IGNORECASE | re.DOTALL)


def enter(machine: str) -> None:
    """Makes this process one of that machine, for the rest of its life; "" leaves it as it is."""
    if machine in ("windows", "macos"):
        _be_called({"windows": "win32", "macos": "darwin"}[machine])
        for name in ("fork", "sched_getaffinity", *(("O_NONBLOCK", "O_NOFOLLOW") if machine == "windows" else ())):
            if hasattr(os, name):
                delattr(os, name)
    if machine in ("windows", "fat"):
        _refuse_names()
        _refuse_links()
    if machine == "windows":
        _refuse_open_files()
    elif machine in ("fat", "busy"):
        _refuse_the_rename(errno.EINVAL if machine == "fat" else errno.EACCES)
    if machine == "busy":
        _replace("rename", "replace", by=lambda usual: _failing(errno.EACCES))


def _be_called(platform: str) -> None:
    """Our own modules take this for that platform; libraries, which could not be loaded then, do not."""
    import subprocess  # noqa: F401  takes a system for Windows by msvcrt when it is loaded

    from renders.files import placing, workplace
    from renders.ink import forked

    for module in (placing, workplace, forked):
        module.sys = SimpleNamespace(platform=platform)  # type: ignore[attr-defined]
    if platform == "win32":
        sys.modules["msvcrt"] = _Locks("msvcrt")


class _Locks(ModuleType):
    """Locks of files as the C library of Windows has them, by those of POSIX."""

    LK_NBLCK = 2

    @staticmethod
    def locking(number: int, _mode: int, _bytes: int) -> None:
        import fcntl

        fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _refuse_the_rename(number: int) -> None:
    """The system's rename that replaces nothing fails."""
    from renders.files import placing

    placing._renamed_by_the_system = lambda *_: number


def refused(path: object) -> bool:
    """Whether a path cannot be made there."""
    if not isinstance(path, str | bytes | os.PathLike):
        return False
    text = os.fsdecode(path)
    parts = [part for part in text.split("/") if part not in ("", ".", "..")]
    too_long = len(os.path.abspath(text)) > LONGEST_PATH
    return too_long or any(_REFUSED.search(part) or _DEVICE.fullmatch(part) for part in parts)


def _replace(*names: str, by: Callable[[Callable[..., Any]], Callable[..., Any]]) -> None:
    for name in names:
        setattr(os, name, by(getattr(os, name)))


def _failing(number: int) -> Callable[..., Any]:
    def fails(*args: Any, **_: Any) -> None:
        raise OSError(number, os.strerror(number), *args[:1])

    return fails


def _refuse_names() -> None:
    def checked(usual: Callable[..., Any]) -> Callable[..., Any]:
        def call(path: Any, *args: Any, **more: Any) -> Any:
            if refused(path):
                raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), path)
            return usual(path, *args, **more)

        return call

    def both(usual: Callable[..., Any]) -> Callable[..., Any]:
        def call(source: Any, target: Any, **more: Any) -> Any:
            for path in (source, target):
                if refused(path):
                    raise OSError(errno.EINVAL, os.strerror(errno.EINVAL), path)
            return usual(source, target, **more)

        return call

    _replace("open", "mkdir", "stat", "lstat", by=checked)
    _replace("rename", "replace", by=both)
    io.open = builtins.open = checked(builtins.open)


def _refuse_links() -> None:
    for name in ("link", "symlink"):
        setattr(os, name, _failing(errno.EPERM))


def _is_open(path: Any) -> bool:
    """Whether this process holds the file, or one within the folder, open."""
    place = os.path.realpath(os.fsdecode(path))
    for number in os.listdir("/proc/self/fd"):
        try:
            held = os.readlink(f"/proc/self/fd/{number}")
        except OSError:
            continue
        if held == place or held.startswith(place + "/"):
            return True
    return False


def _refuse_open_files() -> None:
    def one(usual: Callable[..., Any]) -> Callable[..., Any]:
        def call(path: Any, *args: Any, **more: Any) -> Any:
            if _is_open(path):
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), path)
            return usual(path, *args, **more)

        return call

    def two(usual: Callable[..., Any], replaces: bool) -> Callable[..., Any]:
        def call(source: Any, target: Any, **more: Any) -> Any:
            there = os.path.lexists(target)
            if _is_open(source) or (there and (_is_open(target) or os.path.isdir(target))):
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), source, None, target)
            if there and not replaces:
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), source, None, target)
            return usual(source, target, **more)

        return call

    _replace("remove", "unlink", "rmdir", by=one)
    _replace("rename", by=lambda usual: two(usual, replaces=False))
    _replace("replace", by=lambda usual: two(usual, replaces=True))
