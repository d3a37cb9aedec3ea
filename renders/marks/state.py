"""What the marks show at a moment, as numbers read from a timeline; no drawing here."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import numpy as np

from vocaltract.ipa.features import BELOW_THE_PORT
from vocaltract.motion.closures import Closure
from vocaltract.motion.instant import throat_gap_mm
from vocaltract.motion.phases import Course
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry


@cache
def numbers() -> Mapping[str, Any]:
    """data/marks.toml, parsed."""
    return tomllib.loads(resources.files("renders").joinpath("data/marks.toml").read_text(encoding="utf-8"))


def fraction(value: float) -> float:
    """A number held between 0 and 1."""
    return min(max(float(value), 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class MarkState:
    """Air, voice and contact at one moment.

    pressure   0..1 of lung pressure, above the folds      mouth_ml_s, nose_ml_s   flows out
    voice      0..1                                        folds_mm                gap of the folds
    closed     closures that hold now                      narrow_mm               narrowest gap that hisses, or None
    narrow     organ of that gap                           burst                   0..1, just after a release
    breath     0..1: air without voice                     travel_mm               how far the arrowheads have come
    drift      0..1: phase of the vibration marks (film time)
    glottis_ml_s   flow through the folds                  folds_shut   the folds hold the air back (glottal stop)
    felt_throat, felt_contact    0..1: vibration as a hand on the throat and the contact itself feel it
    """

    pressure: float
    mouth_ml_s: float
    nose_ml_s: float
    voice: float
    folds_mm: float
    closed: tuple[Closure, ...]
    narrow: str
    narrow_mm: float | None
    burst: float
    breath: float
    travel_mm: float
    drift: float
    voiced_contact: bool
    glottis_ml_s: float = 0.0
    folds_shut: bool = False
    felt_throat: float = 0.0
    felt_contact: float = 0.0


def mark_states(timeline: Timeline, times_s: np.ndarray, film_s: np.ndarray) -> list[MarkState]:
    """States at speech times (n,), shown at film times (n,)."""
    table = numbers()
    now = timeline.moment(times_s)
    folds = timeline.posture(times_s)["glottis_mm"]
    grid = np.arange(0, timeline.duration_s, 0.001)
    along = timeline.moment(grid)
    volume = np.concatenate([[0.0], np.cumsum(np.maximum(along.mouth_ml_s + along.nose_ml_s, 0) * 0.001)])
    travel = np.interp(times_s, np.append(grid, grid[-1] + 0.001), volume) * table["flow"]["travel_mm_per_ml"]
    begin, end = timeline.speech_s
    breath_full = table["jet"]["breath_full_ml_s"]
    course = Course(timeline)
    states = []
    for i, t in enumerate(times_s):
        closed = tuple(c for c in timeline.closures if c.start_s <= t < c.end_s)
        mouth = float(now.mouth_ml_s[i]) if begin - 0.15 <= t <= end + 0.2 else 0.0
        index, _ = course.at(float(t))
        sound = None if index is None else timeline.spans[index].entry
        narrow, gap = _narrow(now, i, mouth) if sound and _may_hiss(sound) else ("", None)
        if sound and sound.manner == "fricative" and sound.place in BELOW_THE_PORT[:2]:
            values = tuple(timeline.posture(np.array([t])).values[0])
            throat = throat_gap_mm(timeline.head, values)
            narrow, gap = ("dorsal", throat) if _hisses(throat, mouth) else ("", None)
        voice = float(now.voice[i])
        states.append(
            MarkState(
                pressure=float(now.pressure_share[i]),
                mouth_ml_s=mouth,
                nose_ml_s=float(now.nose_ml_s[i]) if begin - 0.05 <= t <= end + 0.1 else 0.0,
                voice=voice,
                folds_mm=float(folds[i]),
                closed=closed,
                narrow=narrow,
                narrow_mm=gap,
                burst=_burst(timeline, float(t), mouth),
                breath=fraction((0.4 - voice) / 0.4) * fraction(mouth / breath_full),
                travel_mm=float(travel[i]),
                drift=float((film_s[i] * table["voice"]["drift_hz"]) % 1.0),
                voiced_contact=bool(closed) and voice > table["voice"]["shown_above"],
                glottis_ml_s=float(now.glottis_ml_s[i]),
                folds_shut=_folds_hold(sound, float(folds[i]), voice),
                felt_throat=float(now.felt_throat[i]),
                felt_contact=float(now.felt_contact[i]),
            )
        )
    return states


def _may_hiss(sound: SoundEntry) -> bool:
    return sound.manner in ("fricative", "affricate", "lateral fricative") and sound.place != "glottal"


def _folds_hold(sound: SoundEntry | None, folds_mm: float, voice: float) -> bool:
    """Folds together without voice, for a glottal stop: the air is held under them."""
    catch = sound is not None and sound.place == "glottal" and sound.manner == "plosive"
    table = numbers()
    return catch and voice < table["voice"]["shown_above"] and folds_mm < table["flow"]["folds_shut_mm"]


def _hisses(gap_mm: float, mouth_ml_s: float) -> bool:
    table = numbers()["hiss"]
    return mouth_ml_s >= table["flow_ml_s"] and 0 < gap_mm < table["kept_share"] * table["gap_mm"]


def _narrow(now: Any, i: int, mouth_ml_s: float) -> tuple[str, float | None]:
    table = numbers()["hiss"]
    if mouth_ml_s < table["flow_ml_s"]:
        return "", None
    gaps = {
        "lips": float(now.lips_mm[i]),
        "coronal": float(now.coronal_mm[i]),
        "dorsal": float(now.dorsal_mm[i]),
    }
    organ = min(gaps, key=lambda k: gaps[k])
    return (organ, gaps[organ]) if 0 < gaps[organ] < table["kept_share"] * table["gap_mm"] else ("", None)


def _burst(timeline: Timeline, t: float, mouth_ml_s: float) -> float:
    """Strength of the burst: set by the flow, fading over the time it is shown."""
    table = numbers()
    lasts, fade = table["jet"]["burst_lasts_s"], table["jet"]["fade_s"]
    released = last_released(timeline, t)
    if released is None:
        return 0.0
    shown = fraction(1 - (t - float(released.release_s or 0.0) - lasts) / fade)
    return shown * fraction(mouth_ml_s / table["flow"]["full_ml_s"])


def last_released(timeline: Timeline, t: float) -> Span | None:
    """The stop that was let go of last, at or before a time in s; None where there is none."""
    gone = [s for s in timeline.spans if s.entry.is_stop and s.release == "oral" and s.release_s is not None]
    return max((s for s in gone if float(s.release_s or 0.0) <= t), key=lambda s: s.release_s or 0.0, default=None)
