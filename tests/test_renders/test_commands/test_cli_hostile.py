"""Surroundings that work against a command: requests to end, closed or plain streams, odd folders, odd sounds."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders import cli
from renders.files import interrupts, outputs

posix = pytest.mark.skipif(sys.platform == "win32", reason="signals and streams are handled otherwise there")


def begun(argv: tuple[str, ...], root: Path, folder: Path) -> subprocess.Popen[bytes]:
    """A command that has begun to write."""
    running = subprocess.Popen(
        [sys.executable, "-m", "renders", *argv],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(root)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )
    end = time.monotonic() + 60
    while not list(folder.glob(".building-*/new*")) and running.poll() is None and time.monotonic() < end:
        time.sleep(0.02)
    assert running.poll() is None, "it ended before it was asked to"
    return running


@posix
@pytest.mark.parametrize("name", interrupts.REQUESTS)
@pytest.mark.parametrize(
    "argv",
    [("film", "elevator reservation", "--speed", "0.05", "--fps", "60"), ("lesson", "t", "d")],
    ids=lambda a: a[0],
)
def test_a_request_to_end_leaves_nothing(argv: tuple[str, ...], name: str, root: Path, tmp_path: Path) -> None:
    running = begun(argv, root, tmp_path)
    running.send_signal(getattr(signal, name))
    _, err = running.communicate(timeout=60)
    assert running.returncode == 130, err
    assert err == b"vocaltract: interrupted; nothing was left half-written\n"
    assert list(tmp_path.iterdir()) == []


@posix
def test_a_request_that_is_ignored_stays_ignored() -> None:
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)  # as nohup (POSIX) does
    try:
        with interrupts.as_interrupts():
            assert signal.getsignal(signal.SIGHUP) == signal.SIG_IGN
            assert signal.getsignal(signal.SIGTERM) != signal.SIG_DFL
        assert signal.getsignal(signal.SIGTERM) == signal.SIG_DFL
    finally:
        signal.signal(signal.SIGHUP, before)


@posix
@pytest.mark.parametrize("name", ["SIGINT", *interrupts.REQUESTS])
def test_a_request_waits_until_what_is_held_is_done(name: str) -> None:
    done = []
    with pytest.raises(KeyboardInterrupt), interrupts.as_interrupts() as asked:
        with interrupts.held():
            signal.raise_signal(getattr(signal, name))
            done.append("held")
        done.append("after")
    assert done == ["held"]
    assert asked == [getattr(signal, name)]


@posix
def test_a_request_that_no_error_can_tell_of_is_told_again() -> None:
    class Dropped:
        def __del__(self) -> None:
            signal.raise_signal(signal.SIGTERM)
            time.sleep(0)  # the interrupt comes here, where Python drops it

    def dropping() -> None:
        dropped = Dropped()
        del dropped
        for _ in range(2000):
            time.sleep(0.01)

    with pytest.raises(KeyboardInterrupt), interrupts.as_interrupts():
        dropping()


@posix
def test_a_request_in_an_import_is_told_as_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An interrupt in the body of a class comes out as a RuntimeError (CPython, __set_name__)."""

    def broken(args: object) -> None:
        try:
            signal.raise_signal(signal.SIGTERM)
            time.sleep(20)
        except KeyboardInterrupt as error:
            raise RuntimeError("Error calling __set_name__") from error

    monkeypatch.setattr("renders.commands.sounds.run", broken)
    assert cli.main(["sounds"]) == 130
    assert capsys.readouterr().err == "vocaltract: interrupted; nothing was left half-written\n"


@posix
def test_bad_input_is_told_when_no_request_can_add_a_second_line(monkeypatch: pytest.MonkeyPatch) -> None:
    handlers = []
    monkeypatch.setattr(cli, "_fail", lambda *_: handlers.append(signal.getsignal(signal.SIGTERM)) or 2)
    assert cli.main(["still", "tt"]) == 2
    assert handlers == [signal.SIG_DFL]


@posix
@pytest.mark.parametrize(
    ("redirected", "argv", "status"),
    [
        (">&-", "sounds", 0),
        (">&-", "still tt", 2),
        ("2>&-", "still tt", 2),
        (">&- 2>&-", "still tt", 2),
        (">&- 2>&-", "sounds", 0),
    ],
)
def test_closed_streams(redirected: str, argv: str, status: int, root: Path) -> None:
    done = subprocess.run(
        ["/bin/sh", "-c", f'"$0" -m renders {argv} {redirected}', sys.executable],
        capture_output=True,
        text=True,
        cwd=root,
        timeout=60,
    )
    assert done.returncode == status, done.stderr
    assert done.stdout == ""
    assert done.stderr.count("\n") == (1 if status and "2>" not in redirected else 0)


@posix
@pytest.mark.parametrize("argv", ["still t --out t.png", "still [ʈ] --out t.pdf", "timing towel --plot t.svg"])
@pytest.mark.parametrize("home", ["home", "file/home"])
def test_libraries_make_nothing_and_say_nothing(argv: str, home: str, root: Path, tmp_path: Path) -> None:
    """In a new home only our own cache is made; in one that cannot be made nothing is, and the work is done all the
    same (XDG Base Directory Specification, from memory: the cache of a program lies in .cache).
    """
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    (tmp_path / "home").mkdir()
    (tmp_path / "passing").mkdir()
    ours = {"HOME": str(tmp_path / home), "PYTHONPATH": str(root), "TMPDIR": str(tmp_path / "passing")}
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("XDG_", "MPL", "VOCALTRACT_"))}
    done = subprocess.run(
        [sys.executable, "-m", "renders", *argv.split()],
        capture_output=True, text=True, cwd=tmp_path, env={**kept, **ours}, timeout=60,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    made = {path.relative_to(tmp_path / "home").as_posix() for path in (tmp_path / "home").rglob("*")}
    if home != "home":
        assert made == set()
    elif sys.platform == "linux":
        assert all(path == ".cache" or path.startswith(".cache/vocaltract") for path in made), made
    assert list((tmp_path / "passing").iterdir()) == []


@posix
@pytest.mark.parametrize("progress", ["", "--progress"])
@pytest.mark.parametrize("redirected", ["2>&-", "2>&- >&- <&-", "2>/dev/full"])
def test_a_film_is_made_where_nobody_can_watch(redirected: str, progress: str, root: Path, tmp_path: Path) -> None:
    """Standard error that is closed or cannot be written to: the film is the same, byte for byte."""
    if "/dev/full" in redirected and not Path("/dev/full").exists():
        pytest.skip("there is no device that is always full")
    films = []
    for number, to in enumerate(("", redirected)):
        film = tmp_path / f"{number}.mp4"
        line = f'"$0" -m renders film t --size 64x64 --speed 2 --fps 5 --out {film} {progress} {to}'
        done = subprocess.run(
            ["/bin/sh", "-c", line, sys.executable], capture_output=True, text=True, cwd=root, timeout=60
        )
        assert done.returncode == 0, done.stderr
        films.append(film.read_bytes())
    assert films[0] == films[1]


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_json_is_json_in_any_encoding(encoding: str, root: Path) -> None:
    """RFC 8259, 7: any character may be escaped as backslash, u and four digits; nothing else may."""
    done = subprocess.run(
        [sys.executable, "-m", "renders", "sounds", "--json"],
        capture_output=True,
        cwd=root,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        timeout=60,
    )
    assert {"ʃ", "ŋ", "ɑ"} <= {row["symbol"] for row in json.loads(done.stdout.decode(encoding))["sounds"]}


def test_a_folder_name_that_is_too_long_is_bad_input(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot write the folder"), outputs.fresh_folder(tmp_path / ("x" * 300)):
        pass
    assert list(tmp_path.iterdir()) == []


def test_a_folder_filled_meanwhile_is_kept(tmp_path: Path) -> None:
    out = tmp_path / "front-desk"
    with pytest.raises(BadInput, match="appeared while the work went on"), outputs.fresh_folder(out) as build:
        (build / "index.html").write_text("ours")
        out.mkdir()
        (out / "index.html").write_text("theirs")
    assert [p.name for p in tmp_path.iterdir()] == ["front-desk"]
    assert (out / "index.html").read_text() == "theirs"


@pytest.mark.parametrize(
    "argv",
    [
        "still t --size 320x240 --out a.svg",
        "strip towel --size 640x264 --out a.svg",
        "film t --size 64x64 --speed 2 --fps 5 --out a.mp4",
        "film t --size 64x64 --speed 2 --fps 5 --out a.gif",
        "pair t d --size 320x220 --out a.svg",
        "pair t d --strip --size 320x220 --out a.svg",
        "pair t d --size 64x64 --speed 2 --fps 5 --out a.mp4",
        "page t --out a.html",
        "timing towel --plot a.svg",
        "measure t --plot a.svg",
        "words t --count 1 --out a.csv",
        "sounds --out a.csv",
        "styles dark --out a.toml",
        "speakers woman --out a.toml",
    ],
)
@pytest.mark.parametrize("force", [False, True])
def test_a_file_that_appears_meanwhile_is_replaced_only_where_asked(
    argv: str, force: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    checked = outputs.choose_path

    def and_then_appears(*args: Any, **settings: Any) -> Path:
        path = checked(*args, **settings)
        path.write_text("theirs")
        return path

    monkeypatch.setattr(outputs, "choose_path", and_then_appears)
    status = cli.main([*argv.split(), *(["--force"] if force else [])])
    (file,) = tmp_path.iterdir()
    err = capsys.readouterr().err
    assert (status, file.read_bytes() == b"theirs") == ((0, False) if force else (2, True)), err
    assert err == ("" if force else f"vocaltract: {file.name} exists; give --force to replace it or another --out\n")


@posix
@pytest.mark.parametrize("kilobytes", [200_000, 300_000])
@pytest.mark.parametrize("argv", ["still t --out t.png", "film t --size 320x180 --speed 2 --out t.mp4"])
def test_too_little_memory_is_told_in_one_line(argv: str, kilobytes: int, root: Path, tmp_path: Path) -> None:
    """A limit on address space (ulimit -v, bash and dash), met while libraries are loaded or at work."""
    line = f'ulimit -v {kilobytes} && exec "$0" -m renders {argv}'
    done = subprocess.run(
        ["/bin/sh", "-c", line, sys.executable],
        capture_output=True, text=True, cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(root)}, timeout=120,
    )  # fmt: skip
    assert done.returncode in (0, 1)
    assert done.stderr.count("\n") == done.returncode, done.stderr
    assert "fault" not in done.stderr


def test_a_full_disk_is_named_with_the_file(tmp_path: Path) -> None:
    with pytest.raises(SurroundingsError, match=r"cannot write .*sounds\.csv: No space left"):  # noqa: SIM117
        with outputs.atomic_path(tmp_path / "sounds.csv", force=False):
            raise OSError(28, "No space left on device")
    assert list(tmp_path.iterdir()) == []


def test_all_sounds_need_a_folder_with_a_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["still", "--all", "--out", ""]) == 2
    assert "has no name" in capsys.readouterr().err


@pytest.mark.parametrize("sound", ["[ø]", "[y]", "[a]", "[r]", "[ɑ̃]"])
@pytest.mark.parametrize("command", ["still", "film", "pair", "strip"])
def test_sounds_beyond_english_are_taken_by_every_command(
    command: str, sound: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The vowels of the chart as well as its consonants: IPA chart, revised to 2020; [r] is the trill there."""
    out = tmp_path / ("out.mp4" if command == "film" else "out.png")
    argv = [command, sound, *(["ɹ"] if command == "pair" else []), "--size", "320x180", "--out", str(out)]
    if command == "film":
        argv += ["--speed", "2", "--fps", "5"]
    assert cli.main(argv) == 0, capsys.readouterr().err
    assert out.stat().st_size > 0
