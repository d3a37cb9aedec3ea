"""Films to files: MP4 (H.264), GIF and a folder of PNG frames, streamed, whole or not at all.

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
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np
from numpy.typing import NDArray

from articulators.errors import BadInput, SurroundingsError, nearest
from renders.outputs import atomic_path, fresh_folder

if TYPE_CHECKING:
    import av

FILM_ENDINGS = (".mp4", ".gif")
SIZE_RANGE_PX = (64, 3840)
FPS_RANGE = (5, 60)
_QUEUE_LENGTH = 4
_THREADS = 2  # fixed, not the number of cores: the bytes depend on it
_STEADY = "no-mbtree=1"  # at small sizes the macroblock tree reads memory that was never set: bytes differ by run
_KEYFRAME_EVERY = 30
_LEAST_GIF_DELAY_CS = 2  # browsers slow shorter delays to ten

IN_FLIGHT = _QUEUE_LENGTH + 2
"""How many frames are between drawing and encoding at most: so many arrays may be used in turn."""

Frame = NDArray[np.uint8]


@dataclass(frozen=True)
class FilmReport:
    """What was written: ``frames`` in the file, its length and size."""

    path: Path
    frames: int
    seconds: float
    bytes: int


def check_size(width: int, height: int) -> tuple[int, int]:
    """The size where a film can have it: even, 64 to 3840 px each way; BadInput otherwise."""
    low, high = SIZE_RANGE_PX
    for what, value in (("width", width), ("height", height)):
        if not low <= value <= high:
            raise BadInput(f"film {what} {value} px is out of range; allowed: {low} to {high}")
        if value % 2:
            raise BadInput(f"film {what} {value} px is odd; it must be even (nearest: {value + 1})")
    return width, height


def check_fps(fps: float) -> Fraction:
    """The frame rate as a fraction; BadInput outside 5 to 60 frames a second."""
    low, high = FPS_RANGE
    if not low <= fps <= high:
        raise BadInput(f"frame rate {fps:g} is out of range; allowed: {low} to {high} frames a second")
    return Fraction(fps).limit_denominator(1001)


def buffers(size: tuple[int, int], count: int) -> Iterator[Frame]:
    """Arrays (height, width, 4) to draw into, ``count`` of them in turn, or a new one each time where it is 0."""
    if count == 0:
        while True:
            yield np.empty((size[1], size[0], 4), dtype=np.uint8)
    yield from itertools.cycle([np.zeros((size[1], size[0], 4), dtype=np.uint8) for _ in range(count)])


def gif_times_cs(count: int, fps: Fraction) -> tuple[list[int], list[int]]:
    """Which of ``count`` frames a GIF shows, and when each starts in centiseconds, the end of the film last.

    Every time is the exact one rounded to a centisecond, so the total never drifts by more than half of
    one. Frames that would come less than 2 centiseconds after the one before are left out.
    """
    exact = [(i * 100 / fps + Fraction(1, 2)).__floor__() for i in range(count + 1)]
    kept: list[int] = []
    for i in range(count):
        if not kept or exact[i] - exact[kept[-1]] >= _LEAST_GIF_DELAY_CS:
            kept.append(i)
    while len(kept) > 1 and exact[count] - exact[kept[-1]] < _LEAST_GIF_DELAY_CS:
        kept.pop()
    return kept, [exact[i] for i in kept] + [exact[count]]


class _Writer(Protocol):
    def add(self, frame: Frame) -> None: ...
    def finish(self) -> tuple[int, float]: ...
    def close(self) -> None: ...


class _Rgba:
    """One reused frame of the encoder's kind."""

    def __init__(self, width: int, height: int) -> None:
        import av

        self._frame = av.VideoFrame(width, height, "rgba")
        self._straight = self._frame.planes[0].line_size == width * 4

    def filled(self, pixels: Frame) -> av.VideoFrame:
        import av

        if not self._straight:
            return av.VideoFrame.from_ndarray(pixels, format="rgba")
        self._frame.planes[0].update(np.ascontiguousarray(pixels).data)  # type: ignore[arg-type]
        return self._frame


class _Mp4:
    """H.264 High, yuv420p, BT.709 limited range, converted and tagged."""

    def __init__(self, path: Path, width: int, height: int, fps: Fraction) -> None:
        import av
        from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc, VideoReformatter

        self._file = av.open(str(path), "w", format="mp4", options={"movflags": "+faststart", "fflags": "+bitexact"})
        stream = self._file.add_stream(
            "libx264", rate=fps, options={"crf": "20", "preset": "veryfast", "profile": "high", "x264-params": _STEADY}
        )
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        context = stream.codec_context
        context.time_base = 1 / fps
        context.gop_size = _KEYFRAME_EVERY
        context.thread_type, context.thread_count = "FRAME", _THREADS
        context.colorspace = int(Colorspace.ITU709)
        context.color_primaries = int(ColorPrimaries.BT709)
        context.color_trc = int(ColorTrc.BT709)
        context.color_range = int(ColorRange.MPEG)
        self._stream, self._source = stream, _Rgba(width, height)
        self._reformatter = VideoReformatter()
        self._colours: dict[str, Any] = {
            "format": "yuv420p", "src_colorspace": Colorspace.ITU709, "dst_colorspace": Colorspace.ITU709,
            "src_color_range": ColorRange.JPEG, "dst_color_range": ColorRange.MPEG,
            "dst_color_primaries": ColorPrimaries.BT709, "dst_color_trc": ColorTrc.BT709,
        }  # fmt: skip
        self._time_base, self._count = 1 / fps, 0

    def add(self, frame: Frame) -> None:
        picture = self._reformatter.reformat(self._source.filled(frame), **self._colours)
        picture.pts, picture.time_base = self._count, self._time_base
        self._count += 1
        for packet in self._stream.encode(picture):
            self._file.mux(packet)

    def finish(self) -> tuple[int, float]:
        for packet in self._stream.encode(None):
            self._file.mux(packet)
        self._file.close()
        return self._count, float(self._count * self._time_base)

    def close(self) -> None:
        with contextlib.suppress(Exception):
            self._file.close()


class _Gif:
    """Two passes, since one palette serves the whole film: frames go to a lossless spool while it is made."""

    def __init__(self, path: Path, spool: Path, width: int, height: int, fps: Fraction, loop: int) -> None:
        import av

        self._path, self._spool, self._fps, self._loop = path, spool, fps, loop
        self._size = width, height
        self._file = av.open(str(spool), "w", format="mov")
        self._stream = self._file.add_stream("qtrle", rate=fps)
        self._stream.width, self._stream.height, self._stream.pix_fmt = width, height, "rgb24"
        self._source = _Rgba(width, height)
        graph = av.filter.Graph()
        self._kind = av.VideoFormat("rgb24", width, height)
        source = graph.add_buffer(width=width, height=height, format=self._kind, time_base=1 / fps)
        maker, sink = graph.add("palettegen", "stats_mode=full"), graph.add("buffersink")
        source.link_to(maker)
        maker.link_to(sink)
        graph.configure()
        self._palette_graph, self._count = graph, 0

    def add(self, frame: Frame) -> None:
        picture = self._source.filled(frame).reformat(format="rgb24")
        picture.pts, picture.time_base = self._count, 1 / self._fps
        self._count += 1
        self._palette_graph.push(picture)
        for packet in self._stream.encode(picture):
            self._file.mux(packet)

    def finish(self) -> tuple[int, float]:
        import av

        for packet in self._stream.encode(None):
            self._file.mux(packet)
        self._file.close()
        self._palette_graph.push(None)
        palette = self._palette_graph.pull()
        assert isinstance(palette, av.VideoFrame)
        kept, times = gif_times_cs(self._count, self._fps)
        width, height = self._size
        hundredth = Fraction(1, 100)

        graph = av.filter.Graph()
        film = graph.add_buffer(width=width, height=height, format=self._kind, time_base=hundredth, name="film")
        colours = graph.add_buffer(
            width=palette.width,
            height=palette.height,
            format=palette.format,
            time_base=hundredth,
            name="palette",
        )
        use = graph.add("paletteuse", "dither=none:diff_mode=rectangle")
        sink = graph.add("buffersink")
        film.link_to(use, 0, 0)
        colours.link_to(use, 0, 1)
        use.link_to(sink)
        graph.configure()
        palette.pts, palette.time_base = 0, hundredth
        colours.push(palette)
        colours.push(None)

        last = str(times[-1] - times[-2])
        with av.open(str(self._path), "w", format="gif", options={"loop": str(self._loop), "final_delay": last}) as out:
            stream = out.add_stream("gif", rate=self._fps)
            stream.width, stream.height, stream.pix_fmt = width, height, "pal8"
            stream.codec_context.time_base = hundredth
            for picture in self._paced(kept, times):
                film.push(picture)
                self._drain(graph, stream, out)
            film.push(None)
            self._drain(graph, stream, out)
            for packet in stream.encode(None):
                out.mux(packet)
        return len(kept), times[-1] / 100.0

    def _paced(self, kept: list[int], times: list[int]) -> Iterator[av.VideoFrame]:
        import av

        starts = dict(zip(kept, times, strict=False))
        with av.open(str(self._spool)) as spooled:
            for index, picture in enumerate(spooled.decode(video=0)):
                if index in starts:
                    picture.pts, picture.time_base = starts[index], Fraction(1, 100)
                    yield picture

    @staticmethod
    def _drain(graph: Any, stream: Any, out: Any) -> None:
        import av

        while True:
            try:
                picture = graph.pull()
            except (av.error.BlockingIOError, av.error.EOFError):
                return
            for packet in stream.encode(picture):
                out.mux(packet)

    def close(self) -> None:
        with contextlib.suppress(Exception):
            self._file.close()


class _Stopped(Exception):
    pass


def _encode(
    frames: Iterable[Frame], writer: _Writer, size: tuple[int, int], progress: Callable[[int], None] | None
) -> tuple[int, float]:
    """Draws here, encodes in a thread; whichever fails stops the other. Frames written and seconds."""
    waiting: queue.Queue[Frame | None] = queue.Queue(_QUEUE_LENGTH)
    failures: list[BaseException] = []
    stop = threading.Event()

    def work() -> None:
        try:
            while (frame := waiting.get()) is not None and not stop.is_set():
                writer.add(frame)
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
        with contextlib.suppress(queue.Full):
            waiting.put_nowait(None)
        thread.join()
        raise
    if failures:
        raise failures[0]
    return writer.finish()


def write_film(
    path: Path,
    frames: Iterable[Frame],
    size: tuple[int, int],
    fps: float,
    loop: int = 0,
    progress: Callable[[int], None] | None = None,
) -> FilmReport:
    """Writes frames (height, width, 4) uint8 as .mp4 or .gif, by the ending of ``path``.

    ``size`` is width, height in px, even, 64 to 3840. ``fps`` 5 to 60; GIF delays are whole centiseconds
    spread so that the total keeps within half of one. ``loop``: how often a GIF repeats, 0 for ever.
    ``progress`` is told how many frames are drawn. A file appears at ``path`` only when all went well, also
    on an interrupt. BadInput for ending, size, rate or no frames; SurroundingsError where writing fails;
    errors of ``frames`` pass through.
    """
    import av

    path = Path(path)
    width, height = check_size(*size)
    rate = check_fps(fps)
    ending = path.suffix.lower()
    if ending not in FILM_ENDINGS:
        raise BadInput(
            f"film ending of {path.name!r} is {ending or 'none'}; allowed: {', '.join(FILM_ENDINGS)}"
            f"{nearest(ending, FILM_ENDINGS)}"
        )
    if not 0 <= loop <= 65535:
        raise BadInput(f"loop {loop} is out of range; allowed: 0 (for ever) to 65535")
    with contextlib.ExitStack() as stack:
        part = stack.enter_context(atomic_path(path))
        writer: _Writer
        try:
            if ending == ".mp4":
                writer = _Mp4(part, width, height, rate)
            else:
                spool = part.with_name(part.name + ".spool")
                stack.callback(spool.unlink, missing_ok=True)
                writer = _Gif(part, spool, width, height, rate, loop)
            try:
                count, seconds = _encode(frames, writer, (width, height), progress)
            finally:
                writer.close()
        except av.error.FFmpegError as error:
            raise SurroundingsError(f"cannot write {path}: {error.strerror or error}") from error
        written = part.stat().st_size
    return FilmReport(path, count, seconds, written)


def write_frames(
    folder: Path, frames: Iterable[Frame], force: bool = False, progress: Callable[[int], None] | None = None
) -> int:
    """Writes frame-00001.png and so on into a folder that appears when all are there; returns how many."""
    from PIL import Image

    count = 0
    with fresh_folder(folder, force) as build:
        for count, frame in enumerate(frames, start=1):
            Image.fromarray(frame).save(build / f"frame-{count:05d}.png", compress_level=4)
            if progress is not None:
                progress(count)
        if count == 0:
            raise BadInput("a film needs one frame at least, got none")
    return count
