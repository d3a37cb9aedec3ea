"""Text files that a user names: regular files of a moderate size in UTF-8, and nothing else."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

from articulators.errors import BadInput, SurroundingsError, nearest

LARGEST_BYTES = 1_000_000
"""More than any style, table of areas or head needs: the longest that ships has 20 000."""

_OF_THE_NAME = (errno.ENAMETOOLONG, errno.ELOOP)


def text_given(file: str | os.PathLike[str], what: str, advice: str = "") -> str:
    """The text of a file that a user has named, without a byte order mark.

    what    what the file should be, such as "style file"
    advice  what is added where there is no such file
    BadInput, at once, where there is none, for a folder, a pipe or a device, for more than LARGEST_BYTES, and for what
    is not UTF-8 (with the line); SurroundingsError where it cannot be read.
    """
    path = Path(file)
    if "\0" in str(path):
        raise BadInput(f"{what} {path}: no name of a file holds a NUL")
    try:
        data = _bytes_of(path, what)
    except (FileNotFoundError, NotADirectoryError):
        raise BadInput(f"{what} {path}: no such file{advice}{_beside(path)}") from None
    except OSError as error:
        kind = BadInput if error.errno in _OF_THE_NAME else SurroundingsError
        raise kind(f"{what} cannot be read: {error.strerror or error}: {path}") from None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        byte = f"byte 0x{data[error.start]:02X} is not UTF-8; save the file as UTF-8"
        raise BadInput(f"{what} {path.name}, line {line}: {byte}") from None


def _bytes_of(path: Path, what: str) -> bytes:
    _check_regular(os.stat(path), path, what)
    # without waiting, should a pipe have taken the file's place meanwhile
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as opened:
        _check_regular(os.fstat(handle), path, what)
        data = opened.read(LARGEST_BYTES + 1)
    if len(data) > LARGEST_BYTES:
        raise BadInput(f"{what} {path} is larger than {LARGEST_BYTES} bytes, the most that is read")
    return data


def _check_regular(found: os.stat_result, path: Path, what: str) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise BadInput(f"{what} {path} is a folder; a file is needed")
    if not stat.S_ISREG(found.st_mode):
        raise BadInput(f"{what} {path} is a pipe, a socket or a device; a file is needed")


def _beside(path: Path) -> str:
    """The nearest file of the same ending in the folder, as a hint."""
    try:
        return nearest(str(path), [str(file) for file in path.parent.glob(f"*{path.suffix}") if file.is_file()])
    except OSError:
        return ""
