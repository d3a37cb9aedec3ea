"""Films put together from clips that are encoded once: what comes again is copied, what stands still is one frame."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from articulators.curves import Array
from articulators.errors import BadInput
from renders.files.formats import Encoding
from renders.files.sound_track import SoundTrack


@dataclass(frozen=True, slots=True)
class ClipUse:
    """A clip of a spliced film: its name, how many frames it has, and how many more its last frame stands still."""

    clip: str
    frames: int
    still_frames: int = 0

    @property
    def lasts_frames(self) -> int:
        """How many frames of film it takes."""
        return self.frames + self.still_frames


def spliced(pieces: Sequence[ClipUse], clips: Mapping[str, bytes], encoding: Encoding, sound: Array) -> bytes:
    """An MP4 of clips one after the other, with sound (n,) at HEARD_RATE_HZ from the first frame on.

    clips   MP4 files without sound, all of the same encoding, by name; each is copied as often as it stands in `pieces`
    BadInput for no pieces, and for a format other than MP4.
    """
    import av

    if not pieces:
        raise BadInput("a film needs one clip at least, got none")
    if encoding.kind.ending != ".mp4":
        raise BadInput(f"clips are joined in .mp4 only, not {encoding.kind.ending}")
    with tempfile.TemporaryDirectory() as room:
        for number, name in enumerate(dict.fromkeys(piece.clip for piece in pieces)):
            Path(room, f"{number}.mp4").write_bytes(clips[name])
        files = {name: str(Path(room, f"{n}.mp4")) for n, name in enumerate(dict.fromkeys(p.clip for p in pieces))}
        out = Path(room, "film.mp4")
        options = {"movflags": "+faststart", "fflags": "+bitexact"}
        with av.open(str(out), "w", format="mp4", options=options) as film:
            with av.open(files[pieces[0].clip]) as first:
                video: Any = film.add_stream_from_template(first.streams.video[0])
            track = SoundTrack(film, encoding.kind.sound, sound)
            at = 0
            for piece in pieces:
                _copy(files[piece.clip], piece, film, video, Fraction(at) / encoding.fps, encoding.fps)
                at += piece.lasts_frames
                track.write_until(float(at / encoding.fps))
            track.close()
        return out.read_bytes()


def _copy(file: str, piece: ClipUse, film: Any, video: Any, start_s: Fraction, fps: Fraction) -> None:
    import av

    with av.open(file) as clip:
        packets: list[Any] = [packet for packet in clip.demux(video=0) if packet.dts is not None]
        last = max(packets, key=lambda packet: packet.pts)
        for packet in packets:
            base = packet.time_base
            shift = round(start_s / base)
            if packet is last:
                packet.duration = round(Fraction(piece.still_frames + 1) / fps / base)
            packet.pts, packet.dts = packet.pts + shift, packet.dts + shift
            packet.stream = video
            film.mux(packet)
