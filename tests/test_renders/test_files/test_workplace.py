"""Work folders: what killed commands leave is cleared away, what others are at work in is not."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from articulators.errors import BadInput
from renders.files import outputs, placing, workplace

posix = pytest.mark.skipif(sys.platform == "win32", reason="processes are killed otherwise there")

WORKS = """
import sys, time
from pathlib import Path
from renders.files.workplace import workplace
with workplace(Path(sys.argv[1])) as folder:
    (folder / "new").mkdir()
    (folder / "new" / "t.mp4").write_text("half")
    print(folder, flush=True)
    time.sleep(600)
"""


def at_work(where: Path, root: Path) -> tuple[subprocess.Popen[str], Path]:
    """Another process that works in a folder, and where."""
    running = subprocess.Popen([sys.executable, "-c", WORKS, where], cwd=root, stdout=subprocess.PIPE, text=True)
    assert running.stdout is not None
    return running, Path(running.stdout.readline().strip())


@posix
def test_what_others_are_at_work_in_stays_until_they_are_gone(root: Path, tmp_path: Path) -> None:
    running, folder = at_work(tmp_path, root)
    try:
        for _ in range(2):
            with workplace.workplace(tmp_path) as ours:
                assert {ours, folder} == set(tmp_path.glob(f"{workplace.PREFIX}*"))
            assert list(tmp_path.iterdir()) == [folder]
        assert (folder / "new" / "t.mp4").read_text() == "half"
        assert workplace.names_in(tmp_path) == set()
    finally:
        running.send_signal(signal.SIGKILL)
        running.communicate()
    with workplace.workplace(tmp_path) as ours:
        assert list(tmp_path.iterdir()) == [ours]
    assert list(tmp_path.iterdir()) == []


def test_a_disk_with_room_for_a_folder_alone_keeps_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the disk can number one thing more (ENOSPC, POSIX)."""

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(workplace, "_locked", full)
    with pytest.raises(OSError, match="No space left"), workplace.workplace(tmp_path):
        pass
    assert list(tmp_path.iterdir()) == []


def test_folders_that_are_not_ours_stay(tmp_path: Path) -> None:
    theirs = tmp_path / f"{workplace.PREFIX}site"
    theirs.mkdir()
    (theirs / "plan.txt").write_text("theirs")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / workplace.LOCK).touch()
    (tmp_path / f"{workplace.PREFIX}link").symlink_to("elsewhere")
    workplace.clear(tmp_path)
    assert (theirs / "plan.txt").read_text() == "theirs"
    assert (tmp_path / "elsewhere" / workplace.LOCK).exists()


@posix
def test_what_others_have_left_is_not_touched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a folder that many write to, such as /tmp, somebody might leave a list of moves that we should make."""
    left = tmp_path / f"{workplace.PREFIX}left"
    left.mkdir()
    (left / workplace.LOCK).touch()
    with monkeypatch.context() as patch:
        patch.setattr(os, "getuid", lambda: left.stat().st_uid + 1)
        workplace.clear(tmp_path)
    assert list(tmp_path.iterdir()) == [left]
    workplace.clear(tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("written", ["", '{"files": ["index.h'])
def test_a_list_that_cannot_be_read_is_left_with_what_it_is_about(written: str, tmp_path: Path) -> None:
    """A disk that lost its power may hold an empty file: rename(2) does not wait for what was written."""
    left = tmp_path / f"{workplace.PREFIX}left"
    left.mkdir()
    (left / workplace.LOCK).touch()
    (left / placing.READY).write_text(written)
    workplace.clear(tmp_path)
    assert (left / placing.READY).read_text() == written


def test_one_that_was_not_locked_yet_is_cleared_where_it_is_empty(tmp_path: Path) -> None:
    (tmp_path / f"{workplace.PREFIX}begun").mkdir()
    (tmp_path / workplace.LOCK).touch()  # one that ended while it had the folder for itself
    workplace.clear(tmp_path)
    assert list(tmp_path.iterdir()) == []


@posix
def test_a_disk_without_locks_is_written_to_and_not_cleared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """ENOLCK and EOPNOTSUPP are what flock(2) says where a disk has none; whoever is gone cannot be told there."""
    left = tmp_path / f"{workplace.PREFIX}left"
    left.mkdir()
    (left / workplace.LOCK).touch()

    def none(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("fcntl.flock", none)
    with outputs.atomic_path(tmp_path / "a.mp4", force=False) as part:
        part.write_text("new")
    assert {path.name for path in tmp_path.iterdir()} == {"a.mp4", left.name}


def test_only_one_command_puts_its_files_into_a_folder_at_a_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(outputs, "_WAIT_S", 0.05)
    with pytest.raises(BadInput, match="another command is writing into the folder"):  # noqa: SIM117
        with workplace.alone_in(tmp_path), outputs.fresh_folder(tmp_path) as build:
            (build / "index.html").write_text("new")
    assert list(tmp_path.iterdir()) == []


def test_a_lock_is_no_way_out_of_the_folder(tmp_path: Path) -> None:
    if not hasattr(os, "O_NOFOLLOW"):
        pytest.skip("this system follows every link")
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / workplace.LOCK).symlink_to(tmp_path / "out")
    with pytest.raises(OSError), workplace.alone_in(tmp_path / "in"):
        raise AssertionError("the block must not run")
    assert not (tmp_path / "out").exists()
