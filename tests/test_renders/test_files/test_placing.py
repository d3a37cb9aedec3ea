"""What was made is put in its place: all of it or nothing, whatever fails or is killed on the way."""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.files import interrupts, outputs, placing, workplace

posix = pytest.mark.skipif(sys.platform == "win32", reason="processes are split and killed otherwise there")

OLD = {"index.html": "old", "films/t.mp4": "old", "own-notes.txt": "mine", "own/photo.png": "mine"}
NEW = {"index.html": "new", "films/t.mp4": "new", "films/u.mp4": "new", "strips/t.svg": "new"}
MOVES = 6  # four files come, two make room


def fill(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def contents(folder: Path) -> dict[str, str]:
    """All files by name; a folder that holds nothing stands for itself."""
    found = {}
    for path in folder.rglob("*"):
        if path.is_file():
            found[path.relative_to(folder).as_posix()] = path.read_text()
        elif path.is_symlink() or not list(path.iterdir()):
            found[path.relative_to(folder).as_posix() + "/"] = ""
    return found


@pytest.fixture(params=["renamed at once", "taken, then filled"])
def _both_ways(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """EINVAL is what rename(2) of Linux says where a disk has no such rename."""
    if request.param != "renamed at once":
        monkeypatch.setattr(placing, "_renamed_by_the_system", lambda made, place: errno.EINVAL)


@pytest.mark.usefixtures("_both_ways")
def test_nothing_is_replaced_unasked(tmp_path: Path) -> None:
    made, folder = tmp_path / "made.mp4", tmp_path / "made"
    made.write_text("ours")
    fill(folder, NEW)
    (tmp_path / "file").write_text("theirs")
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to("nowhere")
    before = contents(tmp_path)
    for place in ("file", "folder", "link"):
        for ours in (made, folder):
            with pytest.raises(FileExistsError):
                placing.put_new(ours, tmp_path / place)
    assert contents(tmp_path) == before
    placing.put_new(made, tmp_path / "a.mp4")
    placing.put_new(folder, tmp_path / "front-desk")
    assert (tmp_path / "a.mp4").read_text() == "ours"
    assert contents(tmp_path / "front-desk") == NEW
    assert not made.exists() and not folder.exists()


@pytest.mark.usefixtures("_both_ways")
def test_what_cannot_be_moved_leaves_no_empty_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(os, "replace", refuse)
    monkeypatch.setattr(placing, "_renamed_by_the_system", lambda *_: placing._CANNOT[0])
    (tmp_path / "made.mp4").write_text("ours")
    with pytest.raises(OSError, match="Input/output"):
        placing.put_new(tmp_path / "made.mp4", tmp_path / "a.mp4")
    assert [path.name for path in tmp_path.iterdir()] == ["made.mp4"]


def on_each_move(monkeypatch: pytest.MonkeyPatch, told: Callable[[int], None]) -> None:
    """Calls `told` with the number of each move of a file before it is made."""
    numbers = iter(range(1000))

    def told_before(move: Callable[[Path, Path], None]) -> Callable[[Path, Path], None]:
        def moved(made: Path, place: Path) -> None:
            told(next(numbers))
            move(made, place)

        return moved

    monkeypatch.setattr(placing, "put_new", told_before(placing.put_new))
    monkeypatch.setattr(os, "replace", told_before(os.replace))


def write(target: Path) -> None:
    with outputs.fresh_folder(target, force=True) as build:
        fill(build, NEW)


@pytest.fixture
def target(tmp_path: Path) -> Iterator[Path]:
    """A folder with an old lesson and things of the user's; nothing may be left beside it."""
    folder = tmp_path / "front-desk"
    fill(folder, OLD)
    yield folder
    assert list(tmp_path.iterdir()) == [folder]


def test_all_files_change_together(target: Path) -> None:
    write(target)
    assert contents(target) == OLD | NEW


@pytest.mark.parametrize("number", range(MOVES))
def test_a_move_that_fails_takes_all_back(number: int, target: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(now: int) -> None:
        if now == number:
            raise OSError(errno.ENOSPC, "No space left on device")

    on_each_move(monkeypatch, fails)
    with pytest.raises(SurroundingsError, match="No space left"):
        write(target)
    assert contents(target) == OLD


@posix
@pytest.mark.parametrize("number", range(MOVES))
def test_a_request_to_end_waits_until_all_are_in_their_place(
    number: int, target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    on_each_move(monkeypatch, lambda now: signal.raise_signal(signal.SIGTERM) if now == number else None)
    with pytest.raises(KeyboardInterrupt), interrupts.as_interrupts():
        write(target)
    assert contents(target) == OLD | NEW


@pytest.mark.parametrize("place", ["films/u.mp4", "strips"])
def test_what_is_in_the_way_takes_all_back(place: str, target: Path) -> None:
    if place == "strips":
        (target / place).write_text("a file where a folder is to be")
    else:
        (target / place).mkdir()
    before = contents(target)
    with pytest.raises(BadInput, match="in the way"):
        write(target)
    assert contents(target) == before


def killed(work: Callable[[], None]) -> bool:
    """Whether a process that does this work was killed."""
    process = os.fork()
    if process == 0:
        try:
            work()
        finally:
            os._exit(0)
    return os.WIFSIGNALED(os.waitpid(process, 0)[1])


@posix
@pytest.mark.parametrize("dies_at", range(MOVES + 1))
def test_a_folder_that_appears_meanwhile_is_written_into_where_asked(dies_at: int, tmp_path: Path) -> None:
    """What is built beside it comes into it, also where it is killed on the way."""
    target = tmp_path / "front-desk"

    def work() -> None:
        with pytest.MonkeyPatch.context() as patch, outputs.fresh_folder(target, force=True) as build:
            fill(build, NEW)
            fill(target, OLD)
            on_each_move(patch, lambda now: os.kill(os.getpid(), signal.SIGKILL) if now == dies_at else None)

    assert killed(work) == (dies_at < MOVES)
    workplace.clear(tmp_path)
    assert contents(tmp_path) == {f"front-desk/{name}": text for name, text in (OLD | NEW).items()}


@posix
@pytest.mark.parametrize("dies_at", range(MOVES + 1))
@pytest.mark.parametrize("fails_at", [None, 3])
def test_what_was_killed_is_finished_by_the_next_command(fails_at: int | None, dies_at: int, target: Path) -> None:
    """Also where it was killed on the way back from a move that failed."""

    def dies(now: int) -> None:
        if now == fails_at:
            raise OSError(errno.EIO, "Input/output error")
        if now == dies_at:
            os.kill(os.getpid(), signal.SIGKILL)

    def work() -> None:
        with pytest.MonkeyPatch.context() as patch:
            on_each_move(patch, dies)
            write(target)

    was_killed = killed(work)
    moves = range(MOVES) if fails_at is None else {*range(MOVES + 1)} - {fails_at}  # as many come and go back
    assert was_killed == (dies_at in moves)
    workplace.clear(target)
    assert contents(target) == (OLD | NEW if was_killed or fails_at is None else OLD)


@posix
def test_what_was_killed_while_it_was_built_is_cleared_away(target: Path) -> None:
    def work() -> None:
        with outputs.fresh_folder(target, force=True) as build:
            fill(build, NEW)
            os.kill(os.getpid(), signal.SIGKILL)

    assert killed(work)
    assert contents(target) != OLD
    with outputs.atomic_path(target / "a.mp4", force=False) as part:  # any command that writes into the folder
        part.write_text("new")
    assert contents(target) == OLD | {"a.mp4": "new"}


@posix
def test_an_empty_folder_is_not_overwritten_by_the_next_command(tmp_path: Path) -> None:
    """Without --force nothing is replaced, also where a command is finished that was killed."""
    target = tmp_path / "front-desk"
    target.mkdir()

    def dies(now: int) -> None:
        if now == 2:
            os.kill(os.getpid(), signal.SIGKILL)

    def work() -> None:
        with pytest.MonkeyPatch.context() as patch:
            on_each_move(patch, dies)
            with outputs.fresh_folder(target) as build:
                fill(build, NEW)

    assert killed(work)
    fill(target, {"strips/t.svg": "theirs"})
    workplace.clear(target)
    assert contents(target) == {"strips/t.svg": "theirs"}
