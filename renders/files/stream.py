"""Films that are encoded frame by frame as they come: MP4, WebM, MOV and animated WebP, through PyAV.

Nothing in a file depends on the clock, the machine's cores or earlier films: the same frames give the same bytes.
"""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from articulators.curves import Array
from renders.files.formats import Encoding
from renders.files.sound_track import SoundTrack
from renders.files.writer import Frame

if TYPE_CHECKING:
    import av

_KEYFRAME_EVERY = 30
_MS = Fraction(1, 1000)


@dataclass(frozen=True)
class _Recipe:
    """How a format is written.

    container, codec, pixels  names of the video library      options   of the encoder and of the file
    time_base   unit of the time stamps, None for one frame   colours   BT.709 limited range, converted and tagged
    threads     of the encoder; fixed, not the number of cores, since bytes depend on them. One encodes while another
                draws; only what is slower than drawing takes more
    """

    container: str
    codec: str
    pixels: str
    options: Mapping[str, str]
    file_options: Mapping[str, str] = field(default_factory=dict)
    time_base: Fraction | None = None
    colours: bool = True
    threads: int = 1


# at small sizes H.264's macroblock tree reads memory that was never set: bytes differ by run
_H264 = {"crf": "20", "preset": "veryfast", "profile": "high", "x264-params": "no-mbtree=1"}
# alternate reference frames cannot be used where a second stream carries the alpha
_VP9 = {"crf": "30", "b": "0", "deadline": "realtime", "cpu-used": "7", "row-mt": "0", "lag-in-frames": "0",
        "auto-alt-ref": "0"}  # fmt: skip
_PRORES = {"profile": "4444", "vendor": "apl0", "alpha_bits": "16", "quant_mat": "hq"}
_WEBP = {"lossless": "0", "quality": "80", "compression_level": "1", "loop": "0"}
_EXACT = {"fflags": "+bitexact"}
_FIRST = {"movflags": "+faststart", **_EXACT}  # the index before the pictures, so that a page can play it at once

_RECIPES: Mapping[tuple[str, bool], _Recipe] = {
    (".mp4", False): _Recipe("mp4", "libx264", "yuv420p", _H264, _FIRST),
    (".webm", False): _Recipe("webm", "libvpx-vp9", "yuv420p", _VP9, _EXACT, _MS),
    (".webm", True): _Recipe("webm", "libvpx-vp9", "yuva420p", _VP9, _EXACT, _MS),
    (".mov", False): _Recipe("mov", "prores_ks", "yuv444p10le", _PRORES, _FIRST, threads=4),
    (".mov", True): _Recipe("mov", "prores_ks", "yuva444p10le", _PRORES, _FIRST, threads=4),
    (".webp", False): _Recipe("webp", "libwebp_anim", "bgra", _WEBP, {"loop": "0"}, _MS, colours=False),
    (".webp", True): _Recipe("webp", "libwebp_anim", "bgra", _WEBP, {"loop": "0"}, _MS, colours=False),
}


def rgba(pixels: Frame) -> av.VideoFrame:
    """A frame of the encoder's kind that reads these pixels where they lie, without a copy."""
    import av

    return av.VideoFrame.from_numpy_buffer(np.ascontiguousarray(pixels), format="rgba")


class Stream:
    """A film in a container, one stream of video and, where there is sound, one of it."""

    def __init__(self, path: Path, encoding: Encoding, sound: Array | None = None) -> None:
        import av
        from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc, VideoReformatter

        recipe = _RECIPES[encoding.kind.ending, encoding.transparent]
        (width, height), fps = encoding.size, encoding.fps
        self._fps, self._count = fps, 0
        self._time_base = recipe.time_base or 1 / fps
        self._file = av.open(str(path), "w", format=recipe.container, options=dict(recipe.file_options))
        stream: Any = self._file.add_stream(recipe.codec, rate=fps, options=dict(recipe.options))
        stream.width, stream.height, stream.pix_fmt = width, height, recipe.pixels
        stream.time_base = self._time_base
        context = stream.codec_context
        context.time_base = self._time_base
        context.gop_size = _KEYFRAME_EVERY
        context.thread_count = recipe.threads
        context.flags |= av.codec.context.Flags.bitexact
        self._colours: dict[str, Any] = {"format": recipe.pixels}
        if recipe.colours:
            context.colorspace = int(Colorspace.ITU709)
            context.color_primaries = int(ColorPrimaries.BT709)
            context.color_trc = int(ColorTrc.BT709)
            context.color_range = int(ColorRange.MPEG)
            self._colours |= {
                "src_colorspace": Colorspace.ITU709, "dst_colorspace": Colorspace.ITU709,
                "src_color_range": ColorRange.JPEG, "dst_color_range": ColorRange.MPEG,
                "dst_color_primaries": ColorPrimaries.BT709, "dst_color_trc": ColorTrc.BT709,
            }  # fmt: skip
        self._stream = stream
        self._track = None if sound is None else SoundTrack(self._file, encoding.kind.sound, sound)
        self._reformatter = VideoReformatter()

    def write(self, frame: Frame) -> None:
        """Adds a frame (height, width, 4); it may be changed afterwards."""
        picture = self._reformatter.reformat(rgba(frame), **self._colours)
        picture.pts = round(self._count / self._fps / self._time_base)
        picture.time_base = self._time_base
        self._count += 1
        picture.duration = round(self._count / self._fps / self._time_base) - picture.pts
        for packet in self._stream.encode(picture):
            self._file.mux(packet)
        if self._track is not None:
            self._track.write_until(float(self._count / self._fps))

    def close(self) -> tuple[int, float]:
        """Ends the file; how many frames it holds and how many seconds they last."""
        for packet in self._stream.encode(None):
            self._file.mux(packet)
        if self._track is not None:
            self._track.close()
        self._file.close()
        return self._count, float(self._count / self._fps)

    def abort(self) -> None:
        """Lets go of the file, which is worth nothing then."""
        with contextlib.suppress(Exception):
            self._file.close()
