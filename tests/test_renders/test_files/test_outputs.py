"""Names and paths of what is written."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.files import outputs

ENDINGS = (".mp4", ".gif")


def test_choose_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert outputs.choose_path(None, "film-t.mp4", ENDINGS) == Path("film-t.mp4")
    assert outputs.choose_path(tmp_path / "x.GIF", "film-t.mp4", ENDINGS) == tmp_path / "x.GIF"
    (tmp_path / "x.gif").write_bytes(b"old")
    assert outputs.choose_path(tmp_path / "x.gif", "film-t.mp4", ENDINGS, force=True) == tmp_path / "x.gif"
    assert (tmp_path / "x.gif").read_bytes() == b"old"


@pytest.mark.parametrize(
    ("out", "error", "message"),
    [
        ("a.avi", BadInput, r"output ending of .*a.avi' is .avi; allowed: .mp4, .gif"),
        ("a.mp", BadInput, r"nearest: .mp4"),
        ("a", BadInput, r"is none; allowed"),
        ("old.mp4", BadInput, r"old.mp4 exists; give --force"),
        ("dir.mp4", BadInput, r"it is a folder"),
        ("absent/a.mp4", BadInput, r"absent does not exist"),
        ("old.mp4/a.mp4", BadInput, r"old.mp4 is not a folder"),
        ("n" * 300 + ".mp4", BadInput, r"[Nn]ame too long"),
        ("a\0.mp4", BadInput, r"not a file name"),
    ],
)
def test_paths_that_cannot_be(tmp_path: Path, out: str, error: type, message: str) -> None:
    (tmp_path / "old.mp4").write_bytes(b"old")
    (tmp_path / "dir.mp4").mkdir()
    with pytest.raises(error, match=message):
        outputs.choose_path(f"{tmp_path}/{out}", "x.mp4", ENDINGS)
    with pytest.raises(BadInput, match="not a file name"):
        outputs.choose_path("", "x.mp4", ENDINGS)


def refuse(*args, **kwargs):
    raise OSError(30, "Read-only file system")


def test_a_folder_that_refuses_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.mkdtemp", refuse)
    with pytest.raises(BadInput, match=r"refuses files \(Read-only file system"):
        outputs.choose_path(tmp_path / "a.mp4", "x.mp4", ENDINGS)
    with pytest.raises(SurroundingsError, match="Read-only"), outputs.atomic_path(tmp_path / "a.mp4", False):
        raise AssertionError("the block must not run")


def test_atomic_path_replaces_at_the_end_only(tmp_path: Path) -> None:
    target = tmp_path / "a.mp4"
    target.write_bytes(b"old")
    with outputs.atomic_path(target, force=True) as part:
        assert part.suffix == ".mp4"
        assert part.parent.parent == tmp_path
        part.write_bytes(b"new")
        assert target.read_bytes() == b"old"
    assert target.read_bytes() == b"new"
    mask = os.umask(0)
    os.umask(mask)
    assert target.stat().st_mode & 0o777 == 0o666 & ~mask
    for error in (ValueError, KeyboardInterrupt):
        with pytest.raises(error), outputs.atomic_path(target, force=True) as part:
            part.write_bytes(b"half")
            raise error
    assert target.read_bytes() == b"new"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.skipif(sys.platform == "win32", reason="modes are of POSIX")
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_what_is_replaced_hands_on_its_mode(mode: int, tmp_path: Path) -> None:
    file = tmp_path / "a.mp4"
    file.write_bytes(b"old")
    file.chmod(mode)
    with outputs.atomic_path(file, force=True) as part:
        part.write_bytes(b"new")
        assert part.parent.stat().st_mode & 0o777 == 0o700  # while it is written nobody else sees it
    assert file.read_bytes() == b"new"
    assert file.stat().st_mode & 0o777 == mode
    with outputs.fresh_folder(tmp_path, force=True) as build:
        (build / "a.mp4").write_bytes(b"newer")
    assert file.read_bytes() == b"newer"
    assert file.stat().st_mode & 0o777 == mode


def test_atomic_path_tells_a_failed_rename(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(SurroundingsError, match="Read-only"), outputs.atomic_path(tmp_path / "a.mp4", True) as part:
        part.write_bytes(b"new")
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_appears_while_the_work_goes_on_is_kept(tmp_path: Path) -> None:
    target = tmp_path / "a.mp4"
    with (
        pytest.raises(BadInput, match=r"a\.mp4 exists; give --force"),
        outputs.atomic_path(target, force=False) as part,
    ):
        part.write_bytes(b"ours")
        target.write_bytes(b"theirs")
    assert target.read_bytes() == b"theirs"
    assert list(tmp_path.iterdir()) == [target]


def test_a_link_is_replaced_and_not_followed(tmp_path: Path) -> None:
    (tmp_path / "elsewhere.mp4").write_bytes(b"theirs")
    (tmp_path / "a.mp4").symlink_to("elsewhere.mp4")
    with outputs.atomic_path(tmp_path / "a.mp4", force=True) as part:
        part.write_bytes(b"ours")
    assert (tmp_path / "elsewhere.mp4").read_bytes() == b"theirs"
    assert not (tmp_path / "a.mp4").is_symlink()
    assert (tmp_path / "a.mp4").read_bytes() == b"ours"


def fill(folder: Path) -> None:
    (folder / "films").mkdir()
    (folder / "films" / "t.mp4").write_text("new")
    (folder / "lesson.txt").write_text("new")


def test_fresh_folder_appears_whole(tmp_path: Path) -> None:
    with outputs.fresh_folder(tmp_path / "front-desk") as build:
        fill(build)
        assert not (tmp_path / "front-desk").exists()
    assert (tmp_path / "front-desk" / "films" / "t.mp4").read_text() == "new"
    assert [p.name for p in tmp_path.iterdir()] == ["front-desk"]


@pytest.mark.parametrize("error", [ValueError, KeyboardInterrupt])
def test_fresh_folder_vanishes_on_failure(tmp_path: Path, error: type[BaseException]) -> None:
    with pytest.raises(error), outputs.fresh_folder(tmp_path / "front-desk") as build:
        fill(build)
        raise error
    assert list(tmp_path.iterdir()) == []


def test_fresh_folder_needs_force_for_a_full_one_and_keeps_other_files(tmp_path: Path) -> None:
    target = tmp_path / "front-desk"
    target.mkdir()
    with outputs.fresh_folder(target) as build:
        fill(build)
    (target / "lesson.txt").write_text("old")
    (target / "own-notes.txt").write_text("mine")
    with pytest.raises(BadInput, match="not empty; give --force"), outputs.fresh_folder(target):
        raise AssertionError("the block must not run")
    with outputs.fresh_folder(target, force=True) as build:
        fill(build)
        assert (target / "lesson.txt").read_text() == "old"
    assert (target / "lesson.txt").read_text() == "new"
    assert (target / "own-notes.txt").read_text() == "mine"
    assert [p.name for p in tmp_path.iterdir()] == ["front-desk"]


def test_fresh_folder_does_not_half_replace(tmp_path: Path) -> None:
    target = tmp_path / "front-desk"
    (target / "lesson.txt").mkdir(parents=True)
    with pytest.raises(BadInput, match="in the way"), outputs.fresh_folder(target, force=True) as build:
        fill(build)
    assert not (target / "films").exists()


@pytest.mark.parametrize("name", ["films", "films/t.mp4"])
def test_a_link_in_a_folder_is_not_followed(name: str, tmp_path: Path) -> None:
    """A link to a folder is refused before the work begins; one to a file makes room, and its file stays as it is."""
    target, elsewhere = tmp_path / "front-desk", tmp_path / "elsewhere"
    (target / name).parent.mkdir(parents=True)
    elsewhere.mkdir()
    (elsewhere / "t.mp4").write_text("theirs")
    (target / name).symlink_to(elsewhere / "t.mp4" if name.endswith(".mp4") else elsewhere)
    if name == "films":
        with pytest.raises(BadInput, match=r"films is a link and in the way"):  # noqa: SIM117
            with outputs.fresh_folder(target, True, ("films",)):
                raise AssertionError("the block must not run")
        with pytest.raises(BadInput, match=r"films is a link and in the way"):  # noqa: SIM117
            with outputs.fresh_folder(target, True) as build:
                fill(build)
        assert {path.name for path in target.iterdir()} == {"films"}
    else:
        with outputs.fresh_folder(target, True, ("films",)) as build:
            (build / "films" / "t.mp4").write_text("new")
        assert (target / name).read_text() == "new"
        assert not (target / name).is_symlink()
    assert [(path.name, path.read_text()) for path in elsewhere.iterdir()] == [("t.mp4", "theirs")]


@pytest.mark.parametrize("leads_to", ["elsewhere", "nowhere"])
def test_a_folder_that_is_a_link_is_refused(leads_to: str, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "front-desk").symlink_to(tmp_path / leads_to)
    with pytest.raises(BadInput, match="it is a link"), outputs.fresh_folder(tmp_path / "front-desk", force=True):
        raise AssertionError("the block must not run")
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="only root of Linux mounts")
def test_a_folder_that_is_a_mount_is_written_into(tmp_path: Path) -> None:
    """A mount cannot be renamed, and nothing can be renamed into it: mount(8), rename(2) (EBUSY, EXDEV)."""
    target = tmp_path / "volume"
    target.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "none", target], capture_output=True).returncode:
        pytest.skip("nothing can be mounted here")
    try:
        for force in (False, True):
            with outputs.fresh_folder(target, force) as build:
                fill(build)
        assert (target / "films" / "t.mp4").read_text() == "new"
        assert {path.name for path in target.iterdir()} == {"films", "lesson.txt"}
        film, there = target / "a.mp4", tmp_path / "there.mp4"
        with outputs.atomic_path(film, force=False) as part:
            part.write_bytes(b"new")
        there.touch()
        subprocess.run(["mount", "--bind", film, there], check=True)
        with pytest.raises(BadInput, match="another disk is mounted there"):
            outputs.choose_path(there, "", ENDINGS, force=True)
    finally:
        subprocess.run(["umount", tmp_path / "there.mp4"], capture_output=True)
        subprocess.run(["umount", target], check=True)
    assert {path.name for path in tmp_path.iterdir()} == {"volume", "there.mp4"}


def test_fresh_folder_in_bad_places(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    for place, message in (
        (tmp_path / "file", "file of that name"),
        (tmp_path / "file" / "in", "not a folder"),
    ):
        with pytest.raises(BadInput, match=message), outputs.fresh_folder(place):
            raise AssertionError("the block must not run")
    with pytest.raises(BadInput, match="does not exist"), outputs.fresh_folder(tmp_path / "a" / "b"):
        raise AssertionError("the block must not run")
