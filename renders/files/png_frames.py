"""A folder of PNG frames, each exactly as drawn."""

from __future__ import annotations

from pathlib import Path

from renders.files.formats import Encoding
from renders.files.writer import Frame

NAME = "frame-{number:04d}.png"
COMPRESSION = 4  # of zlib, 0 to 9: a third faster than the usual 6, files about a tenth larger


class PngFrames:
    """frame-0001.png and so on in a folder that exists."""

    def __init__(self, folder: Path, encoding: Encoding) -> None:
        self._folder, self._fps, self._transparent = folder, encoding.fps, encoding.transparent
        self._count = 0

    def write(self, frame: Frame) -> None:
        """Writes a frame (height, width, 4); without opacity unless the film is transparent."""
        import imageio.v3 as iio

        self._count += 1
        pixels = frame if self._transparent else frame[..., :3]
        path = self._folder / NAME.format(number=self._count)
        iio.imwrite(path, pixels, plugin="pillow", compress_level=COMPRESSION)

    def close(self) -> tuple[int, float]:
        """How many frames there are and how many seconds they stand for."""
        return self._count, float(self._count / self._fps)

    def abort(self) -> None:
        """Nothing to let go of: the folder is removed by who made it."""
