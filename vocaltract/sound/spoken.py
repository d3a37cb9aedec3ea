"""A timeline heard: its areas, pressures and flows as a wave."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array, Indices
from articulators.posture import Posture
from articulators.section import section
from vocaltract.airway.air import speech_air
from vocaltract.airway.area_rules import area_rules
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.losses import Complex
from vocaltract.motion.timeline import Timeline
from vocaltract.sound import overlap_add, sources
from vocaltract.sound.sound_rules import Voice, sound_rules, voice_of
from vocaltract.sound.tract import Tract, exits, responses

AT_ONCE = 48
USUAL_VOICE = "man"


def default_melody_hz(timeline: Timeline, voice: Voice, times_s: Array) -> Array:
    begin, end = timeline.speech_s
    own = sound_rules().melody
    share = np.clip((times_s - begin) / max(end - begin, 1e-3), 0, 1)
    return voice.pitch_hz * (own.first_share + share * (own.last_share - own.first_share))


def wave(timeline: Timeline, voice: Voice | None = None, pitch_hz: Array | None = None, seed: int = 1) -> Array:
    voice = voice or voice_of(USUAL_VOICE)
    rules = sound_rules()
    rate = rules.sampling.rate_hz
    count = round(timeline.duration_s * rate)
    times = np.arange(count) / rate
    noise = np.random.default_rng(seed)
    coarse = np.arange(0, timeline.duration_s + 1e-3, 1e-3)
    signals = timeline.moment(coarse)

    def fine(track):
        return np.interp(times, coarse, track)

    across, mouth_pa = fine(signals.across_folds_pa), fine(signals.pressure_pa)
    mouth, glottis = fine(signals.mouth_cm2), fine(signals.glottis_cm2)
    on = fine(signals.voicing) >= 0.5
    folds = speech_air().glottis
    gap_mm = timeline.posture(coarse)["glottis_mm"]
    apart = np.clip(fine(gap_mm) / folds.voicing_gap_mm, 0, 1)
    melody = default_melody_hz(timeline, voice, times) if pitch_hz is None else pitch_hz
    melody = melody * unsteady(voice, times, noise)
    strength = sources.steadied(on, rate)
    area = np.minimum(glottis, folds.voicing_area_cm2)
    flow = area * np.sqrt(2 * np.maximum(across, 0) * 10 / 1.14e-3)
    size = strength * flow * rules.folds.peak_to_mean
    open_share = np.clip(voice.open_share + apart * rules.folds.apart_open_share, 0.3, 0.95)
    phases = sources.phase(melody, on, rate)
    voiced = sources.voiced(phases, open_share, apart, rate) * melody * size
    shape = sources.flow_shape(phases, open_share) * strength
    modulation = 1 + (shape - 0.5) * strength
    breath = sources.turbulence_dyn_cm2(across, glottis, 2 * glottis / (folds.length_mm / 10), rules.breath)
    breath *= modulation * noise.standard_normal(count)
    hiss = sources.turbulence_dyn_cm2(mouth_pa, mouth, np.sqrt(4 * mouth / np.pi), rules.hiss)
    hiss *= modulation * noise.standard_normal(count)
    let_go = np.maximum(-np.gradient(mouth_pa, 1 / rate), 0) * 10 * (mouth > 0)
    moments = moment_samples(timeline, rate)
    out = np.zeros(count + 4 * rules.sampling.response_samples)
    pad = 0
    tilt = lambda row: 1 / (1 + overlap_add.spectrum().s / (2 * np.pi * row.corner_hz))
    s = overlap_add.spectrum().s
    for first in range(1, len(moments) - 1, AT_ONCE):
        n = min(AT_ONCE, len(moments) - 1 - first)
        tract = tract_at(timeline, moments[first : first + n] / rate)
        r = responses(tract, s)
        hiss_r = r.hiss * sources.teeth_share(tract)[:, None]
        begins, shapes = overlap_add.windows(moments, first, n)
        through = [overlap_add.between(x) for x in (r.voice, r.breath * s * tilt(rules.breath), hiss_r * s * tilt(rules.hiss), r.hiss)]
        pieces = overlap_add.filtered((voiced, breath, hiss, let_go), through, begins, shapes)
        for at, piece in zip(begins, pieces):
            out[at : at + len(piece)] += piece
    lead = rules.sampling.lead_samples
    return out[lead : lead + count] * 1.14e-3 / (4 * np.pi * 30)


def unsteady(voice, times, noise):
    knots = np.arange(0, times[-1] + 0.1, 0.05)
    return 1 + voice.unsteady_share * np.interp(times, knots, noise.standard_normal(len(knots)))


def moment_samples(timeline: Timeline, rate: int) -> Indices:
    own = sound_rules().moments
    grid = np.arange(0, timeline.duration_s, own.step_s)
    lung = timeline.moment(grid).lung_pa
    keep = lung > own.silent_share * speech_air().air.lung_pressure_pa
    keep = np.convolve(keep, [1, 1, 1], "same") > 0
    edges = [t + d for c in timeline.closures for t in (c.start_s, c.end_s) for d in (-own.edge_s, 0, own.edge_s)]
    found = np.unique(np.round(np.concatenate([grid[keep], edges]) * rate).astype(int))
    near = np.concatenate([[True], np.diff(found) > 0.0012 * rate])
    found = found[near]
    return np.concatenate([[found[0] - 240], found, [found[-1] + 240]]).clip(0)


def tract_at(timeline: Timeline, times: Array) -> Tract:
    rules = sound_rules()
    shown = section(timeline.head, timeline.posture(times))
    areas = tract_areas(shown)
    n = rules.tube.sections
    m = len(times)
    per = areas.area_cm2.shape[1] // n
    area = np.maximum(areas.area_cm2.reshape(m, n, per).mean(axis=2), rules.tube.shut_cm2)
    least = areas.least_cm2.reshape(m, n, per).min(axis=2)
    area = np.where(least <= 0, rules.tube.shut_cm2, area)
    length = areas.total_cm / n
    sig = timeline.moment(times)
    velum = shown["velum"]
    tip = np.take_along_axis(velum, np.argmin(velum[..., 1], axis=1)[:, None, None], axis=1)
    near = np.argmin(np.linalg.norm(areas.midline_mm - tip, axis=2), axis=1)
    port = np.clip(near // per, 2, n - 3)
    first = int(np.ceil((area_rules().larynx.up_to) / 0.45))
    at = exits(least, first)
    lips_at = areas.lips_at.reshape(m, n, per).any(axis=2)
    return Tract(length, area, sig.glottis_cm2, sig.across_folds_pa, port, sig.port_cm2, at, lips_at)
