"""What stands in the folder of a course: which files each item made there, and from what."""

from __future__ import annotations

import hashlib
from pathlib import Path

import msgspec

from articulators.errors import BadInput, SurroundingsError
from renders.files.outputs import atomic_path
from renders.files.placing import check_real_folder
from renders.files.workplace import alone_in
from renders.lesson_items.item import HIDDEN, Files, LessonItem

_WAIT_S = 60.0  # for another build that is putting the files of one item into its place


class Built(msgspec.Struct, frozen=True):
    """What was made of an item: from which key, and a digest of each file. An empty key: it is being put in place.

    was  digests of files that stood in their places before, which are ours too
    """

    item: str
    key: str
    files: dict[str, str]
    was: dict[str, str] = {}


def built(out: Path, item: LessonItem) -> Built | None:
    """What was made of it before, None for nothing, or where the record cannot be read."""
    try:
        return msgspec.json.decode(_record_file(out, item).read_bytes(), type=Built)
    except (OSError, msgspec.DecodeError):
        return None


def why_to_build(out: Path, item: LessonItem, key: str) -> str:
    """Why an item is to be built: "new", "changed", "interrupted", "a file is missing"; "" where it stands as it is."""
    there = built(out, item)
    if there is None:
        return "new"
    if not there.key:
        return "interrupted"
    if there.key != key:
        return "changed"
    return "" if all((out / name).is_file() for name in there.files) else "a file is missing"


def given_to(out: Path, item: LessonItem) -> Files:
    """The files that an item reads, as far as they stand there."""
    return {name: (out / name).read_bytes() for name in item.reads if (out / name).is_file()}


def put_item(out: Path, item: LessonItem, key: str, files: Files) -> None:
    """Puts the files of an item into the folder, each whole. SurroundingsError for one that somebody else made.

    What is meant to stand there is written down first, so that a build that is killed knows its files again.
    """
    try:
        with alone_in(out, _WAIT_S):
            there = built(out, item)
            ours = {} if there is None else {**there.was, **there.files}
            made = {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
            for name in files:
                _check_ours(
                    out, name, {made[name], ours.get(name, "")} | ({there.was.get(name, "")} if there else set())
                )
            _write(out, item, Built(item.name, "", made, ours))
            for name, data in files.items():
                check_real_folder((out / name).parent, out)
                (out / name).parent.mkdir(parents=True, exist_ok=True)
                with atomic_path(out / name, force=True) as part:
                    part.write_bytes(data)
            _write(out, item, Built(item.name, key, made))
    except BlockingIOError:
        raise SurroundingsError(f"another build stays in {out}; try again when it is done") from None
    except OSError as error:
        raise SurroundingsError(f"cannot write into {out}: {error.strerror or error}") from error


def course_folder(out: Path) -> Path:
    """The folder of a course, made where there is none. BadInput where it cannot be one."""
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise BadInput(f"cannot build into {out}: it is a link or a file; give a folder")
    try:
        (out / HIDDEN / "built").mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput(f"cannot build into {out}: {error.strerror or error}; give another --out") from None
    return out


def _check_ours(out: Path, name: str, digests: set[str]) -> None:
    file = out / name
    if file.is_symlink() or file.exists():
        if file.is_file() and not file.is_symlink() and hashlib.sha256(file.read_bytes()).hexdigest() in digests:
            return
        raise SurroundingsError(f"{name} was made or changed by somebody else and is left as it is; move it away")


def _write(out: Path, item: LessonItem, record: Built) -> None:
    with atomic_path(_record_file(out, item), force=True) as part:
        part.write_bytes(msgspec.json.encode(record, order="sorted"))


def _record_file(out: Path, item: LessonItem) -> Path:
    return out / HIDDEN / "built" / f"{hashlib.sha256(item.name.encode()).hexdigest()[:24]}.json"
