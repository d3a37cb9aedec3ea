"""The commands as a user runs them, with the real drawing behind: small sizes, an empty folder each.

File signatures: PNG (W3C PNG, third edition, 5.2), PDF (ISO 32000-1, 7.5.2), GIF89a specification, 17, and
ISO/IEC 14496-12, 4.3 (the box "ftyp"); from memory. Films are decoded with OpenCV, whose FFmpeg is not the
one that wrote them.
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]

SMALL_FILM = ("--size", "320x180", "--fps", "25", "--speed", "1")


def fine(done: subprocess.CompletedProcess[str]) -> str:
    """Standard output of a command that ended well and said nothing on standard error."""
    assert done.stderr == ""
    assert done.returncode == 0
    return done.stdout


def one_error(done: subprocess.CompletedProcess[str], status: int) -> str:
    """The one line of a command that failed."""
    assert done.returncode == status, done.stderr
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1, done.stderr
    return done.stderr


def kind(file: Path) -> str:
    """What a file is by its first bytes."""
    start = file.read_bytes()[:16]
    if start.startswith(b"\x89PNG\r\n\x1a\n"):
        return ".png"
    if start.startswith(b"%PDF-"):
        return ".pdf"
    if start.startswith(b"GIF89a"):
        return ".gif"
    if start[4:8] == b"ftyp":
        return ".mp4"
    return ".svg" if ET.parse(file).getroot().tag.endswith("}svg") else "unknown"


@pytest.mark.parametrize("ending", [".png", ".svg", ".pdf"])
@pytest.mark.parametrize(
    "argv",
    [("still", "ʃ", "--labels", "technical"), ("strip", "desk"), ("pair", "t", "d")],
    ids=lambda a: a[0],
)
def test_picture_is_what_its_ending_says(
    argv: tuple[str, ...], ending: str, vocaltract: Run, tmp_path: Path
) -> None:
    out = f"picture{ending}"
    first, _, told = fine(vocaltract(*argv, "--out", out)).partition("\n")
    assert first == f"wrote {out}"
    assert (told != "") == (argv[0] != "strip")  # which sound was taken; a pair's statement
    assert [file.name for file in tmp_path.iterdir()] == [out]
    assert kind(tmp_path / out) == ending


def test_picture_has_the_size_asked_for(vocaltract: Run, tmp_path: Path) -> None:
    from PIL import Image

    for argv, name in ((("still", "m"), "still-m.png"), (("pair", "l", "r"), "pair-l-r.png")):
        fine(vocaltract(*argv, "--size", "800x600"))
        with Image.open(tmp_path / name) as picture:
            assert picture.size == (800, 600)


@pytest.mark.parametrize("ending", [".mp4", ".gif"])
def test_film_decodes_to_what_is_reported(ending: str, vocaltract: Run, tmp_path: Path) -> None:
    out = f"film{ending}"
    report = json.loads(fine(vocaltract("film", "key", *SMALL_FILM, "--out", out, "--json")))
    assert kind(tmp_path / out) == ending
    import cv2

    film = cv2.VideoCapture(str(tmp_path / out))
    count = 0
    while True:
        more, picture = film.read()
        if not more:
            break
        assert picture.shape == (180, 320, 3)
        count += 1
    film.release()
    assert count == report["frames"]
    assert abs(count / 25 - report["speech_s"]) <= 0.1


def test_words_need_no_quotes(vocaltract: Run, tmp_path: Path) -> None:
    fine(vocaltract("strip", "hot", "tub", "--size", "640x248"))
    assert (tmp_path / "strip-hot-tub.png").exists()


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (("film", "xqtzz"), "xqtzz"),
        (("film", ""), "empty"),
        (("film", "?!"), "?!"),
        (("strip", "dеsk"), "mixed alphabets"),  # the e is not Latin
        (("strip", "[b@k]"), "@"),
        (("film", "[bæk"), "no matching ']'"),
        (("strip", "room 24/7"), "'24/7' at position 6"),
    ],
)
def test_text_that_cannot_be_read(argv: tuple[str, ...], said: str, vocaltract: Run, tmp_path: Path) -> None:
    assert said in one_error(vocaltract(*argv), 2)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("towwel", "'towwel': guessed pronunciation, please check (nearest word of the dictionary: towel)"),
        ("room 7", "'7' is read as 'seven'"),
    ],
)
def test_what_was_guessed_or_read_as_words_is_said(text: str, note: str, vocaltract: Run, tmp_path: Path) -> None:
    assert note in fine(vocaltract("strip", text, "--size", "640x248", "--out", "strip.png")).splitlines()
    assert kind(tmp_path / "strip.png") == ".png"


def test_what_exists_is_replaced_only_when_told(vocaltract: Run, tmp_path: Path) -> None:
    mine = tmp_path / "still-t.png"
    mine.write_text("mine", encoding="utf-8")
    assert "still-t.png exists; give --force" in one_error(vocaltract("still", "t"), 2)
    assert mine.read_text(encoding="utf-8") == "mine"
    fine(vocaltract("still", "t", "--force", "--size", "400x300"))
    assert kind(mine) == ".png"


def test_existing_folder_is_left_alone(vocaltract: Run, tmp_path: Path) -> None:
    (tmp_path / "front-desk").mkdir()
    (tmp_path / "front-desk" / "notes.txt").write_text("mine", encoding="utf-8")
    said = one_error(vocaltract("lesson", "t", "d", "--out", "front-desk"), 2)
    assert "front-desk is not empty; give --force" in said
    assert [file.name for file in (tmp_path / "front-desk").iterdir()] == ["notes.txt"]
    assert [file.name for file in tmp_path.iterdir()] == ["front-desk"]


@pytest.mark.parametrize("argv", [("still", "t"), ("film", "key"), ("pair", "t", "d")], ids=lambda a: a[0])
@pytest.mark.skipif(
    not Path("/proc/self").is_dir(), reason="needs a folder that refuses files from everybody"
)
def test_folder_that_refuses_files(argv: tuple[str, ...], vocaltract: Run) -> None:
    """/proc takes no files, not even from root, so that no file mode is relied on."""
    ending = ".mp4" if argv[0] == "film" else ".png"
    assert "refuses files" in one_error(vocaltract(*argv, "--out", f"/proc/it{ending}"), 2)


def test_lesson_folder_that_refuses_files(vocaltract: Run, tmp_path: Path) -> None:
    """A file stands where the folder above should be: no rights help against that."""
    (tmp_path / "taken").write_text("", encoding="utf-8")
    one_error(vocaltract("lesson", "t", "d", "--out", "taken/lesson"), 2)
    assert [file.name for file in tmp_path.iterdir()] == ["taken"]


@pytest.mark.skipif(sys.platform == "win32", reason="interrupts are sent otherwise there")
@pytest.mark.parametrize(
    "argv",
    [
        ("film", "elevator reservation", "--speed", "0.05", "--fps", "60", "--progress"),
        ("lesson", "t", "d", "--progress"),
    ],
    ids=lambda a: a[0],
)
def test_an_interrupt_leaves_nothing(argv: tuple[str, ...], root: Path, tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(root)}
    running = subprocess.Popen(
        [sys.executable, "-m", "renders", *argv],
        cwd=tmp_path,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )
    end = time.monotonic() + 60
    while not list(tmp_path.iterdir()) and running.poll() is None and time.monotonic() < end:
        time.sleep(0.02)
    assert list(tmp_path.iterdir()), "nothing was begun"
    running.send_signal(signal.SIGINT)
    out, err = running.communicate(timeout=60)
    assert running.returncode == 130, err
    assert out == b""
    assert (
        err.decode()
        .replace("\r", "\n")
        .rstrip()
        .endswith("vocaltract: interrupted; nothing was left half-written")
    )
    assert list(tmp_path.iterdir()) == []
