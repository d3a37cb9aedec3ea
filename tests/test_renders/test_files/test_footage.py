"""Films and footage read back: what was drawn comes back, whoever wrote it. Outside: the command of imageio-ffmpeg."""

from __future__ import annotations

import itertools
import subprocess
import weakref
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from articulators.errors import BadInput
from renders.files import encode, formats, gif, png_frames
from renders.files.footage import read_frames
from renders.files.writer import Writer

SIZE = (192, 108)
PALE, PLUM, BLUE = (244, 246, 247), (188, 134, 172), (0, 103, 154)


def frames(count: int) -> Iterator[np.ndarray]:
    """Flat areas, and a stripe that is elsewhere in every frame."""
    for index in range(count):
        frame = np.full((SIZE[1], SIZE[0], 4), (*PALE, 255), dtype=np.uint8)
        frame[40:68, 72:112, :3] = PLUM
        frame[70:96, 6:40, :3] = BLUE
        frame[2:8, 4 * index : 4 * index + 8, :3] = 20
        yield frame


def written(path: Path, count: int = 12) -> Path:
    return encode.encode(frames(count), path, formats.encoding(path.name, SIZE, 25)).path


@pytest.mark.parametrize("ending", formats.FILM_ENDINGS)
def test_every_format_comes_back(tmp_path: Path, ending: str) -> None:
    seen = list(read_frames(written(tmp_path / f"a{ending}")))
    assert len(seen) == 12
    for index, frame in enumerate(seen):
        assert frame.shape == (SIZE[1], SIZE[0], 3) and frame.dtype == np.uint8
        for (row, column), colour in {(10, 180): PALE, (54, 90): PLUM, (80, 20): BLUE}.items():
            np.testing.assert_allclose(frame[row, column].astype(int), colour, atol=4)
        dark = np.flatnonzero(frame[5].astype(int).max(axis=1) < 90)
        assert abs(dark.min() - 4 * index) <= 1 and abs(dark.max() - 4 * index - 7) <= 1, "in order, none twice"


def test_a_folder_of_frames_comes_back_exactly(tmp_path: Path) -> None:
    folder = written(tmp_path / "a.png", 4)
    for seen, drawn in zip(read_frames(folder), frames(4), strict=True):
        np.testing.assert_array_equal(seen, drawn[..., :3])


@pytest.mark.parametrize("transparent", [False, True])
def test_png_frames_have_the_bytes_that_pillow_gives(tmp_path: Path, transparent: bool) -> None:
    given = list(frames(2))
    given[1][:20, :, 3] = 99
    to = formats.encoding("a.png", SIZE, 25, transparent)
    folder = encode.encode(iter(given), tmp_path / "a.png", to).path
    for file, drawn in zip(sorted(folder.iterdir()), given, strict=True):
        image = Image.fromarray(drawn if transparent else drawn[..., :3])
        image.save(tmp_path / "pillow.png", compress_level=png_frames.COMPRESSION)
        assert file.read_bytes() == (tmp_path / "pillow.png").read_bytes()
        image.save(tmp_path / "other.png", compress_level=9)
        assert file.read_bytes() != (tmp_path / "other.png").read_bytes()


@pytest.mark.parametrize("angle", [90, 180, 270])
def test_footage_marked_as_turned_comes_upright(tmp_path: Path, angle: int) -> None:
    """As the command of another build shows it; a telephone held upright marks its films so."""
    ffmpeg = pytest.importorskip("imageio_ffmpeg").get_ffmpeg_exe()
    turned = tmp_path / "turned.mp4"
    command = [ffmpeg, "-v", "error", "-display_rotation", str(angle), "-i", str(written(tmp_path / "a.mp4"))]
    subprocess.run([*command, "-c", "copy", str(turned)], check=True)
    raw = ["-f", "rawvideo", "-pix_fmt", "rgb24", "-"]
    done = subprocess.run([ffmpeg, "-v", "error", "-i", str(turned), *raw], capture_output=True, check=True)
    first = next(read_frames(turned))
    assert first.shape == ((SIZE[1], SIZE[0], 3) if angle == 180 else (SIZE[0], SIZE[1], 3))
    theirs = np.frombuffer(done.stdout, dtype=np.uint8)[: first.size].reshape(first.shape)
    assert np.abs(first.astype(int) - theirs).mean() < 3
    assert np.abs(first.astype(int) - theirs[::-1, ::-1]).mean() > 3


def most_alive(frames: Iterable[np.ndarray]) -> int:
    """How many frames are held at once, at most, by who gives them."""
    seen: list[weakref.ref[np.ndarray]] = []
    most = 0
    for frame in frames:
        seen.append(weakref.ref(frame))
        most = max(most, sum(one() is not None for one in seen))
    return most


@pytest.mark.parametrize("ending", [".mp4", ".gif", ".webp", ".png"])
def test_memory_does_not_grow_with_length(tmp_path: Path, ending: str) -> None:
    path = written(tmp_path / f"a{ending}", 40)
    assert most_alive(read_frames(path)) <= 3
    assert most_alive(list(read_frames(path))) == 40, "the count must be able to fail"


def test_what_is_no_film_is_refused(tmp_path: Path) -> None:
    (tmp_path / "words.mp4").write_text("no film", encoding="utf-8")
    (tmp_path / "words.webp").write_text("no film", encoding="utf-8")
    (tmp_path / "empty").mkdir()
    mixed = written(tmp_path / "mixed.png", 2)
    Image.new("RGB", (20, 10)).save(mixed / "frame-0003.png")
    (mixed / "frame-0004.png").write_bytes(b"no picture")
    for path, said in (
        ("none.mp4", "there is no film .*none.mp4; give a film file or a folder of PNG frames"),
        ("words.mp4", "words.mp4 cannot be read as a film"),
        ("words.webp", "words.webp cannot be read as a film"),
        ("empty", "empty holds no PNG frames"),
    ):
        with pytest.raises(BadInput, match=said):
            read_frames(tmp_path / path)
    coming = read_frames(mixed)
    assert len(list(itertools.islice(coming, 2))) == 2
    with pytest.raises(BadInput, match=r"frame-0003.png has 20x10 px; the frames before it have 192x108"):
        next(coming)
    (mixed / "frame-0003.png").unlink()
    with pytest.raises(BadInput, match=r"frame-0004.png cannot be read as a picture"):
        list(read_frames(mixed))


def test_every_writer_lets_go_at_any_time(tmp_path: Path) -> None:
    to = formats.encoding("a.gif", SIZE)
    writers: list[Writer] = [gif.Gif(tmp_path / "a.gif", to), png_frames.PngFrames(tmp_path, to)]
    for writer in writers:
        writer.write(next(frames(1)))
        writer.abort()
        writer.abort()
    assert not list(tmp_path.glob("*.spool"))
