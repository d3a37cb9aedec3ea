"""Files that a user names: what is none is refused at once, and nothing is read without end."""

from __future__ import annotations

import errno
import os
import socket
import sys
from pathlib import Path

import pytest

from articulators.errors import BadInput, SurroundingsError
from articulators.given_file import LARGEST_BYTES, text_given
from articulators.head import load_head

posix = pytest.mark.skipif(sys.platform == "win32", reason="pipes and devices are no files there")


def test_a_file_is_read_without_its_byte_order_mark(tmp_path: Path) -> None:
    file = tmp_path / "lobby.toml"
    file.write_bytes(b"\xef\xbb\xbfink = 1\r\n")
    assert text_given(file, "style file") == "ink = 1\r\n"


@posix
def test_a_pipe_a_socket_and_a_device_are_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "pipe")
    with socket.socket(socket.AF_UNIX) as heard:
        heard.bind(str(tmp_path / "socket"))
        for given in (tmp_path / "pipe", tmp_path / "link", tmp_path / "socket", "/dev/zero", "/dev/null", "/dev/tty"):
            with pytest.raises(BadInput, match="is a pipe, a socket or a device; a file is needed"):
                text_given(given, "table")


@posix
def test_a_pipe_that_takes_the_place_of_a_file_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file, pipe = tmp_path / "file", tmp_path / "pipe"
    file.write_text("ink = 1", encoding="utf-8")
    os.mkfifo(pipe)
    found, real = os.stat(file), os.stat
    monkeypatch.setattr(os, "stat", lambda path, **how: found if path == pipe else real(path, **how))
    with pytest.raises(BadInput, match="is a pipe"):
        text_given(pipe, "table")


def test_a_file_of_the_largest_size_is_read_and_no_larger_one(tmp_path: Path) -> None:
    file = tmp_path / "large"
    file.write_bytes(b"#" * LARGEST_BYTES)
    assert len(text_given(file, "table")) == LARGEST_BYTES
    file.write_bytes(b"#" * (LARGEST_BYTES + 1))
    with pytest.raises(BadInput, match=f"is larger than {LARGEST_BYTES} bytes"):
        text_given(file, "table")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("loby.csv", r"^table .*loby\.csv: no such file \(nearest: .*lobby\.csv\)$"),
        ("lobby.csv/x", "no such file"),
        ("", "is a folder; a file is needed"),
        ("a\0b", "no name of a file holds a NUL"),
    ],
)
def test_what_is_no_file(name: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "lobby.csv").write_text("length_cm", encoding="utf-8")
    with pytest.raises(BadInput, match=said):
        text_given(f"{tmp_path}/{name}", "table")


def test_a_name_too_long_is_bad_input_and_a_broken_disk_is_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(BadInput, match=r"^table cannot be read: File name too long: .*x…$"):
        text_given(tmp_path / ("x" * 5000), "table")

    def broken(path: Path, what: str) -> bytes:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr("articulators.given_file._bytes_of", broken)
    with pytest.raises(SurroundingsError, match=r"^table cannot be read: Input/output error: lobby\.csv$"):
        text_given("lobby.csv", "table")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("x = " + "[" * 1500 + "]" * 1500, "lists within lists without end"),
        ("x = " + "9" * 5000, "a number has more digits than can be read"),
    ],
)
def test_a_head_file_without_end_is_refused(text: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "head.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=rf"head\.toml: not TOML: {said}"):
        load_head(tmp_path / "head.toml")
