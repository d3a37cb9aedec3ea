"""Words and phrases said by voices that are no part of the project, and by the model, as recordings."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.signal import resample_poly

from tests.hearing import outside_voices
from vocaltract.recording.recording import RATE_HZ, Recording
from vocaltract.sound.hearing import heard
from vocaltract.speech import Speech, say

SHORT = tuple(
    "key two desk seat sit light night thank room bed pool map phone guest right do sank floor view yes".split()
)
LONG = (
    "front desk", "hot tub", "good night", "two keys", "room service", "front door", "your room key", "check out time",
    "the elevator is on the right", "breakfast is at seven", "ticket", "towel", "lobby", "elevator", "luggage",
    "window", "backpack", "receipt", "shower", "the swimming pool is open",
)  # fmt: skip
VOICES = ("en-us/130", "en-us+f3/150", "en-us+m3/110", "en-us+f2/170", "en-us+m7/130")
"""espeak-ng's voices, and words a minute; "man" and "woman" are the model's."""


@lru_cache(maxsize=512)
def recorded(text: str, voice: str) -> Recording:
    """A text in a voice, such as "en-us/130" or "woman"."""
    if "/" not in voice:
        wave = heard(say(text, Speech(speaker=voice)))  # type: ignore[arg-type]
        return Recording(np.pad(wave, RATE_HZ // 10), f"{text}, {voice}")
    name, pace = voice.split("/")
    samples, rate = outside_voices.said(text, name, int(pace))
    return Recording(resample_poly(samples, RATE_HZ, rate), f"{text}, {voice}")
