"""A timeline: what the whole tract does over the time of an utterance.

A frozen value that gives posture, air and voice as arrays at any array of times. Closures in it are measured
on the sections it gives, so that the picture, the strip under it and the air agree.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from articulators.curves import Array, Bools
from articulators.errors import BadInput, nearest
from articulators.head import Head
from articulators.posture import Posture, part_index
from articulators.section import section
from vocaltract.airway import breath
from vocaltract.airway.air import Organ, speech_air
from vocaltract.airway.gaps import Gaps, gaps
from vocaltract.motion import folds
from vocaltract.motion.closures import ORGANS, Closure, closures, settled
from vocaltract.motion.heard import HeardVoice, Leading
from vocaltract.motion.led import begins_s, hurried, led, met
from vocaltract.motion.limits import folds_together, motion_limits, vibrates
from vocaltract.motion.schedule import Schedule, Span, schedule
from vocaltract.motion.timing import timing
from vocaltract.motion.tracks import mouth_tracks
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.words.utterance import Sound, Utterance

TRACK_STEP_S = 0.001
SECTION_STEP_S = 0.004
REST_STEP_S = 0.012  # while the mouth opens from rest or goes back to it, nothing is said that is short
REST_S = 0.12  # so long before and after speech
VOICE_FADE_S = 0.012
GAPS_AT_ONCE = 256  # sections measured in one call: what bounds the memory a long text takes
WALLS = ("active", "passive", "hard")
SERIES = (
    "pressure_share", "pressure_pa", "mouth_ml_s", "nose_ml_s", "glottis_ml_s", "voice", "lips_mm", "coronal_mm",
    "dorsal_mm", "port_mm", "lung_pa", "glottis_cm2", "mouth_cm2", "port_cm2", "felt_throat", "felt_contact",
)  # fmt: skip
FIELDS = ("lips", "teeth", "coronal", "dorsal", "port", "throat", "sides", "leaf")


@dataclass(frozen=True)
class Signals:
    """Air and voice at times (n,): see `breath.Air`.

    pressure_share (0..1 of lung pressure), pressure_pa (above the folds, over the outside), mouth_ml_s, nose_ml_s,
    glottis_ml_s; voice 0..1, faded, for drawing; gaps of the lips, front and back of the tongue, and of the port.
    lung_pa            pressure below the folds
    glottis_cm2        opening between the folds, its mean while they vibrate
    mouth_cm2, port_cm2    narrowest opening of the mouth, opening to the nose
    voicing            1 where the folds vibrate, 0 where not; voice is 0.5 or more exactly there
    felt_throat        0..1: vibration felt with a hand on the throat
    felt_contact       0..1: vibration felt where the mouth is shut or narrow; 0 in open vowels
    """

    pressure_share: Array
    pressure_pa: Array
    mouth_ml_s: Array
    nose_ml_s: Array
    glottis_ml_s: Array
    voice: Array
    lips_mm: Array
    coronal_mm: Array
    dorsal_mm: Array
    port_mm: Array
    lung_pa: Array
    glottis_cm2: Array
    mouth_cm2: Array
    port_cm2: Array
    voicing: Array
    felt_throat: Array
    felt_contact: Array

    @property
    def mouth_pressure_pa(self) -> Array:
        """Pressure (n,) behind the narrowest place or the closure, over the outside."""
        return self.pressure_pa

    @property
    def across_folds_pa(self) -> Array:
        """Pressure (n,) below the folds less that above them."""
        return self.lung_pa - self.pressure_pa


@dataclass(frozen=True)
class Timeline:
    """An utterance in time.

    speaker    who says it
    spans      its sounds with start, hold, release and voice onset, in seconds
    closures   when the mouth is shut and by which organ, measured
    speech_s   when speech begins and ends; duration_s the whole length with rest before and after
    leading    the recording that gave its times, where one did
    """

    utterance: Utterance
    speaker: Speaker
    spans: tuple[Span, ...]
    closures: tuple[Closure, ...]
    speech_s: tuple[float, float]
    duration_s: float
    alone: bool
    _times: Array
    _values: Array
    _moments: Array
    leading: Leading | None = None

    def posture(self, times_s: Array) -> Posture:
        """Postures (n,), read-only, at times (n,) in seconds; before 0 and after the end the mouth rests."""
        at = np.clip(np.asarray(times_s, dtype=float), 0, self.duration_s)
        return Posture(_interpolate(at, self._times, self._values))

    def moment(self, times_s: Array) -> Signals:
        """Air, voice and gaps at times (n,), read-only."""
        at = np.clip(np.asarray(times_s, dtype=float), 0, self.duration_s)
        columns = dict(zip(SERIES, _interpolate(at, self._times, self._moments).T, strict=True))
        voicing = np.array(vibrates(columns["voice"]), dtype=float)
        voicing.setflags(write=False)
        return Signals(**columns, voicing=voicing)

    def at(self, time_s: float) -> Signals:
        """Air, voice and gaps at one time, each a number: ``timeline.at(0.21).mouth_ml_s``."""
        return self.moment(np.asarray(time_s))

    @property
    def head(self) -> Head:
        """The head of the speaker."""
        return self.speaker.head

    @property
    def sounds(self) -> tuple[Sound, ...]:
        """The sounds in the order in which they are said; `spans` says when."""
        return self.utterance.sounds

    def span_at(self, time_s: float) -> Span | None:
        """The sound that is being said; None before the first and after the last."""
        for span in self.spans:
            if span.start_s <= time_s < span.end_s:
                return span
        return None


def _interpolate(at: Array, times_s: Array, rows: Array) -> Array:
    position = at / TRACK_STEP_S
    i = np.clip(position.astype(int), 0, len(times_s) - 2)
    share = (position - i)[..., None]
    found = rows[i] + share * (rows[i + 1] - rows[i])
    found.setflags(write=False)
    return found


def alone(symbol: str, target: str | None = None) -> Utterance:
    """An utterance of one sound by itself."""
    target = target or symbol
    sound = Sound(symbol, target, target, None, 0, 0, frozenset({"onset"}))
    from vocaltract.phonetics.inventory import entry_of

    entry = entry_of(target)
    if entry.kind == "vowel":
        sound = Sound(symbol, target, target, 1, 0, 0, frozenset({"nucleus"}))
    elif entry.is_stop and entry.name.endswith("no audible release"):
        sound = Sound(symbol, target, target, None, 0, 0, frozenset({"onset", "unreleased"}))
    elif entry.is_stop and not entry.voiced:
        sound = Sound(symbol, target, target, None, 0, 0, frozenset({"onset", "aspirated"}))
    return Utterance(symbol, (symbol,), (sound,), f"[{symbol}]", (), (0,))


def timeline(
    utterance: Utterance,
    speaker: Speaker | None = None,
    style: str = "citation",
    by_itself: bool = False,
    *,
    rate: float = 1.0,
    emphasis: Collection[int] = (),
    prevoiced: bool = False,
    walls: str = "active",
    heard: HeardVoice | None = None,
) -> Timeline:
    """The timeline of an utterance said by a speaker, the man where none is given.

    style      "citation" (single words) or "connected": which voice onset times are used
    by_itself  one sound alone, held long enough to be seen
    rate       tempo, 0.5 to 2, 1 = natural: longer or shorter sounds, lags and pauses, no sound below its minimum
    emphasis   places in `utterance.words` of the words that stand out: their stressed syllables last longer
    prevoiced  b d ɡ after silence with voice about 100 ms before the release; by default it starts just after
    walls      "active": the cavity is enlarged in voiced stops; "passive": it only gives; "hard": it does not, for
               comparison with measurements
    heard      a recording of the same sounds, which gives their times; rate and emphasis then change nothing

    BadInput for no sounds, an unknown style or kind of walls, a rate out of range, a word that is not there.
    """
    if walls not in WALLS:
        raise BadInput(f"walls '{walls}' are not known; allowed is {', '.join(WALLS)}" + nearest(walls, WALLS))
    plan = schedule(
        utterance, style, by_itself, rate=rate, emphasis=emphasis, prevoiced=prevoiced, speaker=speaker or man()
    )
    plan = plan if heard is None else led(plan, heard)
    head = plan.speaker.head
    count = int(np.ceil(plan.duration_s / TRACK_STEP_S)) + 1
    times = np.arange(count) * TRACK_STEP_S
    values = mouth_tracks(plan, times)

    def gaps_at(at: Array) -> Gaps:
        return gaps(section(head, Posture(_interpolate(np.asarray(at), times, values)), red=False))

    coarse = _grid(plan)
    measured = _measured(values, times, coarse, gaps_at)
    closed = closures(plan, coarse, measured, gaps_at)
    if heard is not None:
        utterance = replace(utterance, notes=(*utterance.notes, *hurried(plan, closed)))
        was, wanted = met(plan, closed, plan.duration_s)
        values = _interpolate(np.interp(times, wanted, was).clip(0, times[-1]), times, values).copy()
        coarse = np.interp(coarse, was, wanted)
        closed = tuple(
            replace(c, start_s=float(np.interp(c.start_s, was, wanted)), end_s=float(np.interp(c.end_s, was, wanted)))
            for c in closed
        )
    spans = settled(plan, closed)
    values[:, part_index("glottis_mm")] = folds.glottal_gap_mm(plan, spans, times)
    moments = _moments(plan, spans, closed, times, values, coarse, measured, walls)
    for array in (times, values, moments):
        array.setflags(write=False)
    return Timeline(
        utterance, plan.speaker, spans, closed, plan.speech_s, float(times[-1]), by_itself, times, values, moments,
        None if heard is None else Leading(heard, begins_s(plan, heard)),
    )  # fmt: skip


def _grid(plan: Schedule) -> Array:
    """Times (n,) at which sections are measured."""
    begin, end = (REST_STEP_S * round(t / REST_STEP_S) for t in (plan.speech_s[0] - REST_S, plan.speech_s[1] + REST_S))
    begin, end = max(begin, 0.0), min(end, plan.duration_s)
    parts = (0.0, begin, REST_STEP_S), (begin, end, SECTION_STEP_S), (end, plan.duration_s, REST_STEP_S)
    return np.concatenate([np.arange(*part) for part in parts])


def _measured(values: Array, times: Array, coarse: Array, gaps_at: object) -> Gaps:
    """Gaps on the coarse grid; moments of equal posture are measured once."""
    rows = _interpolate(coarse, times, values)
    rows = np.round(rows, 6)
    _, first, inverse = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    parts = [gaps_at(coarse[first[i : i + GAPS_AT_ONCE]]) for i in range(0, len(first), GAPS_AT_ONCE)]  # type: ignore[operator]
    inverse = inverse.ravel()
    return Gaps(*(np.concatenate([getattr(part, f) for part in parts])[inverse] for f in FIELDS))


def _moments(
    plan: Schedule,
    spans: tuple[Span, ...],
    closed: tuple[Closure, ...],
    times: Array,
    values: Array,
    coarse: Array,
    found: Gaps,
    walls: str,
) -> Array:
    def fine(name: str) -> Array:
        # the grid is coarser than a burst: an organ parts from where contact was measured to be broken
        edges = [t for c in closed if c.organ == name for t in (c.start_s, c.end_s)]
        at = np.concatenate([coarse, edges])
        order = np.argsort(at, kind="stable")
        return np.interp(times, at[order], np.concatenate([getattr(found, name), np.zeros(len(edges))])[order])

    smooth = Gaps(*(fine(f) for f in FIELDS))
    for c in closed:
        field = getattr(smooth, c.organ)
        field[(times >= c.start_s) & (times <= c.end_s)] = 0.0
    glottis, sides = values[:, part_index("glottis_mm")], values[:, part_index("sides_open")]
    areas = breath.openings(smooth, glottis, sides)
    for span in spans:
        if span.entry.symbol == "ʔ":
            areas.glottis[(times >= span.hold_s[0]) & (times <= span.hold_s[1])] = 0.0
    lungs = _lungs(plan, times)
    air = breath.breathe(times, areas, lungs, _compliance(spans, closed, times, walls))
    able = folds.set_to_vibrate(plan, spans, times)
    able &= folds_together(glottis)
    voice = _faded(breath.phonation(able, lungs - air.pressure_pa))
    felt_throat, felt_contact = breath.felt(voice, air.pressure_pa, areas)
    columns = {
        "pressure_share": air.share,
        "pressure_pa": air.pressure_pa,
        "mouth_ml_s": air.mouth_ml_s,
        "nose_ml_s": air.nose_ml_s,
        "glottis_ml_s": air.glottis_ml_s,
        "voice": voice,
        "lips_mm": np.minimum(smooth.lips, smooth.teeth),
        "coronal_mm": smooth.coronal,
        "dorsal_mm": smooth.dorsal,
        "port_mm": smooth.port,
        "lung_pa": lungs,
        "glottis_cm2": air.glottis_cm2,
        "mouth_cm2": areas.mouth,
        "port_cm2": areas.port,
        "felt_throat": felt_throat,
        "felt_contact": felt_contact,
    }
    return np.stack([columns[name] for name in SERIES], axis=-1)


def _lungs(plan: Schedule, times: Array) -> Array:
    # breath is let go once the first closure or narrowing is made, and dies down with the last sound, also at a pause
    own, share = timing().lungs, np.zeros(len(times))
    for group in plan.groups:
        first, last = group[0].entry, group[-1].entry
        obstructed = (first.closes or first.manner == "fricative") and not (plan.alone and first.voiced)
        early = own.early_open_s if not obstructed else (own.early_voiced_s if first.voiced else own.early_voiceless_s)
        rise = np.clip((times - group[0].start_s + early) / own.rise_s, 0, 1)
        over = own.over_hiss_s if last.manner == "fricative" and not plan.alone else own.over_s
        fall = np.clip((group[-1].end_s + over - times) / own.fall_s, 0, 1)
        share = np.maximum(share, np.minimum(rise, fall))
    return speech_air().air.lung_pressure_pa * share


def _compliance(spans: tuple[Span, ...], closed: tuple[Closure, ...], times: Array, walls: str) -> Array:
    """Of the cavity behind the closure, in m3 / Pa (n,); where two are made, the one farther back counts."""
    more = np.full(len(times), 0.0 if walls == "hard" else 1.0)
    for span in spans if walls == "active" else ():
        if (span.entry.is_stop or span.entry.manner in ("tap", "trill")) and span.entry.voiced:
            more[(times >= span.hold_s[0]) & (times <= span.hold_s[1])] = timing().enlarge.voiced_stop

    def of(organ: Organ) -> Array:
        gas, usual = breath.compliance_m3_pa(organ, hard=True), breath.compliance_m3_pa(organ)
        return gas + more * (usual - gas)

    found = of("coronal")
    for organ in ORGANS:
        for c in closed:
            if c.organ == organ:
                inside = (times >= c.start_s) & (times <= c.end_s)
                found[inside] = of(organ)[inside]
    return found


def _faded(on: Bools) -> Array:
    """A switch (n,) faded over VOICE_FADE_S, which `vibrates` reads back exactly."""
    width = 2 * round(VOICE_FADE_S / TRACK_STEP_S / 2) + 1
    soft = np.convolve(on.astype(float), np.ones(width) / width, mode="same")
    half = motion_limits().voice.vibrates_from
    return np.where(on, np.maximum(soft, half), np.minimum(soft, half - 1e-6))
