"""When the sounds of an utterance are heard in a recording: what a plan can be led by in place of duration rules."""

from __future__ import annotations

from dataclasses import dataclass

from articulators.curves import Array


@dataclass(frozen=True, slots=True)
class HeardSound:
    """One sound of a recording, in seconds from its beginning.

    start_s, end_s   a stop's from where its closure is heard to begin, to the voice of what follows or the end of its
                     breath
    release_s        when a closure is heard to be let go; None for held ones and for sounds without
    voice_s          when voice starts for what follows a stop; None where it does not, or goes on through the hold
    """

    start_s: float
    end_s: float
    release_s: float | None = None
    voice_s: float | None = None


@dataclass(frozen=True, eq=False)
class HeardVoice:
    """A recording that leads: its sounds in order, its samples (n,), full scale 1, at a rate, and its pitch.

    pitch_hz  (m,) of the voice every millisecond of the recording, through silences too
    """

    sounds: tuple[HeardSound, ...]
    samples: Array
    rate_hz: int
    pitch_hz: Array

    @property
    def duration_s(self) -> float:
        """Length of the recording in seconds."""
        return len(self.samples) / self.rate_hz


@dataclass(frozen=True)
class Leading:
    """A recording in the time of a timeline: its first sample sounds at `begins_s`, which may be before 0."""

    voice: HeardVoice
    begins_s: float
