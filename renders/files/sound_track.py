"""The sound of a film, encoded beside its pictures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from articulators.curves import Array
from vocaltract.sound.hearing import HEARD_RATE_HZ

if TYPE_CHECKING:
    import av

_BITS_S = 96_000  # of what is compressed


class SoundTrack:
    """A stream of sound in an open container: samples (n,) of full scale 1 at HEARD_RATE_HZ."""

    def __init__(self, file: av.container.OutputContainer, codec: str, samples: Array) -> None:
        import av

        stream: Any = file.add_stream(codec, rate=HEARD_RATE_HZ, layout="mono")
        stream.codec_context.thread_count = 1
        stream.codec_context.flags |= av.codec.context.Flags.bitexact
        if not codec.startswith("pcm"):
            stream.bit_rate = _BITS_S
        self._file, self._stream = file, stream
        self._samples, self._done = samples.astype(np.float32), 0

    def write_until(self, seconds: float) -> None:
        """Encodes what is heard until then; silence where there is no more sound."""
        import av

        count = round(seconds * HEARD_RATE_HZ) - self._done
        if count <= 0:
            return
        part = self._samples[self._done : self._done + count]
        frame = av.AudioFrame.from_ndarray(np.pad(part, (0, count - len(part)))[None], format="fltp", layout="mono")
        frame.sample_rate, frame.pts = HEARD_RATE_HZ, self._done
        self._done += count
        for packet in self._stream.encode(frame):
            self._file.mux(packet)

    def close(self) -> None:
        """Encodes what is still waiting."""
        for packet in self._stream.encode(None):
            self._file.mux(packet)
