"""The burst heard and contact broken in a film as a player has it: decoded again, both measured on pixels and samples.

Words that begin with a stop, which silence comes before: the first sound is the burst. Of the bars of contact in the
picture (a mouth at rest has some too) the one counts that is gone nearest to it.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from scipy.signal import butter, sosfilt

from renders.films.film import film
from renders.films.shot import Shot
from renders.paper.style import load
from tests.led.voices import recorded
from vocaltract.speech import say

WORDS = ("ticket", "two", "key", "pool", "towel", "desk", "guest", "bed", "do", "backpack")
SPEEDS = (1.0, 0.5, 0.25)
FPS = 30
RATE_HZ = 48000
SIZE = (640, 480)
CONTACT_OFF = 110.0
"""How far a pixel may be from the colour of the mark of contact, in levels of 255."""
HEARD_SHARE = 0.05
"""Of the highest peak above 1.5 kHz in the first tenth of a second, from which a burst is heard."""


@dataclass(frozen=True)
class Burst:
    """A word in a voice at a speed: in the film, when the burst is heard and when contact is broken, in seconds."""

    word: str
    voice: str
    speed: float
    heard_s: float
    seen_s: float

    @property
    def within_a_frame(self) -> bool:
        """Contact is gone in the frame that shows the burst, or in the one before or after."""
        return abs(self.heard_s - self.seen_s) <= 1 / FPS + 1e-6


def burst(word: str, voice: str, speed: float) -> Burst:
    """A led film made, decoded and measured."""
    shot = Shot(speed=speed, fps=FPS, size=SIZE, captions=False)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "led.mp4")
        film(say(word, recording=recorded(word, voice)), shot).save(file)
        heard = _heard_s(file)
        return Burst(word, voice, speed, heard, min(_seen_s(file), key=lambda seen: abs(seen - heard)))


def _heard_s(file: Path) -> float:
    with av.open(str(file)) as container:
        resampler = av.AudioResampler(format="fltp", layout="mono", rate=RATE_HZ)
        parts, first = [], None
        for frame in container.decode(audio=0):
            first = frame.time if first is None else first
            parts += [piece.to_ndarray()[0] for piece in resampler.resample(frame)]
    samples = np.concatenate(parts)
    high = np.abs(sosfilt(butter(4, 1500, "high", fs=RATE_HZ, output="sos"), samples))
    loud = np.flatnonzero(high > 0.02 * high.max())
    start = int(loud[0])
    peak = high[start : start + RATE_HZ // 10].max()
    return float(first or 0.0) + (start + int(np.argmax(high[start:] > HEARD_SHARE * peak))) / RATE_HZ


def _seen_s(file: Path) -> list[float]:
    """Times of frames without a bar of contact that come after one with it."""
    wanted = np.array([int(load("light").hex("contact")[i : i + 2], 16) for i in (1, 3, 5)])
    counts, times = [], []
    with av.open(str(file)) as container:
        for frame in container.decode(video=0):
            pixels = frame.to_ndarray(format="rgb24").astype(int)
            counts.append(int((np.abs(pixels - wanted).sum(axis=-1) < CONTACT_OFF).sum()))
            times.append(float(frame.time))
    shown = np.array(counts) > 0.2 * max(counts)
    return [times[i] for i in np.flatnonzero(shown[:-1] & ~shown[1:]) + 1]
