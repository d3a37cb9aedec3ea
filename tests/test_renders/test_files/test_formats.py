"""Every film format read back by programs that did not write it: Pillow, OpenCV, FFmpeg's own command, Chromium.

OpenCV's wheel and the command of imageio-ffmpeg carry builds of their own; they share no file with what writes films.
"""

from __future__ import annotations

import base64
import errno
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from articulators.errors import BadInput, SurroundingsError
from renders.files import encode, formats, png_frames

SIZE = (192, 108)
PALE, PLUM, BLUE = (244, 246, 247), (188, 134, 172), (0, 103, 154)
FLAT = {"ground": (10, 60, PALE), "bar": (54, 90, PLUM), "block": (80, 20, BLUE)}  # row, column, colour


def frames(count: int, transparent: bool = False) -> Iterator[np.ndarray]:
    """Flat areas that stay, a stripe that moves over them."""
    for index in range(count):
        frame = np.empty((SIZE[1], SIZE[0], 4), dtype=np.uint8)
        frame[:] = (*PALE, 0 if transparent else 255)
        frame[40:68, 72:112] = (*PLUM, 255)
        frame[70:96, 6:40] = (*BLUE, 128 if transparent else 255)
        frame[2:8, 4 * index : 4 * index + 8] = (20, 20, 20, 255)
        yield frame


def write(
    path: Path, made: Iterable[np.ndarray], *, fps: float = 30, transparent: bool = False, **more: Any
) -> encode.FilmFile:
    return encode.encode(made, path, formats.encoding(path.name, SIZE, fps, transparent), **more)


@pytest.fixture(scope="module")
def ffmpeg() -> str:
    found = pytest.importorskip("imageio_ffmpeg", reason="imageio-ffmpeg brings the program that reads films back")
    return found.get_ffmpeg_exe()


def decoded(ffmpeg: str, path: Path, pixels: str = "rgba", codec: str = "") -> np.ndarray:
    """All frames (n, height, width, 4) of a film as the command decodes them."""
    by = ["-c:v", codec] if codec else []
    to = ["-fps_mode", "passthrough", "-f", "rawvideo", "-pix_fmt", pixels, "-"]
    done = subprocess.run([ffmpeg, "-v", "error", *by, "-i", str(path), *to], capture_output=True, check=True)
    return np.frombuffer(done.stdout, dtype=np.uint8).reshape(-1, SIZE[1], SIZE[0], len(pixels))


def about(ffmpeg: str, path: Path) -> str:
    """What the command says of a file."""
    done = subprocess.run([ffmpeg, "-hide_banner", "-i", str(path)], capture_output=True, text=True)
    return next(line.strip() for line in done.stderr.splitlines() if "Video:" in line)


def times_ms(ffmpeg: str, path: Path) -> list[float]:
    """When each packet of a film is shown."""
    command = [ffmpeg, "-v", "error", "-i", str(path), "-map", "0:v:0", "-c", "copy", "-f", "framecrc", "-"]
    lines = subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()
    unit = next(line for line in lines if line.startswith("#tb 0")).split(":")[1].strip().split("/")
    shown = [int(line.split(",")[2]) for line in lines if not line.startswith("#")]
    return sorted(1000 * value * int(unit[0]) / int(unit[1]) for value in shown)


def colours_of(frame: np.ndarray) -> dict[str, np.ndarray]:
    return {name: frame[row, column, :3].astype(int) for name, (row, column, _) in FLAT.items()}


# 4444 is decoded to 12 bits whatever it was encoded from
CODECS = [(".mp4", "h264", "yuv420p"), (".webm", "vp9", "yuv420p"), (".mov", "prores (4444)", "yuv444p12le")]


@pytest.mark.parametrize(("ending", "codec", "pixels"), CODECS)
@pytest.mark.parametrize("fps", [24, 25, 30, 50, 60])
def test_films_as_another_decoder_sees_them(
    ffmpeg: str, tmp_path: Path, ending: str, codec: str, pixels: str, fps: int
) -> None:
    path = tmp_path / f"a{ending}"
    report = write(path, frames(13), fps=fps)
    told = about(ffmpeg, path)
    assert codec in told and pixels in told and f"{SIZE[0]}x{SIZE[1]}" in told and f"{fps} fps" in told
    seen = decoded(ffmpeg, path)
    assert len(seen) == report.frames == 13
    np.testing.assert_allclose(times_ms(ffmpeg, path), [1000 * i / fps for i in range(13)], atol=0.5001)
    for name, colour in colours_of(seen[6]).items():
        np.testing.assert_allclose(colour, FLAT[name][2], atol=3, err_msg=name)


@pytest.mark.parametrize(("ending", "codec", "pixels"), CODECS[:2])
def test_films_as_opencv_sees_them(tmp_path: Path, ending: str, codec: str, pixels: str) -> None:
    cv2 = pytest.importorskip("cv2")
    path = tmp_path / f"a{ending}"
    write(path, frames(12), fps=25)
    film = cv2.VideoCapture(str(path))
    assert film.get(cv2.CAP_PROP_FPS) == pytest.approx(25)
    seen = []
    while (read := film.read())[0]:
        seen.append(read[1][..., ::-1])
    assert len(seen) == 12
    for name, colour in colours_of(seen[5]).items():
        np.testing.assert_allclose(colour, FLAT[name][2], atol=3, err_msg=name)


@pytest.mark.parametrize(
    ("ending", "codec", "exact"), [(".webm", "libvpx-vp9", 2), (".mov", "", 1)], ids=["webm", "mov"]
)
def test_alpha_comes_back(ffmpeg: str, tmp_path: Path, ending: str, codec: str, exact: int) -> None:
    """Opaque, half and fully see-through; colours where anything is seen."""
    path = tmp_path / f"a{ending}"
    write(path, frames(9, transparent=True), fps=25, transparent=True)
    seen = decoded(ffmpeg, path, codec=codec)
    assert len(seen) == 9
    alpha = seen[4, ..., 3].astype(int)
    assert abs(alpha[54, 90] - 255) <= exact and abs(alpha[80, 20] - 128) <= exact and alpha[30, 150] <= exact
    np.testing.assert_allclose(seen[4, 54, 90, :3].astype(int), PLUM, atol=3)
    np.testing.assert_allclose(seen[4, 80, 20, :3].astype(int), BLUE, atol=3)
    assert ("alpha_mode" in open_text(ffmpeg, path)) == (ending == ".webm")


def open_text(ffmpeg: str, path: Path) -> str:
    return subprocess.run([ffmpeg, "-hide_banner", "-i", str(path)], capture_output=True, text=True).stderr


@pytest.mark.parametrize("transparent", [False, True])
@pytest.mark.parametrize("fps", [24, 30, 60])
def test_webp_as_pillow_sees_it(tmp_path: Path, transparent: bool, fps: int) -> None:
    write(tmp_path / "a.webp", frames(11, transparent), fps=fps, transparent=transparent)
    with Image.open(tmp_path / "a.webp") as film:
        assert film.n_frames == 11 and film.size == SIZE and film.info["loop"] == 0
        ends = []
        for index in range(11):
            film.seek(index)
            picture = np.asarray(film.convert("RGBA"))
            ends.append(film.info["timestamp"] + film.info["duration"])
            if index == 5:
                middle = picture
    exact = [1000 * (i + 1) / fps for i in range(11)]
    np.testing.assert_allclose(ends[:-1], exact[:-1], atol=0.5001)
    assert ends[-1] == pytest.approx(exact[-1], abs=1.0)  # the encoder gives the last picture its neighbour's length
    np.testing.assert_allclose(middle[54, 90, :3].astype(int), PLUM, atol=3)
    assert middle[54, 90, 3] == 255
    assert abs(int(middle[80, 20, 3]) - (128 if transparent else 255)) <= 1
    assert middle[30, 150, 3] == (0 if transparent else 255)


@pytest.mark.parametrize("transparent", [False, True])
def test_png_frames_are_exact(tmp_path: Path, transparent: bool) -> None:
    report = write(tmp_path / "a.png", frames(4, transparent), fps=30, transparent=transparent)
    for path, drawn in zip(sorted(report.path.iterdir()), frames(4, transparent), strict=True):
        with Image.open(path) as image:
            assert image.mode == ("RGBA" if transparent else "RGB")
            np.testing.assert_array_equal(np.asarray(image), drawn if transparent else drawn[..., :3])


@pytest.mark.parametrize("ending", formats.FILM_ENDINGS)
@pytest.mark.parametrize("transparent", [False, True])
def test_same_frames_same_bytes(tmp_path: Path, ending: str, transparent: bool) -> None:
    if transparent and not formats.FORMATS[ending].transparent:
        pytest.skip("this format cannot be transparent")
    kept = []
    for name in ("a", "b"):
        made = write(tmp_path / f"{name}{ending}", frames(30, transparent), fps=25, transparent=transparent)
        paths = sorted(made.path.iterdir()) if made.path.is_dir() else [made.path]
        kept.append([path.read_bytes() for path in paths])
        assert sum(map(len, kept[-1])) == made.bytes
        time.sleep(1.1 if name == "a" else 0)  # a date inside would differ
    assert kept[0] == kept[1]
    assert kept[0] != [b""]


@pytest.mark.parametrize("ending", [".mp4", ".webm", ".gif", ".webp"])
def test_chromium_plays_it(tmp_path: Path, ending: str, browser: Any) -> None:
    """Loaded from a page: size and length as written, and colours of the first picture within 3 levels."""
    write(tmp_path / f"a{ending}", frames(25), fps=25)
    film = ending in (".mp4", ".webm")
    data = base64.b64encode((tmp_path / f"a{ending}").read_bytes()).decode()
    kind = {".mp4": "video/mp4", ".webm": "video/webm", ".gif": "image/gif", ".webp": "image/webp"}[ending]
    tag = "video" if film else "img"
    page_text = f"<{tag} id=film muted src='data:{kind};base64,{data}'></{tag}>"
    ready = """async (film) => {
        const seen = document.getElementById('film');
        if (film) { await new Promise((yes, no) => { seen.onerror = () => no(seen.error.message);
            seen.onloadeddata = yes; if (seen.readyState >= 2) yes(); }); }
        else { await seen.decode(); }
        const draw = document.createElement('canvas');
        const wide = film ? seen.videoWidth : seen.naturalWidth;
        draw.width = wide; draw.height = film ? seen.videoHeight : seen.naturalHeight;
        if (film) { await new Promise(yes => { seen.requestVideoFrameCallback(yes); seen.currentTime = 0.2; }); }
        const pen = draw.getContext('2d'); pen.drawImage(seen, 0, 0);
        const first = Array.from(pen.getImageData(0, 0, draw.width, draw.height).data);
        let played = 0;
        if (film) { await seen.play(); await new Promise(yes => { seen.onended = yes; }); played = seen.currentTime; }
        return {wide, high: draw.height, seconds: film ? seen.duration : 0, played, first};
    }"""
    from playwright.sync_api import Error

    page = browser.new_page()
    try:
        page.set_content(page_text)
        seen = page.evaluate(ready, film)
    except Error as error:
        if ending == ".mp4" and "DEMUXER_ERROR_NO_SUPPORTED_STREAMS" in str(error):
            pytest.skip("this Chromium was built without H.264")
        raise
    finally:
        page.close()
    assert (seen["wide"], seen["high"]) == SIZE
    if film:
        assert seen["seconds"] == pytest.approx(1.0, abs=0.045)
        assert seen["played"] == pytest.approx(1.0, abs=0.045)
    first = np.array(seen["first"], dtype=int).reshape(SIZE[1], SIZE[0], 4)
    for name, colour in colours_of(first).items():
        np.testing.assert_allclose(colour, FLAT[name][2], atol=3, err_msg=name)


@pytest.mark.parametrize("ending", [".mp4", ".gif", ".webm", ".mov", ".webp"])
def test_a_real_full_disk_leaves_nothing(tmp_path: Path, ending: str) -> None:
    """A file system of 256 kB, where the machine lets us mount one."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    asked = [mount or "", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(disk)]
    if mount is None or subprocess.run(asked, capture_output=True).returncode:
        pytest.skip("this machine lets no small disk be mounted")
    try:
        random = np.random.default_rng(1)
        noise = (random.integers(0, 255, (SIZE[1], SIZE[0], 4), dtype=np.uint8) for _ in range(60))
        with pytest.raises(SurroundingsError, match="No space left"):
            write(disk / f"a{ending}", noise, fps=25)
        assert list(disk.iterdir()) == []
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_at_a_png_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self, frame) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(png_frames.PngFrames, "write", full)
    with pytest.raises(SurroundingsError, match="No space left"):
        write(tmp_path / "a.png", frames(3), fps=25)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("ending", [".mp4", ".gif", ".png"])
@pytest.mark.parametrize(("request_", "status"), [("SIGINT", 130), ("SIGTERM", 130)])
def test_a_film_that_is_interrupted_says_one_line(tmp_path: Path, ending: str, request_: str, status: int) -> None:
    """The command is stopped while its hidden file grows; the rest of the folder is as before."""
    command = [sys.executable, "-m", "renders", "film", "complimentary breakfast", "--size", "640x360"]
    root = Path(__file__).resolve().parents[3]
    running = subprocess.Popen(
        [*command, "--out", f"a{ending}", "--speed", "0.05"],
        cwd=tmp_path, env={**os.environ, "PYTHONPATH": str(root)}, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        deadline = time.monotonic() + 60
        while not any(tmp_path.glob(".building-*/new*")) and time.monotonic() < deadline:
            time.sleep(0.05)
        assert any(tmp_path.glob(".building-*/new*")), "the film never began"
        time.sleep(0.4)
        running.send_signal(getattr(signal, request_))
        _, said = running.communicate(timeout=60)
    finally:
        running.kill()
    assert running.returncode == status
    assert said.strip().splitlines() == ["vocaltract: interrupted; nothing was left half-written"]
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("fps", [24, 30, 60])
def test_gif_refuses_rates_it_cannot_keep(fps: int) -> None:
    """Delays are whole centiseconds (GIF89a, graphic control extension): 100 / fps must be whole."""
    assert 100 % fps
    with pytest.raises(BadInput, match=f"cannot keep {fps} frames a second; allowed: 5, 6.25, 10, 12.5, 20, 25 or 50"):
        formats.check_fps(fps, formats.FORMATS[".gif"])


def test_gif_takes_every_rate_in_range_that_is_whole_in_centiseconds() -> None:
    low, high = formats.FPS_RANGE
    hundredths = range(100 * low, 100 * high + 1)
    assert formats.FORMATS[".gif"].fps == tuple(fps / 100 for fps in hundredths if 100 * 100 % fps == 0)


@pytest.mark.parametrize(("fps", "delay_ms"), [(12.5, 80), (6.25, 160)])
def test_gif_keeps_a_rate_with_decimals(fps: float, delay_ms: int, tmp_path: Path) -> None:
    """100 / 12.5 is 8 centiseconds; read back by Pillow."""
    write(tmp_path / "a.gif", frames(3), fps=fps)
    with Image.open(tmp_path / "a.gif") as seen:
        delays = []
        for index in range(seen.n_frames):
            seen.seek(index)
            delays.append(seen.info["duration"])
    assert delays == [delay_ms] * 3


def test_every_format_has_a_usual_rate_and_a_name() -> None:
    for kind in formats.FORMATS.values():
        formats.check_fps(formats.usual_fps(kind), kind)
        assert formats.format_of(f"front desk.{kind.ending[1:].upper()}") is kind
        assert re.fullmatch(r"[A-Za-z0-9 ().]+", kind.what)
