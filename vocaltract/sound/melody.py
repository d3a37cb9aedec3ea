"""Pitch over an utterance."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.sound_rules import sound_rules


def declining_hz(timeline: Timeline, pitch_hz: float, times_s: Array) -> Array:
    """Pitch (n,) at times (n,) of speech: a plain fall over the utterance, about the pitch of a voice."""
    begin, end = timeline.speech_s
    own = sound_rules().melody
    share = np.clip((times_s - begin) / max(end - begin, 1e-3), 0, 1)
    return np.asarray(pitch_hz * (own.first_share + share * (own.last_share - own.first_share)))


def check_pitch(pitch_hz: float) -> float:
    """A pitch that a voice can have; BadInput for others."""
    low, high = sound_rules().melody.pitch_range_hz
    if not low <= pitch_hz <= high:
        raise BadInput(f"pitch {pitch_hz:g} Hz is out of range; allowed is {low:g} to {high:g}")
    return pitch_hz
