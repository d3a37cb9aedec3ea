"""A short sound as the bytes of a small file, for what carries its sound inside."""

from __future__ import annotations

import io
from typing import Any

import numpy as np

from articulators.curves import Array

AAC_FRAME = 1024
"""Samples that AAC takes at once. An encoder begins with one frame of nothing, which the container marks."""


def whole_frames(samples: Array) -> Array:
    """Samples (n,) with silence behind them, up to a whole number of frames of AAC."""
    return np.pad(samples, (0, -len(samples) % AAC_FRAME))


def aac_clip(samples: Array, rate_hz: int, bits_s: int) -> bytes:
    """One channel (n,), full scale 1, as AAC in MP4; the same samples give the same bytes.

    What is decoded has as many samples as `whole_frames`, in a player that heeds the container's marks.
    """
    import av

    held = io.BytesIO()
    with av.open(held, "w", format="mp4", options={"fflags": "+bitexact"}) as file:
        stream: Any = file.add_stream("aac", rate=rate_hz, layout="mono")
        stream.codec_context.thread_count = 1
        stream.codec_context.flags |= av.codec.context.Flags.bitexact
        stream.bit_rate = bits_s
        frame = av.AudioFrame.from_ndarray(whole_frames(samples).astype(np.float32)[None], format="fltp", layout="mono")
        frame.sample_rate = rate_hz
        for packet in (*stream.encode(frame), *stream.encode(None)):
            file.mux(packet)
    return held.getvalue()
