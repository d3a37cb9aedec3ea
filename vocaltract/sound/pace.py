"""Speech time against the time in which it is heard: a playback's map, with bursts and taps left at natural speed."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.sound_rules import sound_rules

STILL_S = 1e-6  # a stretch of speech this short that takes film time is a hold


def transients_s(timeline: Timeline) -> list[tuple[float, float]]:
    """From when to when in speech something is so short that it is heard at natural speed, in order."""
    own = sound_rules().pace
    found = []
    for span in timeline.spans:
        if span.entry.manner == "tap":
            found.append((span.hold_s[0] - own.tap_around_s, span.hold_s[1] + own.tap_around_s))
        elif span.release_s is not None:
            found.append((span.release_s, span.release_s + own.burst_s))
    return sorted(found)


def with_transients(playback: Playback, spans_s: list[tuple[float, float]]) -> Playback:
    """The playback with stretches of speech (start, end) at natural speed, each begun when its picture begins.

    After one the sound is ahead of the picture; it waits until the picture has caught up. Where the picture stands
    still in a stretch, or runs as fast or faster, nothing is changed.
    """
    film, speech = playback.film_s, playback.speech_s
    knots: list[tuple[float, float]] = []
    free_from = -np.inf
    for number, (start, end) in enumerate(spans_s):
        after = spans_s[number + 1][0] if number + 1 < len(spans_s) else float(speech[-1])
        joins = min(end + (end - start) * sound_rules().pace.catches_up, after)
        begins_s, joins_s = _shown_s(playback, start), _shown_s(playback, joins)
        standing = np.any((np.diff(speech) < STILL_S) & (speech[:-1] > start) & (speech[:-1] < joins))
        if standing or start < max(free_from, speech[0]) or joins_s - begins_s <= joins - start or joins <= end:
            continue
        knots += [(begins_s, start), (begins_s + end - start, end), (joins_s, joins)]
        free_from = joins
    if not knots:
        return playback
    kept = [
        (f, s)
        for f, s in zip(film.tolist(), speech.tolist(), strict=True)
        if not any(a[0] <= f <= c[0] for a, c in zip(knots[::3], knots[2::3], strict=True))
    ]
    both = np.array(sorted([*kept, *knots]))
    return Playback(both[:, 0], both[:, 1], playback.dwells)


def _shown_s(playback: Playback, speech_s: float) -> float:
    """When in the film a time of speech is first shown."""
    rising = playback.speech_s + np.arange(len(playback.speech_s)) * 1e-12
    return float(np.interp(speech_s, rising, playback.film_s))


def heard_share(playback: Playback, times_s: Array) -> Array:
    """0..1 (n,) at film times (n,) that rise evenly: 0 where the picture stands still, faded at both ends."""
    still = np.flatnonzero(np.diff(playback.speech_s) < STILL_S)
    share = np.ones(len(times_s))
    fade = sound_rules().pace.fade_s
    for i in still:
        start, end = playback.film_s[i], playback.film_s[i + 1]
        if end - start <= 2 * fade:
            continue
        share = np.minimum(share, np.interp(times_s, [start, start + fade, end - fade, end], [1, 0, 0, 1]))
    return share
