"""A recording as a value: one channel of samples, and what it is called."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from articulators.curves import Array
from vocaltract.recording.boundaries import Boundaries

RATE_HZ = 48000
HEARING_RATE_HZ = 16000
"""At which a recording is listened to; speech has little of use above 8 kHz for finding sounds."""


@dataclass(frozen=True, eq=False)
class Recording:
    """Samples (n,), read-only, full scale 1, at RATE_HZ, and the name of the file that they are from.

    apart_db   how far the two channels of a stereo file differ, in dB below their sum; minus infinity where they do not
    boundaries where its sounds begin, where a person has said so
    Two recordings of the same samples, name and boundaries are equal.
    """

    samples: Array
    name: str = "recording"
    apart_db: float = float("-inf")
    boundaries: Boundaries | None = None
    _known: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        samples = np.array(self.samples, dtype=np.float64)
        samples.setflags(write=False)
        object.__setattr__(self, "samples", samples)
        told = f"{self.name}\0{self.boundaries!r}".encode()
        digest = hashlib.sha256(samples.astype("<f4").tobytes() + told).hexdigest()
        object.__setattr__(self, "_known", digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Recording) and self._known == other._known

    def __hash__(self) -> int:
        return hash(self._known)

    @property
    def duration_s(self) -> float:
        """Length in seconds."""
        return len(self.samples) / RATE_HZ

    @cached_property
    def listened_to(self) -> Array:
        """Samples (m,) at HEARING_RATE_HZ."""
        from scipy.signal import resample_poly

        return np.asarray(resample_poly(self.samples, 1, RATE_HZ // HEARING_RATE_HZ))
