"""A timeline heard: its areas, pressures and flows as a wave, at natural speed or as a film plays it.

A slowed wave is not a natural one stretched: the mouth moves slowly, the folds vibrate at their own pitch. Memory grows
with the wave that comes out and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from articulators.curves import Array, Indices
from vocaltract.airway.air import speech_air
from vocaltract.airway.losses import Complex, medium
from vocaltract.motion.playback import Playback, constant
from vocaltract.motion.timeline import Timeline
from vocaltract.sound import overlap_add
from vocaltract.sound.melody import declining_hz
from vocaltract.sound.pace import heard_share, transients_s, with_transients
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.sources import TRACK_RATE_HZ, AirTracks, Sources, Strengths, sounding, strengths
from vocaltract.sound.tract import Tract, met_share, responses
from vocaltract.sound.tube import tract_at

AT_ONCE = 48  # moments worked out in one call: what bounds the memory a long text takes
SEED = 1


def spoken(
    timeline: Timeline,
    *,
    playback: Playback | None = None,
    pitch_hz: float | None = None,
    melody_hz: Array | None = None,
    seed: int = SEED,
) -> Array:
    """Sound pressure (n,) in dyn/cm2 at `heard_from_cm` from the lips, at `rate_hz` (data/sound.toml, [sampling]).

    playback   the film that it goes with; by default natural speed
    pitch_hz   of the voice; by default the speaker's own
    melody_hz  (m,) pitch at every millisecond of the timeline; by default a plain fall about that of the voice
    seed       of noise and unsteadiness: the same gives the same samples
    """
    played = constant(timeline.duration_s, 1.0) if playback is None else playback
    pace = with_transients(played, transients_s(timeline))
    rate = sound_rules().sampling.rate_hz
    at = pace.speech_time_s(np.arange(0, pace.duration_s, 1 / TRACK_RATE_HZ))
    if melody_hz is None:
        pitch = declining_hz(timeline, pitch_hz or timeline.speaker.voice.pitch_hz, at)
    else:
        pitch = np.interp(at, np.arange(len(melody_hz)) / TRACK_RATE_HZ, melody_hz)
    made = strengths(_air(timeline, pace, at, pitch), seed)
    count = round(pace.duration_s * rate)
    out = np.zeros(count + 2 * rate)
    for moments in _runs(timeline, pace):
        for first in range(0, len(moments) - 2, AT_ONCE):
            begins, pieces = _pieces(timeline, pace, made, moments[first : first + AT_ONCE + 2], seed)
            for begin, piece in zip(begins, pieces, strict=True):
                out[begin : begin + len(piece)] += piece
    lead = sound_rules().sampling.lead_samples
    return out[lead : lead + count] * medium().density / (4 * np.pi * sound_rules().sampling.heard_from_cm)


def _air(timeline: Timeline, pace: Playback, at: Array, pitch_hz: Array) -> AirTracks:
    """What the sources are made from, at times of speech (n,) that a film shows one millisecond after the other."""
    signals, gap = timeline.moment(at), timeline.posture(at)["glottis_mm"]
    return AirTracks(
        voicing=signals.voicing > 0,
        pitch_hz=pitch_hz,
        across_pa=signals.across_folds_pa,
        glottis_cm2=signals.glottis_cm2,
        apart=np.clip(gap / speech_air().glottis.voicing_gap_mm, 0, 1),
        mouth_pa=signals.pressure_pa,
        mouth_cm2=signals.mouth_cm2,
        mouth_ml_s=signals.mouth_ml_s,
        heard=heard_share(pace, np.arange(len(at)) / TRACK_RATE_HZ),
    )


def _runs(timeline: Timeline, pace: Playback) -> Iterator[Indices]:
    """Samples at which the tract is looked at, in runs (m,) between which nothing sounds.

    Closures are looked at more closely; the outer two of a run only bound its windows.
    """
    own, rate = sound_rules().moments, sound_rules().sampling.rate_hz
    grid = np.arange(0, pace.duration_s, own.step_s)
    rising = pace.speech_s + np.arange(len(pace.speech_s)) * 1e-12
    edges = [t + d for c in timeline.closures for t in (c.start_s, c.end_s) for d in (-own.edge_s, 0, own.edge_s)]
    film = np.sort(np.concatenate([grid, np.interp(edges, rising, pace.film_s)]))
    breathed = timeline.moment(pace.speech_time_s(film)).lung_pa > own.silent_share * speech_air().air.lung_pressure_pa
    samples = np.round(film[breathed] * rate).astype(int)
    samples = samples[np.concatenate([[True], np.diff(samples) > own.least_s * rate])] if len(samples) else samples
    step = round(own.step_s * rate)
    for run in np.split(samples, np.flatnonzero(np.diff(samples) > step + 1) + 1):
        if len(run):
            yield np.concatenate([[max(run[0] - step, 0)], run[run > 0], [run[-1] + step]])


def _pieces(timeline: Timeline, pace: Playback, made: Strengths, moments: Indices, seed: int) -> tuple[Indices, Array]:
    """Where pieces of the wave begin, and the pieces (m - 2, response_samples), for all moments but the outer two."""
    times = pace.speech_time_s(moments[1:-1] / sound_rules().sampling.rate_hz)
    shapes_s, place = _looked_at(times)
    tract = tract_at(timeline, shapes_s)
    begins, shapes = overlap_add.windows(moments)
    length = shapes.shape[1]
    sources = sounding(made, int(begins[0]), int(begins[-1] - begins[0]) + length, seed)
    index = (begins - begins[0])[:, None] + np.arange(length)
    shaped = shapes * overlap_add.spectrum().decay[:length]
    spectra = sum(
        overlap_add.heard_through(source[index] * shaped, _at(place, response))
        for source, response in _through(tract, sources)
    )
    return begins, overlap_add.in_time(np.asarray(spectra))


def _looked_at(times_s: Array) -> tuple[Array, Array]:
    """Times (n,) at which the tract is worked out, and where among them times of speech (m,) lie, as numbers of steps.

    In a slow film many moments lie so near each other in speech that the responses between two shapes serve them all.
    """
    steps = np.floor(times_s / sound_rules().moments.speech_step_s)
    first = np.flatnonzero(np.diff(steps, prepend=-1.0) > 0)
    found = np.unique(np.append(times_s[first], times_s[-1]))
    return found, np.interp(times_s, found, np.arange(len(found)))


def _at(place: Array, response: Complex) -> Complex:
    """Responses (m, k) between those (n, k) of shapes, at places (m,) in steps."""
    low = np.minimum(place.astype(int), len(response) - 1)
    high = np.minimum(low + 1, len(response) - 1)
    return np.asarray(response[low] + (place - low)[:, None] * (response[high] - response[low]))


def _through(tract: Tract, sources: Sources) -> tuple[tuple[Array, Complex], ...]:
    """Every source, and what it is heard through (m, k). Noise is given as pressure, flow as its change."""
    breath, hiss, s = sound_rules().breath, sound_rules().hiss, overlap_add.spectrum().s
    through = responses(tract, s)
    at_folds = through.breath * s * overlap_add.corner(breath.corner_hz)
    ahead = through.hiss * s * overlap_add.corner(hiss.corner_hz) * met_share(tract)[:, None]
    return (
        (sources.voice, through.voice),
        (sources.breath, at_folds),
        (sources.hiss, ahead),
        (sources.let_go, through.let_go),
    )
