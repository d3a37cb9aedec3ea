"""Films to files, streamed, whole or not at all.

Frames are arrays (height, width, 4) uint8. Drawing (the caller's iterator) and encoding (a thread here)
overlap over a short queue, so memory does not grow with length. The same frames give the same bytes.
"""

from __future__ import annotations

import contextlib
import itertools
import queue
import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, SurroundingsError
from renders.files.formats import Encoding
from renders.files.interrupts import held
from renders.files.outputs import atomic_path, fresh_folder
from renders.files.writer import Frame, Writer

_QUEUE_LENGTH = 2
IN_FLIGHT = _QUEUE_LENGTH + 2
"""How many frames are between drawing and encoding at most: so many arrays may be used in turn."""


@dataclass(frozen=True)
class FilmFile:
    """What was written: ``path`` (the folder of a PNG film), ``frames`` in it, its length and size."""

    path: Path
    frames: int
    seconds: float
    bytes: int


def buffers(size: tuple[int, int], count: int) -> Iterator[Frame]:
    """Arrays (height, width, 4) to draw into, ``count`` of them in turn, or a new one each time where it is 0."""
    if count == 0:
        while True:
            yield np.empty((size[1], size[0], 4), dtype=np.uint8)
    yield from itertools.cycle([np.zeros((size[1], size[0], 4), dtype=np.uint8) for _ in range(count)])


class _Stopped(Exception):
    pass


def _overlapping(
    frames: Iterable[Frame], writer: Writer, size: tuple[int, int], progress: Callable[[int], None] | None
) -> tuple[int, float]:
    """Draws here, encodes in a thread; whichever fails stops the other. Frames written and seconds."""
    waiting: queue.Queue[Frame | None] = queue.Queue(_QUEUE_LENGTH)
    failures: list[BaseException] = []
    stop = threading.Event()

    def work() -> None:
        try:
            while (frame := waiting.get()) is not None and not stop.is_set():
                writer.write(frame)
        except BaseException as error:
            failures.append(error)
            stop.set()

    def hand_over(frame: Frame | None) -> None:
        while not stop.is_set():
            with contextlib.suppress(queue.Full):
                waiting.put(frame, timeout=0.2)
                return
        raise _Stopped

    thread = threading.Thread(target=work, name="encoder", daemon=True)
    thread.start()
    done = 0
    try:
        for frame in frames:
            if frame.shape != (size[1], size[0], 4) or frame.dtype != np.uint8:
                raise ValueError(f"frame {done} is {frame.dtype} {frame.shape}, not uint8 {(size[1], size[0], 4)}")
            hand_over(frame)
            done += 1
            if progress is not None:
                progress(done)
        if done == 0:
            raise BadInput("a film needs one frame at least, got none")
        hand_over(None)
        thread.join()
    except _Stopped:
        thread.join()
    except BaseException:
        stop.set()
        with held():  # the writer must not be let go of while it is at work
            with contextlib.suppress(queue.Full):
                waiting.put_nowait(None)
            thread.join()
        raise
    if failures:
        raise failures[0]
    return writer.close()


def frames_folder(path: Path) -> Path:
    """The folder that a film named ``path`` (.png) is written to: front-desk.png goes to front-desk-png."""
    return path.with_name(f"{path.stem}-png")


def encode(
    frames: Iterable[Frame],
    path: Path,
    encoding: Encoding,
    sound: Array | None = None,
    *,
    force: bool = False,
    progress: Callable[[int], None] | None = None,
) -> FilmFile:
    """Writes frames (height, width, 4) uint8 to a film file, or to a folder of PNG frames.

    ``sound``: samples (n,) at HEARD_RATE_HZ that begin with the first frame, for a format that holds sound.

    ``force`` replaces what exists. ``progress`` is told how many frames are drawn. What is written appears only when
    all went well, also on an interrupt. BadInput for no frames and for what exists; SurroundingsError where writing
    fails; errors of ``frames`` pass through.
    """
    path, kind = Path(path), encoding.kind

    def written(made: Callable[[], Writer]) -> tuple[int, float]:
        writer: Writer | None = None
        try:
            with held():
                writer = made()
            return _overlapping(frames, writer, encoding.size, progress)
        finally:
            if writer is not None:
                with held():
                    writer.abort()

    if kind.ending == ".png":
        from renders.files.png_frames import PngFrames

        folder = frames_folder(path)
        with fresh_folder(folder, force) as build:
            count, seconds = written(lambda: PngFrames(build, encoding))
            total = sum(part.stat().st_size for part in build.iterdir())
        return FilmFile(folder, count, seconds, total)
    import av

    with atomic_path(path, force) as part:
        try:
            if kind.ending == ".gif":
                from renders.files.gif import Gif

                count, seconds = written(lambda: Gif(part, encoding))
            else:
                from renders.files.stream import Stream

                count, seconds = written(lambda: Stream(part, encoding, sound))
        except av.error.FFmpegError as error:
            raise SurroundingsError(f"cannot write {path}: {error.strerror or error}") from error
        total = part.stat().st_size
    return FilmFile(path, count, seconds, total)
