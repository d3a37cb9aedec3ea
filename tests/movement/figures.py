"""Speeds of many texts as figures beside their limits (tests/reference/speeds_of_movement.csv)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from articulators.posture import Posture
from tests.movement.points import APART_MM, STEP_S, Movement, movements, peak_acceleration_m_s2, points, speeds
from tests.reference.published import Figure, speed
from tests.sweep.faults import phrases, words
from vocaltract.motion.schedule import schedule
from vocaltract.motion.tracks import mouth_tracks
from vocaltract.words.text.transcribe import read

WORDS, PHRASES = 200, 40


@dataclass(frozen=True)
class Peaks:
    """Peak speeds of a text by point in mm/s, of its lower lip the acceleration, and movements of tip and palate."""

    text: str
    mm_s: dict[str, float]
    lip_m_s2: float
    tip: tuple[Movement, ...]
    palate: tuple[Movement, ...]


def texts() -> tuple[str, ...]:
    """WORDS of the commonest words, evenly spread, and PHRASES phrases: always the same ones."""
    listed, said = words(), phrases()
    return listed[:: len(listed) // WORDS][:WORDS] + said[:: len(said) // PHRASES][:PHRASES]


def peaks(text: str, rate: float = 1.0) -> Peaks:
    """The peaks of a text said by the man at a tempo, a phrase in running speech, as pictures and films say it."""
    utterance = read(text)
    plan = schedule(utterance, "citation" if len(utterance.words) == 1 else "connected", rate=rate)
    times = np.arange(0.0, plan.duration_s, STEP_S)
    posture = Posture(mouth_tracks(plan, times))
    spoken = (times >= plan.speech_s[0]) & (times <= plan.speech_s[1])
    paths = points(plan.speaker.head, posture)
    apart = posture["aperture_mm"] > APART_MM
    return Peaks(
        text,
        {name: float(speeds(path).max()) for name, path in paths.items()},
        peak_acceleration_m_s2(paths["lower_lip"], apart),
        movements(paths["tip"]),
        movements(paths["palate"][spoken]),
    )


def figures(found: Iterable[Peaks]) -> dict[str, float]:
    """Figures of all texts by the ids of their limits."""
    every = tuple(found)

    def of(name: str) -> list[float]:
        return [one.mm_s[name] for one in every]

    tip, palate = ([m for one in every for m in getattr(one, name)] for name in ("tip", "palate"))
    return {
        "tip_median": float(np.median(of("tip"))),
        "tip_p90": float(np.percentile(of("tip"), 90)),
        "tip_most": max(of("tip")),
        "tip_movement": float(np.median([m.peak_mm_s for m in tip])),
        "back_most": max(of("back")),
        "lower_lip_most": max(of("lower_lip")),
        "jaw_most": max(of("jaw")),
        "palate_most": max(of("palate")),
        "palate_way": float(np.median([m.way_mm for m in palate])),
        "palate_time": 1000 * float(np.median([m.duration_s for m in palate])),
        "lower_lip_acceleration": float(np.percentile([one.lip_m_s2 for one in every], 90)),
    }


def outside(found: dict[str, float]) -> dict[str, tuple[float, Figure]]:
    """Figures beyond their limits."""

    def beyond(value: float, limit: Figure) -> bool:
        low = limit.low if limit.low is not None else -np.inf
        return not low <= value <= (limit.high if limit.high is not None else np.inf)

    return {key: (value, speed(key)) for key, value in found.items() if beyond(value, speed(key))}
