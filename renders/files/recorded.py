"""A recording of a person's voice read from a sound file of any usual kind."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, SurroundingsError, nearest
from vocaltract.recording.recording import RATE_HZ, Recording

ENDINGS = (".wav", ".flac", ".mp3", ".m4a", ".webm", ".ogg", ".opus", ".aac", ".mp4", ".mov")
LONGEST_RECORDING_S = 60
_KINDS = "sound files such as WAV, FLAC, MP3, M4A, WebM"
LARGEST_RECORDING_BYTES = 100_000_000


def read_recording(file: str | os.PathLike[str]) -> Recording:
    """A recording from WAV, FLAC, MP3, M4A, WebM and what else the video library reads, of any rate, mono or stereo.

    BadInput, at once, where there is no such file, for a folder, a pipe or a device, for what holds no sound, is
    damaged or lasts longer than LONGEST_RECORDING_S.
    """
    path = Path(file)
    _check_regular(path)
    import av

    try:
        with av.open(str(path), metadata_errors="ignore") as container:
            if not container.streams.audio:
                raise BadInput(f"recording {path} holds no sound; allowed are {_KINDS}")
            both = _decoded(container, path)
    except av.error.FFmpegError:
        raise BadInput(f"recording {path} cannot be read as sound; allowed are {_KINDS}") from None
    if both.shape[1] == 0:
        raise BadInput(f"recording {path} is empty: there is no sample in it")
    return Recording(both.mean(axis=0), path.name, _apart_db(both))


def _decoded(container: Any, path: Path) -> Array:
    """Its channels (1 or 2, n) at RATE_HZ."""
    import av

    parts: list[Array] = []
    count, damaged = 0, False
    stream = container.streams.audio[0]
    resampler: Any = None
    try:
        for frame in container.decode(stream):
            if resampler is None:  # one channel stays one, and so keeps its level
                layout = "mono" if frame.layout.nb_channels == 1 else "stereo"
                resampler = av.AudioResampler(format="fltp", layout=layout, rate=RATE_HZ)
            for piece in resampler.resample(frame):
                parts.append(piece.to_ndarray().astype(np.float64))
                count += parts[-1].shape[1]
            if count > LONGEST_RECORDING_S * RATE_HZ:
                too_long = f"recording {path} lasts more than {LONGEST_RECORDING_S} s"
                raise BadInput(f"{too_long}; allowed is a word or a phrase")
    except av.error.FFmpegError:
        damaged = True
    if not damaged and resampler is not None:
        parts += [piece.to_ndarray().astype(np.float64) for piece in resampler.resample(None)]
    if damaged and not parts:
        raise BadInput(f"recording {path} is damaged: nothing of it can be decoded")
    return np.concatenate(parts, axis=1) if parts else np.zeros((1, 0))


def _apart_db(both: Array) -> float:
    """How far the two channels differ: their difference under their sum, in dB, whatever their levels."""
    left, right = both[0], both[-1]
    a, b = float(left @ left), float(right @ right)
    if len(both) < 2 or min(a, b) <= 1e-9:
        return float("-inf")
    likeness = abs(float(left @ right)) / np.sqrt(a * b)
    return float(10 * np.log10(max((1 - likeness) / max(1 + likeness, 1e-9), 1e-12)))


def _check_regular(path: Path) -> None:
    if "\0" in str(path):
        raise BadInput(f"recording {path}: no name of a file holds a NUL")
    try:
        found = os.stat(path)
    except (FileNotFoundError, NotADirectoryError):
        raise BadInput(f"recording {path}: no such file{_beside(path)}") from None
    except OSError as error:
        kind = BadInput if error.errno in (errno.ENAMETOOLONG, errno.ELOOP) else SurroundingsError
        raise kind(f"recording cannot be read: {error.strerror or error}: {path}") from None
    if stat.S_ISDIR(found.st_mode):
        raise BadInput(f"recording {path} is a folder; a sound file is needed")
    if not stat.S_ISREG(found.st_mode):
        raise BadInput(f"recording {path} is a pipe, a socket or a device; a sound file is needed")
    if found.st_size == 0:
        raise BadInput(f"recording {path} is empty")
    if found.st_size > LARGEST_RECORDING_BYTES:
        raise BadInput(f"recording {path} is larger than {LARGEST_RECORDING_BYTES} bytes, the most that is read")
    if not os.access(path, os.R_OK):
        raise SurroundingsError(f"recording cannot be read: permission denied: {path}")


def _beside(path: Path) -> str:
    """The nearest sound file of the folder, as a hint."""
    try:
        files = [str(file) for file in path.parent.iterdir() if file.suffix.lower() in ENDINGS]
    except OSError:
        return ""
    return nearest(str(path), files)
