"""Films read back by OpenCV (with a libavcodec build of its own), Pillow, and readers written here."""

from __future__ import annotations

import struct
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from articulators.errors import BadInput, SurroundingsError
from renders.files import encode, formats, stream

SIZE = (160, 90)


def frames(count: int, size: tuple[int, int] = SIZE) -> Iterator[np.ndarray]:
    """A bar that moves over a pale ground, so that no two frames are alike."""
    for index in range(count):
        frame = np.full((size[1], size[0], 4), (244, 246, 247, 255), dtype=np.uint8)
        at = (index * 3) % (size[0] - 12)
        frame[10:-10, at : at + 12] = (188, 134, 172, 255)
        yield frame


def solid(colour: tuple[int, int, int], count: int = 3) -> Iterator[np.ndarray]:
    for _ in range(count):
        yield np.full((SIZE[1], SIZE[0], 4), (*colour, 255), dtype=np.uint8)


def write(
    path: Path, made: Iterable[np.ndarray], *, size: tuple[int, int] = SIZE, fps: float = 30,
    transparent: bool = False, **more: Any,
) -> encode.FilmFile:  # fmt: skip
    return encode.encode(made, path, formats.encoding(path.name, size, fps, transparent), **more)


def read_mp4(path: Path) -> tuple[list[np.ndarray], float]:
    cv2 = pytest.importorskip("cv2")
    film = cv2.VideoCapture(str(path))
    rate, found = film.get(cv2.CAP_PROP_FPS), []
    while True:
        ok, picture = film.read()
        if not ok:
            return found, rate
        found.append(picture[..., ::-1])


def boxes(data: bytes, inside: tuple[bytes, ...] = ()) -> list[tuple[bytes, int, bytes]]:
    """Boxes of an ISO base media file (ISO/IEC 14496-12): type, offset, body; those in ``inside`` opened."""
    found, at = [], 0
    while at + 8 <= len(data):
        size, kind = struct.unpack(">I4s", data[at : at + 8])
        size = size or len(data) - at
        body = data[at + 8 : at + size]
        found.append((kind, at, body))
        if kind in inside:
            found += boxes(body, inside)
        at += size
    return found


def stored_delays_cs(data: bytes) -> list[int]:
    """Delay fields of a GIF's graphic control extensions (GIF89a specification, section 23)."""
    delays, at = [], 0
    while (at := data.find(b"\x21\xf9\x04", at)) >= 0:
        if data[at + 7] == 0:
            delays.append(struct.unpack("<H", data[at + 4 : at + 6])[0])
        at += 1
    return delays


@pytest.mark.parametrize(("count", "fps"), [(1, 30), (31, 30), (60, 25), (40, 60)])
def test_mp4_has_every_frame_at_its_rate(tmp_path: Path, count: int, fps: int) -> None:
    report = write(tmp_path / "a.mp4", frames(count), fps=fps)
    seen, rate = read_mp4(tmp_path / "a.mp4")
    assert len(seen) == report.frames == count
    assert rate == pytest.approx(fps, rel=1e-6)
    assert report.seconds == pytest.approx(count / fps)
    assert report.bytes == (tmp_path / "a.mp4").stat().st_size
    errors = [np.abs(a.astype(int) - b[..., :3]).mean() for a, b in zip(seen, frames(count), strict=True)]
    assert max(errors) < 6.0
    if count > 10:
        shifted = list(frames(count + 5))[5:]
        assert np.abs(seen[0].astype(int) - shifted[0][..., :3]).mean() > 6.0, (
            "the comparer must be able to fail"
        )


@pytest.mark.parametrize("size", [(66, 64), (130, 98), (1280, 720)])
def test_mp4_of_other_sizes(tmp_path: Path, size: tuple[int, int]) -> None:
    write(tmp_path / "a.mp4", frames(3, size), size=size)
    seen, _ = read_mp4(tmp_path / "a.mp4")
    assert [picture.shape for picture in seen] == [(size[1], size[0], 3)] * 3


COLOURS = [(0, 103, 154), (184, 70, 0), (246, 211, 43), (188, 134, 172), (255, 255, 255), (0, 0, 0)]


def shown(path: Path, colour: tuple[int, int, int]) -> np.ndarray:
    write(path, solid(colour), fps=30, force=True)
    return read_mp4(path)[0][1][45, 80].astype(int)


@pytest.mark.parametrize("colour", COLOURS)
def test_mp4_colours_come_back_as_drawn(tmp_path: Path, colour: tuple[int, int, int]) -> None:
    """A decoder that honours the BT.709 limited-range tags returns the colour drawn."""
    np.testing.assert_allclose(shown(tmp_path / "a.mp4", colour), colour, atol=4)


def test_colour_check_can_fail(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Converted by BT.601 but tagged BT.709: some colour must come back wrong."""
    real = stream.Stream.__init__

    def wrong(self, *args) -> None:
        real(self, *args)
        self._colours["dst_colorspace"] = 5

    monkeypatch.setattr(stream.Stream, "__init__", wrong)
    errors = [np.abs(shown(tmp_path / "a.mp4", colour) - colour).max() for colour in COLOURS]
    assert max(errors) > 8


def test_mp4_structure(tmp_path: Path) -> None:
    """Index before data, no date, High profile, colour tags 1-1-1 limited range, keyframes."""
    write(tmp_path / "a.mp4", frames(40), fps=30)
    data = (tmp_path / "a.mp4").read_bytes()
    opened = boxes(data, (b"moov", b"trak", b"mdia", b"minf", b"stbl"))
    kinds = [kind for kind, _, _ in boxes(data)]
    assert kinds.index(b"moov") < kinds.index(b"mdat")
    header = next(body for kind, _, body in opened if kind == b"mvhd")
    assert struct.unpack(">II", header[4:12]) == (0, 0)
    table = next(body for kind, _, body in opened if kind == b"stsd")
    assert table[12:16] == b"avc1"
    inner = {kind: body for kind, _, body in boxes(table[8 + 8 + 78 :])}
    assert inner[b"avcC"][1] == 100
    assert inner[b"colr"] == b"nclx" + struct.pack(">HHHB", 1, 1, 1, 0)
    keys = next(body for kind, _, body in opened if kind == b"stss")
    count = struct.unpack(">I", keys[4:8])[0]
    numbers = struct.unpack(f">{count}I", keys[8 : 8 + 4 * count])
    assert max(b - a for a, b in zip(numbers, (*numbers[1:], 41), strict=True)) <= 30


@pytest.mark.parametrize(("count", "fps"), [(1, 25), (31, 25), (50, 50), (7, 50), (7, 10), (3, 5), (9, 20)])
def test_gif_delays_frames_and_loop(tmp_path: Path, count: int, fps: int) -> None:
    report = write(tmp_path / "a.gif", frames(count), fps=fps)
    data = (tmp_path / "a.gif").read_bytes()
    assert stored_delays_cs(data) == [100 // fps] * count
    assert report.frames == count and report.seconds == pytest.approx(count / fps)
    if count > 1:
        assert b"NETSCAPE2.0\x03\x01\x00\x00\x00" in data
    originals = list(frames(count))
    with Image.open(tmp_path / "a.gif") as film:
        assert film.size == SIZE
        assert film.n_frames == count
        for index in range(0, count, max(1, count // 5)):
            film.seek(index)
            seen = np.asarray(film.convert("RGB")).astype(int)
            assert np.abs(seen - originals[index][..., :3]).mean() < 1.0


def test_gif_of_still_frames_keeps_its_length(tmp_path: Path) -> None:
    write(tmp_path / "a.gif", solid((10, 20, 30), 25), fps=25)
    assert sum(stored_delays_cs((tmp_path / "a.gif").read_bytes())) == 100


@pytest.mark.parametrize("ending", [".mp4", ".gif", ".webm", ".webp", ".mov"])
@pytest.mark.parametrize("error", [KeyboardInterrupt, RuntimeError("drawing failed")])
def test_a_broken_film_leaves_the_old_file_and_nothing_else(tmp_path: Path, ending: str, error) -> None:
    target = tmp_path / f"a{ending}"
    target.write_bytes(b"old")

    def broken() -> Iterator[np.ndarray]:
        yield from frames(20)
        raise error

    with pytest.raises((KeyboardInterrupt, RuntimeError)):
        write(target, broken(), fps=25)
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]
    assert not [thread for thread in threading.enumerate() if thread.name == "encoder"]


def test_a_failing_encoder_stops_the_drawing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import av

    def full_disk(self, frame) -> None:
        raise av.error.OSError(28, "No space left on device")

    monkeypatch.setattr(stream.Stream, "write", full_disk)
    drawn: list[int] = []
    with pytest.raises(SurroundingsError, match="No space left"):
        write(tmp_path / "a.mp4", frames(500), fps=30, progress=drawn.append)
    assert len(drawn) < 50
    assert list(tmp_path.iterdir()) == []


def test_frames_are_drawn_while_encoding_and_not_hoarded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    added: list[int] = []
    ahead: list[int] = []
    real = stream.Stream.write

    def counting(self, frame) -> None:
        real(self, frame)
        added.append(1)

    monkeypatch.setattr(stream.Stream, "write", counting)

    def watched() -> Iterator[np.ndarray]:
        for index, frame in enumerate(frames(80)):
            ahead.append(index - len(added))
            yield frame

    write(tmp_path / "a.mp4", watched(), fps=30)
    assert len(added) == 80
    assert max(ahead) <= encode._QUEUE_LENGTH + 2


def test_progress_counts_to_the_end(tmp_path: Path) -> None:
    seen: list[int] = []
    write(tmp_path / "a.mp4", frames(12), fps=30, progress=seen.append)
    assert seen == list(range(1, 13))


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"size": (161, 90)}, r"width 161 px is odd; it must be even \(nearest: 162\)"),
        ({"size": (160, 62)}, r"height 62 px is out of range; allowed: 64 to 3840"),
        ({"size": (4000, 90)}, r"width 4000 px is out of range"),
        ({"fps": 4}, r"frame rate 4 is out of range; allowed: 5 to 60"),
        ({"fps": 61}, r"frame rate 61 is out of range"),
        ({"fps": float("nan")}, r"frame rate nan is out of range"),
        ({"path": "a.avi"}, r"output ending of 'a.avi' is .avi; allowed: .mp4, .gif, .webm, .mov, .webp, .png"),
        ({"path": "a.gif"}, r"a GIF film .* cannot keep 30 frames a second; allowed: 5, 6.25, 10, 12.5, 20, 25 or 50"),
        ({"transparent": True}, r"a MP4 \(H.264\) film cannot be transparent; allowed: .webm, .mov, .webp, .png"),
        ({"path": "a"}, r"ending of 'a' is none"),
        ({"made": ()}, r"one frame at least"),
    ],
)
def test_bad_input(tmp_path: Path, more: dict, message: str) -> None:
    given = {"path": "a.mp4", "made": frames(2)} | more
    given["path"] = tmp_path / given["path"]
    with pytest.raises(BadInput, match=message):
        write(**given)
    assert list(tmp_path.iterdir()) == []


def test_frames_of_another_size_are_a_programming_error(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"frame 0 is uint8 \(64, 64, 4\)"):
        write(tmp_path / "a.mp4", frames(2, (64, 64)), fps=30)


def test_a_folder_of_frames(tmp_path: Path) -> None:
    report = write(tmp_path / "frames.png", frames(3), fps=30)
    assert report.path == tmp_path / "frames-png"
    assert report.frames == 3 and report.seconds == pytest.approx(0.1)
    names = sorted(p.name for p in report.path.iterdir())
    assert names == ["frame-0001.png", "frame-0002.png", "frame-0003.png"]
    with Image.open(report.path / names[2]) as image:
        np.testing.assert_array_equal(np.asarray(image), list(frames(3))[2][..., :3])
    with pytest.raises(BadInput, match="not empty"):
        write(tmp_path / "frames.png", frames(3), fps=30)
    assert write(tmp_path / "frames.png", frames(3), fps=30, force=True).frames == 3


def test_an_interrupted_folder_is_not_there(tmp_path: Path) -> None:
    def broken() -> Iterator[np.ndarray]:
        yield from frames(5)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write(tmp_path / "a.png", broken(), fps=30)
    assert list(tmp_path.iterdir()) == []


def test_frames_that_are_used_again_are_written_before(tmp_path: Path) -> None:
    """As many arrays in turn as may be under way: the film is that of arrays of its own."""
    turns = encode.buffers(SIZE, encode.IN_FLIGHT)

    def reused() -> Iterator[np.ndarray]:
        for frame in frames(40):
            into = next(turns)
            into[:] = frame
            yield into

    write(tmp_path / "a.mp4", reused(), fps=30)
    write(tmp_path / "b.mp4", frames(40), fps=30)
    assert (tmp_path / "a.mp4").read_bytes() == (tmp_path / "b.mp4").read_bytes()
