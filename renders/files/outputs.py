"""Where results are written: paths proved before the work begins, and files that appear whole or not at all."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from articulators.errors import BadInput, SurroundingsError
from renders.files.formats import check_ending
from renders.files.interrupts import held
from renders.files.placing import NEW, OLD, check_real_folder, mode_for, put_into, put_new
from renders.files.workplace import alone_in, clear, names_in, workplace

Progress = Callable[[int, int], None]
"""Is called with how much is done and how much there is."""

_WAIT_S = 10.0  # for another command that is putting its files into the same folder: it takes less than a second


def _prove_writable(folder: Path, given: str) -> None:
    """A trial settles what permission bits cannot (a read-only disk, a superuser)."""
    if not folder.exists():
        raise BadInput(f"cannot write {given}: the folder {folder} does not exist")
    if not folder.is_dir():
        raise BadInput(f"cannot write {given}: {folder} is not a folder")
    try:
        with workplace(folder):
            pass
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
    file that exists without ``force``, for a folder or a mount in the file's place, for a missing folder and for one
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
        if there and path.lstat().st_dev != path.parent.stat().st_dev:
            raise BadInput(f"cannot write {given}: another disk is mounted there; give another --out")
    except OSError as error:
        raise BadInput(f"cannot write {given}: {error.strerror or error}") from None
    if there and not force:
        raise BadInput(_exists(given))
    _prove_writable(path.parent, given)
    return path


def _exists(given: str | os.PathLike[str]) -> str:
    return f"{given} exists; give --force to replace it or another --out"


@contextlib.contextmanager
def atomic_path(path: Path, force: bool) -> Iterator[Path]:
    """A path to write to; the file there takes the place of ``path`` when the block ends well, and goes otherwise.

    It has the ending of ``path``, so that writers which go by the ending work. With ``force`` what stands there is
    replaced and hands on its mode, without it BadInput. SurroundingsError where no file can be made.
    """
    path = Path(path)
    try:
        with workplace(path.parent) as work:
            part = work / f"{NEW}{path.suffix}"
            yield part
            with held():
                part.chmod(mode_for(path))
                if force:
                    os.replace(part, path)
                else:
                    _put_new(part, path)
    except OSError as error:
        raise SurroundingsError(f"cannot write {path}: {error.strerror or error}") from None


def _put_new(part: Path, path: Path) -> None:
    try:
        put_new(part, path)
    except FileExistsError:
        raise BadInput(_exists(path)) from None


@contextlib.contextmanager
def fresh_folder(out: str | os.PathLike[str], force: bool = False, folders: Sequence[str] = ()) -> Iterator[Path]:
    """A hidden folder to build in; what it holds comes to ``out`` when the block ends well, all of it or nothing.

    ``folders`` are made in it. Where ``out`` exists and holds anything, BadInput unless ``force``; then the files built
    here replace those of the same name and every other file stays. A link is never followed: BadInput where ``out`` or
    one of ``folders`` is one. On any failure ``out`` is as before.
    """
    target, given = Path(out).absolute(), os.fspath(out)
    there = _prove_free(target, given, force)
    for name in folders:
        check_real_folder(target / name, target)
    where = target if there else target.parent
    _prove_writable(where, given)
    try:
        with workplace(where) as work:
            for folder in (work / NEW, *(work / NEW / name for name in folders)):
                folder.mkdir()
            yield work / NEW
            try:
                if not there:
                    with held():
                        put_new(work / NEW, target)
            except FileExistsError:
                if not force:
                    refused = f"the folder {given} appeared while the work went on; give another --out"
                    raise BadInput(refused) from None
                there = True
            if there:
                _put_into(work, target, given, force)
    except OSError as error:
        raise SurroundingsError(f"cannot write the folder {given}: {error.strerror or error}") from None


def _put_into(work: Path, target: Path, given: str, force: bool) -> None:
    try:
        with held(), alone_in(target, _WAIT_S):
            _prove_free(target, given, force)  # somebody else may have filled it meanwhile
            if force:
                (work / OLD).mkdir()
            put_into(work, target)
    except BlockingIOError:
        raise BadInput(f"another command is writing into the folder {given}; try again when it is done") from None


def _prove_free(target: Path, given: str, force: bool) -> bool:
    """Whether the folder exists; BadInput where it may not be written."""
    try:
        if target.is_symlink():
            raise BadInput(f"cannot write the folder {given}: it is a link; give the folder that it leads to")
        if not target.exists():
            return False
        if not target.is_dir():
            raise BadInput(f"cannot write the folder {given}: a file of that name exists")
        clear(target)
        if names_in(target) and not force:
            raise BadInput(f"the folder {given} is not empty; give --force to write into it or another --out")
    except OSError as error:  # a name too long, a folder that may not be read
        raise BadInput(f"cannot write the folder {given}: {error.strerror or error}") from None
    return True
