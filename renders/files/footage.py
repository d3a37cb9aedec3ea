"""Films, footage and folders of PNG frames read back, one frame at a time."""

from __future__ import annotations

import itertools
import math
import os
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from articulators.errors import BadInput

Colours = NDArray[np.uint8]
"""(height, width, 3): red, green, blue from 0 to 255."""


def read_frames(path: str | os.PathLike[str]) -> Iterator[Colours]:
    """Frames (height, width, 3) uint8 of a film, of footage (MP4, WebM, MOV, GIF, WebP ...) or a folder of PNG frames.

    They come one at a time, in order, all of one size, so that memory does not grow with length; opacity is left out.
    Footage that a telephone has marked as turned comes upright. BadInput where there is no such file or folder, where
    it cannot be read as a film, and where frames of a folder differ in size.
    """
    source = Path(path)
    given = os.fspath(path)
    if source.is_dir():
        return _of_folder(source, given)
    if not source.is_file():
        raise BadInput(f"there is no film {given}; give a film file or a folder of PNG frames")
    return _of_film(source, given)


def _of_folder(folder: Path, given: str) -> Iterator[Colours]:
    files = sorted(file for file in folder.iterdir() if file.suffix.lower() == ".png")
    if not files:
        raise BadInput(f"the folder {given} holds no PNG frames")

    def frames() -> Iterator[Colours]:
        import imageio.v3 as iio

        size: tuple[int, ...] | None = None
        for file in files:
            try:
                frame = iio.imread(file, plugin="pillow", mode="RGB")
            except (OSError, SyntaxError):
                raise BadInput(f"{file} cannot be read as a picture") from None
            if size is not None and frame.shape != size:
                high, wide = frame.shape[:2]
                raise BadInput(f"{file} has {wide}x{high} px; the frames before it have {size[1]}x{size[0]}")
            size = frame.shape
            yield frame

    return frames()


def _of_film(file: Path, given: str) -> Iterator[Colours]:
    import av
    import imageio.v3 as iio

    # the video library does not decode animated WebP
    still = file.suffix.lower() == ".webp"
    settings: dict[str, Any] = {"plugin": "pillow", "mode": "RGB"} if still else {"plugin": "pyav", "format": "rgb24"}

    def frames() -> Iterator[Colours]:
        turns = 0 if still else _quarter_turns(iio.immeta(file, plugin="pyav", index=0))
        for frame in iio.imiter(file, **settings):
            yield np.ascontiguousarray(np.rot90(frame, turns)) if turns else frame

    coming = frames()
    try:
        first = next(coming)
    except (OSError, ValueError, IndexError, StopIteration, av.error.FFmpegError):
        raise BadInput(f"{given} cannot be read as a film") from None
    return itertools.chain([first], coming)


def _quarter_turns(about: dict[str, Any]) -> int:
    """Turns by 90 degrees against the clock that bring a picture upright; others than quarters are left out.

    The matrix is that of a track header (ISO/IEC 14496-12, 8.3.2): its first row says where the x axis goes.
    """
    matrix = about.get("DISPLAYMATRIX")
    if matrix is None:
        return 0
    x, y = struct.unpack("=2i", matrix[:8])
    return -round(math.degrees(math.atan2(y, x)) / 90) % 4
