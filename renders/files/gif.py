"""GIF: one palette for the whole film, so frames go to a lossless spool while the palette is gathered."""

from __future__ import annotations

import contextlib
from fractions import Fraction
from pathlib import Path
from typing import Any

from renders.files.formats import Encoding
from renders.files.stream import rgba
from renders.files.writer import Frame

_CENTISECOND = Fraction(1, 100)


class Gif:
    """A GIF that runs for ever; every delay is 100 / fps centiseconds, which must be whole."""

    def __init__(self, path: Path, encoding: Encoding) -> None:
        import av

        fps, size = encoding.fps, encoding.size
        self._path, self._fps, self._size = path, fps, size
        self._spool = path.with_name(path.name + ".spool")
        width, height = size
        self._file = av.open(str(self._spool), "w", format="mov")
        self._stream: Any = self._file.add_stream("qtrle", rate=fps)
        self._stream.width, self._stream.height, self._stream.pix_fmt = width, height, "rgb24"
        self._stream.codec_context.gop_size = 10**6
        graph = av.filter.Graph()
        self._kind = av.VideoFormat("rgb24", width, height)
        source = graph.add_buffer(width=width, height=height, format=self._kind, time_base=1 / fps)
        maker, sink = graph.add("palettegen", "stats_mode=full"), graph.add("buffersink")
        source.link_to(maker)
        maker.link_to(sink)
        graph.configure()
        self._palette_graph, self._count = graph, 0

    def write(self, frame: Frame) -> None:
        """Adds a frame (height, width, 4); opacity is not looked at."""
        picture = rgba(frame).reformat(format="rgb24")
        picture.pts, picture.time_base = self._count, 1 / self._fps
        self._count += 1
        self._palette_graph.push(picture)
        for packet in self._stream.encode(picture):
            self._file.mux(packet)

    def close(self) -> tuple[int, float]:
        """Ends the file; how many frames it holds and how many seconds they last."""
        import av

        for packet in self._stream.encode(None):
            self._file.mux(packet)
        self._file.close()
        self._palette_graph.push(None)
        palette = self._palette_graph.pull()
        assert isinstance(palette, av.VideoFrame)
        graph, film = self._colouring(palette)
        each = round(100 / self._fps)
        options = {"loop": "0", "final_delay": str(each)}
        with av.open(str(self._spool)) as spooled, av.open(str(self._path), "w", format="gif", options=options) as out:
            stream: Any = out.add_stream("gif", rate=self._fps)
            stream.width, stream.height, stream.pix_fmt = *self._size, "pal8"
            stream.codec_context.time_base = _CENTISECOND
            for index, picture in enumerate(spooled.decode(video=0)):
                picture.pts, picture.time_base = index * each, _CENTISECOND
                film.push(picture)
                self._drain(graph, stream, out)
            film.push(None)
            self._drain(graph, stream, out)
            for packet in stream.encode(None):
                out.mux(packet)
        self._spool.unlink()
        return self._count, self._count * each / 100.0

    def _colouring(self, palette: Any) -> tuple[Any, Any]:
        """The filter that puts frames into the colours of a palette, and where frames go into it."""
        import av

        width, height = self._size
        graph = av.filter.Graph()
        film = graph.add_buffer(width=width, height=height, format=self._kind, time_base=_CENTISECOND, name="film")
        colours = graph.add_buffer(
            width=palette.width, height=palette.height, format=palette.format, time_base=_CENTISECOND, name="palette"
        )
        use, sink = graph.add("paletteuse", "dither=none:diff_mode=rectangle"), graph.add("buffersink")
        film.link_to(use, 0, 0)
        colours.link_to(use, 0, 1)
        use.link_to(sink)
        graph.configure()
        palette.pts, palette.time_base = 0, _CENTISECOND
        colours.push(palette)
        colours.push(None)
        return graph, film

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

    def abort(self) -> None:
        """Lets go of the files; the spool is removed."""
        with contextlib.suppress(Exception):
            self._file.close()
        self._spool.unlink(missing_ok=True)
