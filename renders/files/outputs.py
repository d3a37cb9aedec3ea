"""Where results are written: paths proved before the work begins, and files that appear whole or not at all."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from articulators.errors import BadInput, SurroundingsError
from renders.files.formats import check_ending
from renders.files.interrupts import held

Progress = Callable[[int, int], None]
"""Is called with how much is done and how much there is."""


def _prove_writable(folder: Path, given: str) -> None:
    """A trial file settles what permission bits cannot (a read-only disk, a superuser)."""
    if not folder.exists():
        raise BadInput(f"cannot write {given}: the folder {folder} does not exist")
    if not folder.is_dir():
        raise BadInput(f"cannot write {given}: {folder} is not a folder")
    try:
        with held():
            handle, name = tempfile.mkstemp(prefix=".trial-", dir=folder)
            os.close(handle)
            os.unlink(name)
    except OSError as error:
        reason = error.strerror or str(error)
        raise BadInput(
            f"cannot write {given}: the folder {folder} refuses files ({reason}); give another --out"
        ) from None


def choose_path(
    out: str | os.PathLike[str] | None, default_name: str, allowed_endings: Sequence[str], force: bool = False
) -> Path:
    """The path to write to: ``out``, or ``default_name`` in the current folder.

    ``allowed_endings`` like (".mp4", ".gif"), compared without case. BadInput for another ending, for a
    file that exists without ``force``, for a folder in the file's place, for a missing folder and for one
    that refuses files.
    """
    given = os.fspath(out) if out is not None else default_name
    if not given or "\0" in given:
        raise BadInput(f"output path {given!r} is not a file name")
    path = Path(given)
    check_ending(given, [ending.lower() for ending in allowed_endings])
    try:
        if path.is_dir():
            raise BadInput(f"cannot write {given}: it is a folder")
        there = os.path.lexists(path)
    except OSError as error:
        raise BadInput(f"cannot write {given}: {error.strerror or error}") from None
    if there and not force:
        raise BadInput(f"{given} exists; give --force to replace it or another --out")
    _prove_writable(path.parent, given)
    return path


def _default_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


@contextlib.contextmanager
def atomic_path(path: Path) -> Iterator[Path]:
    """A path to write to beside ``path``; takes its place when the block ends well, goes otherwise.

    Keeps the ending, so that writers which go by the ending still work. SurroundingsError where no file can
    be made.
    """
    path = Path(path)
    part: Path | None = None
    try:
        with held():
            handle, name = tempfile.mkstemp(prefix=".part-", suffix=path.suffix, dir=path.parent)
            part = Path(name)
            os.close(handle)
        yield part
        with held():
            part.chmod(_default_mode())
            os.replace(part, path)
            part = None
    except BaseException as error:
        if part is not None:
            with held(), contextlib.suppress(OSError):
                part.unlink()
        if isinstance(error, OSError):
            raise SurroundingsError(f"cannot write {path}: {error.strerror or error}") from None
        raise


@contextlib.contextmanager
def fresh_folder(out: str | os.PathLike[str], force: bool = False) -> Iterator[Path]:
    """A hidden folder beside ``out`` to build in; it becomes ``out`` when the block ends well.

    Where ``out`` exists and holds anything, BadInput unless ``force``; then the files built here replace
    those of the same name and every other file stays. On any failure ``out`` is as before.
    """
    target = Path(out)
    given = os.fspath(out)
    _prove_free(target, given, force)
    absolute = target.absolute()
    _prove_writable(absolute.parent, given)
    build: Path | None = None
    try:
        with held():
            build = Path(tempfile.mkdtemp(prefix=".building-", dir=absolute.parent))
        yield build
        for folder in [build, *(p for p in build.rglob("*") if p.is_dir())]:
            folder.chmod(_default_mode() | 0o111)
        if not absolute.exists():
            os.replace(build, absolute)
        else:
            _prove_free(absolute, given, force)  # somebody else may have filled it meanwhile
            _merge(build, absolute, given)
            shutil.rmtree(build)
    except BaseException as error:
        if build is not None:
            with held():
                shutil.rmtree(build, ignore_errors=True)
        if isinstance(error, OSError):
            raise SurroundingsError(f"cannot write the folder {given}: {error.strerror or error}") from None
        raise


def _prove_free(target: Path, given: str, force: bool) -> None:
    try:
        if target.exists() and not target.is_dir():
            raise BadInput(f"cannot write the folder {given}: a file of that name exists")
        if target.is_dir() and any(target.iterdir()) and not force:
            raise BadInput(f"the folder {given} is not empty; give --force to write into it or another --out")
    except OSError as error:  # a name too long, a folder that may not be read
        raise BadInput(f"cannot write the folder {given}: {error.strerror or error}") from None


def _merge(build: Path, target: Path, given: str) -> None:
    parts: Iterable[Path] = sorted(build.rglob("*"))
    files = [part for part in parts if part.is_file()]
    for part in parts:
        place = target / part.relative_to(build)
        if place.exists() and place.is_dir() != part.is_dir():
            raise BadInput(f"cannot write the folder {given}: {place} is in the way")
    for part in files:
        place = target / part.relative_to(build)
        place.parent.mkdir(parents=True, exist_ok=True)
        os.replace(part, place)
