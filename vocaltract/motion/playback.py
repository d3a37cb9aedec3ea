"""Playback: a mapping from film time to speech time. Speed never changes the model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput

SLOWEST, FASTEST = 0.05, 2.0


@dataclass(frozen=True)
class Playback:
    """Film time to speech time, piecewise linear through (film_s, speech_s), both strictly rising."""

    film_s: Array
    speech_s: Array
    dwells: bool

    @property
    def duration_s(self) -> float:
        """Length of the film in seconds."""
        return float(self.film_s[-1])

    def speech_time_s(self, film_s: Array) -> Array:
        """Speech time (n,) shown at film times (n,); the ends are held."""
        return np.interp(film_s, self.film_s, self.speech_s)

    def frame_times_s(self, fps: float) -> Array:
        """Speech time of each frame at a rate: frame i shows film time i / fps; at least one frame."""
        count = max(1, round(self.duration_s * fps))
        return self.speech_time_s(np.arange(count) / fps)


def constant(duration_s: float, speed: float) -> Playback:
    """Playback at one speed (1 = natural, 0.5 = half). BadInput outside 0.05 to 2."""
    if not SLOWEST <= speed <= FASTEST:
        raise BadInput(f"speed {speed:g} is not possible; allowed is {SLOWEST:g} to {FASTEST:g} (0.5 = half speed)")
    return Playback(np.array([0.0, duration_s / speed]), np.array([0.0, duration_s]), False)


def dwelling(
    duration_s: float, speed: float, moments_s: list[float], slow: float = 0.25, reach_s: float = 0.025
) -> Playback:
    """Playback that slows by `slow` within `reach_s` of the moments that matter (closure, release, flap)."""
    base = constant(duration_s, speed)
    if not moments_s:
        return base
    edges = {0.0, duration_s}
    for moment in moments_s:
        edges |= {min(max(moment - reach_s, 0.0), duration_s), min(max(moment + reach_s, 0.0), duration_s)}
    # moments of one instant must not leave steps that are too short to have a rate
    speech = np.array(sorted(edges))
    speech = speech[np.concatenate([[True], np.diff(speech) > 1e-6])]
    speech[-1] = duration_s
    middle = (speech[1:] + speech[:-1]) / 2
    near = np.min(np.abs(middle[:, None] - np.array(moments_s)), axis=1) <= reach_s
    rate = np.where(near, speed * slow, speed)
    film = np.concatenate([[0.0], np.cumsum(np.diff(speech) / rate)])
    return Playback(film, speech, True)
