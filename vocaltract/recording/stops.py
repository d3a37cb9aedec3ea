"""Closure, burst and voice onset of a stop, on the wave, near where the recogniser has the sound."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import uniform_filter1d

from articulators.curves import Array
from vocaltract.recording.recording_rules import recording_rules
from vocaltract.recording.wave import WAVE_STEP_S, WaveTracks


@dataclass(frozen=True, slots=True)
class HeardStop:
    """A stop on the wave, in seconds.

    closure_s    when it is heard to be shut       release_s   when it is let go; None: no burst is heard
    burst_db     by how much the burst rises       voiced      whether voice goes on through all of the hold
    """

    closure_s: float
    release_s: float | None
    burst_db: float
    voiced: bool


def heard_stop(
    tracks: WaveTracks, start_s: float, end_s: float, *, first: bool = False, earliest_s: float = 0.0,
    latest_s: float = float("inf"),
) -> HeardStop:
    """The stop that the recogniser has from `start_s` to `end_s`.

    first                 it begins a group of sounds between pauses: its closure is not heard to begin
    earliest_s, latest_s  no burst is looked for before or after: those of neighbours
    """
    own = recording_rules().stop
    hiss, body = tracks.hiss_db, tracks.body_db
    early = tracks.at(max(start_s - own.before_s / 2, earliest_s))
    late = tracks.at(min(end_s + own.before_s / 2, latest_s))
    if late - early < 4:
        return HeardStop(start_s, None, 0.0, False)
    rise = np.where(np.maximum(hiss, body) > tracks.level_db.max() - own.heard_db, _rise(hiss, body), 0.0)
    width = round(own.quiet_s / WAVE_STEP_S)
    smooth = uniform_filter1d(hiss + body, width)
    quiet = early + _quietest(smooth[early:late], rise[early:late], own.rise_db)
    found = rise[quiet:late]
    steepest = float(found.max(initial=0.0))
    release: int | None = None
    if steepest >= own.rise_db:
        release = quiet + int(np.argmax(found >= max(own.rise_db, own.best_share * steepest)))
        release = _sharpest(hiss + body, release)
    closure = _closure(tracks, tracks.at(start_s), quiet, first)
    hold_end = release if release is not None else tracks.at(end_s)
    closure = min(closure, hold_end - round(own.least_closure_s / WAVE_STEP_S))
    voiced = _voiced(tracks, closure, hold_end)
    return HeardStop(closure * WAVE_STEP_S, None if release is None else release * WAVE_STEP_S, steepest, voiced)


def _sharpest(level: Array, near: int) -> int:
    """The millisecond of a burst: levels jump when their window, which reaches to both sides, first meets it."""
    reach = round(recording_rules().stop.rise_s / WAVE_STEP_S)
    first = max(near - reach // 2, 1)
    jumps = np.diff(level[first - 1 : near + 2 * reach])
    return first + int(np.argmax(jumps)) + round(recording_rules().bands.window_s / 2 / WAVE_STEP_S)


def _rise(hiss: Array, body: Array) -> Array:
    """By how many dB (n,) the levels rise from just before to just after, in both bands together."""
    own = recording_rules().stop
    k = round(own.rise_s / WAVE_STEP_S)
    found = np.zeros(len(hiss))
    for level, share in ((hiss, 0.6), (body, 0.4)):
        mean = uniform_filter1d(level, k)
        found += share * (np.roll(mean, -(k // 2 + 1)) - np.roll(mean, k // 2 + 1))
    return found


def _quietest(smooth: Array, rise: Array, least: float) -> int:
    """Where a closure is quietest: among places followed by a rise, if there is any."""
    order = np.argsort(smooth)
    for at in order[: max(len(order) // 2, 1)]:
        if rise[at:].max(initial=0.0) >= least:
            return int(at)
    return int(order[0])


def _closure(tracks: WaveTracks, start: int, quiet: int, first: bool) -> int:
    """When the closure is heard to begin: half of the way down from what comes before into it."""
    own = recording_rules().stop
    if first:
        return start
    body = np.maximum(tracks.body_db, tracks.hiss_db)
    begin = max(min(start, quiet) - round(own.before_s / WAVE_STEP_S), 0)
    before = float(np.percentile(body[begin : max(quiet, begin + 2)], 80))
    inside = float(body[quiet])
    level = inside + own.fall_share * (before - inside)
    above = np.flatnonzero(body[begin : quiet + 1] >= level)
    return begin + int(above[-1]) + 1 if len(above) else start


def _voiced(tracks: WaveTracks, start: int, end: int) -> bool:
    own = recording_rules().stop
    around = tracks.voice_db[max(start - 60, 0) : end + 60]
    inside = tracks.voice_db[start:end]
    if not len(inside):
        return False
    return bool(np.percentile(inside, 15) > np.percentile(around, 95) - own.voiced_hold_db)


def voice_ends_s(tracks: WaveTracks, start_s: float, end_s: float) -> float:
    """When voice is last as strong, in what begins at `start_s`, as it mostly is there; not after `end_s`."""
    a, b = tracks.at(start_s), tracks.at(end_s)
    inside = tracks.voice_db[a : b + 1]
    level = float(np.percentile(inside, 90)) - recording_rules().stop.voice_down_db
    return (a + int(np.flatnonzero(inside >= level)[-1])) * WAVE_STEP_S


def heard_voice_s(tracks: WaveTracks, release_s: float, vowel_end_s: float) -> float:
    """When voice begins after a release, before the end of what follows."""
    own = recording_rules().stop
    a, b = tracks.at(release_s), tracks.at(vowel_end_s)
    if b - a < 3:
        return release_s
    inside = tracks.voice_db[a:b]
    level = float(np.percentile(inside, 90)) - own.voice_down_db
    below = np.flatnonzero(inside < level)
    loud = int(np.argmax(inside >= np.percentile(inside, 90)))
    before = below[below < loud]
    return (a + (int(before[-1]) + 1 if len(before) else 0)) * WAVE_STEP_S
