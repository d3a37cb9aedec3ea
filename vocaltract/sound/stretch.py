"""A recorded wave slowed or hurried along a film's time at its own pitch; bursts and taps stay as they were.

Between stretches that are copied whole, pieces of the wave are added up at even steps of film time, each taken from
where the film is, moved within less than a period so that it continues the piece before (overlap-add by waveform
similarity: Verhelst & Roelands, ICASSP 1993).
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from articulators.curves import Array
from vocaltract.motion.playback import Playback
from vocaltract.sound.pace import heard_share, with_transients
from vocaltract.sound.sound_rules import sound_rules


def stretched(samples: Array, rate_hz: int, playback: Playback, spans_s: list[tuple[float, float]]) -> Array:
    """A wave (n,) in time of speech as a film plays it (m,).

    spans_s  from when to when in speech the wave is copied as it is, in order
    """
    own = sound_rules().stretch
    pace = with_transients(playback, spans_s)
    out = np.zeros(round(pace.duration_s * rate_hz))
    if np.allclose(pace.film_s, pace.speech_s, atol=1e-9):
        out[: len(samples)] = samples[: len(out)]
        return out
    film, speech = pace.film_s, pace.speech_s
    whole = _copied(film, speech)
    edges = sorted({0.0, pace.duration_s, *(t for span in whole for t in span)})
    fade = round(own.joint_s * rate_hz)
    for start, end in pairwise(edges):
        first, last = round(start * rate_hz), round(end * rate_hz)
        if last - first < 1:
            continue
        at = round(float(np.interp(start, film, speech)) * rate_hz)
        if (start, end) in whole:
            piece = _cut(samples, at, last - first)
        else:
            until = round(float(np.interp(end, film, speech)) * rate_hz)
            times = np.arange(last - first) / rate_hz + start
            piece = _added_up(samples, rate_hz, (at, until), np.interp(times, film, speech) * rate_hz)
        out[first:last] += _faded(piece, fade)
    return out * np.interp(
        np.arange(len(out)) / rate_hz, times_s := np.arange(0, pace.duration_s, 1e-3), heard_share(pace, times_s)
    )


def _copied(film: Array, speech: Array) -> list[tuple[float, float]]:
    """Stretches of film time in which speech runs at natural speed."""
    rate = np.diff(speech) / np.maximum(np.diff(film), 1e-12)
    return [(float(film[i]), float(film[i + 1])) for i in np.flatnonzero(np.abs(rate - 1) < 1e-6)]


def _cut(samples: Array, start: int, count: int) -> Array:
    """Samples from a place on; silence where there are none."""
    found = np.zeros(count)
    first, last = max(start, 0), min(start + count, len(samples))
    if last > first:
        found[first - start : last - start] = samples[first:last]
    return found


def _faded(piece: Array, fade: int) -> Array:
    """A piece whose ends do not click."""
    k = min(fade, len(piece) // 2)
    if k:
        ramp = np.sin(np.linspace(0, np.pi / 2, k)) ** 2
        piece = piece.copy()
        piece[:k] *= ramp
        piece[-k:] *= ramp[::-1]
    return piece


def _added_up(samples: Array, rate_hz: int, within: tuple[int, int], places: Array) -> Array:
    """A stretch of film (n,), each sample of which is at a place (n,) of the wave, made from what lies `within`."""
    own = sound_rules().stretch
    size, reach, coarse = (round(s * rate_hz) for s in (own.window_s, own.reach_s, 1 / own.likeness_hz))
    hop = size // 2
    source = _cut(samples, within[0], within[1] - within[0])
    if len(source) < 2 or not np.any(source):
        return np.zeros(len(places))
    source = np.pad(source, size + reach)
    rough = source[::coarse]
    window = np.sin(np.arange(size) * np.pi / size) ** 2
    out = np.zeros(len(places) + 2 * size)
    before: int | None = None
    for centre in range(0, len(places) + hop, hop):
        wanted = int(places[min(centre, len(places) - 1)]) - within[0] + size + reach - hop
        begin = wanted
        if before is not None:
            begin = _alike(rough, before + hop, wanted, size, reach, coarse)
        begin = min(max(begin, 0), len(source) - size)
        out[centre : centre + size] += window * source[begin : begin + size]
        before = begin
    return out[hop : hop + len(places)]


def _alike(rough: Array, natural: int, wanted: int, size: int, reach: int, coarse: int) -> int:
    """Where near a wanted place the wave is most like what would naturally come next."""
    if abs(natural - wanted) <= coarse:
        return natural
    count, low = size // coarse, max(wanted - reach, 0) // coarse
    model = rough[natural // coarse : natural // coarse + count]
    field = rough[low : low + count + 2 * reach // coarse]
    if len(model) < count or len(field) <= count or not np.any(model):
        return wanted
    likeness = np.correlate(field, model, "valid")
    power = np.convolve(np.square(field), np.ones(count), "valid")
    best = int(np.argmax(likeness / np.sqrt(np.maximum(power, 1e-12))))
    return (low + best) * coarse
