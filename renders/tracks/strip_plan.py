"""Where the rows of a time strip lie, and which organs share a lane of closures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from articulators.errors import BadInput
from renders.paper.picture import Box
from vocaltract.motion.timeline import Timeline

RowChoice = Literal["all", "short"]
BEYOND_S = 0.25  # shown before and after speech


@dataclass(frozen=True)
class StripPlan:
    """Where each row lies, in px: (top, height), or None where it is not shown."""

    left: float
    right: float
    start_s: float
    end_s: float
    unit: float
    marker: tuple[float, float]
    sounds: tuple[float, float]
    voice: tuple[float, float]
    shut: tuple[float, float] | None
    air: tuple[float, float] | None
    ticks: tuple[float, float]
    lanes: tuple[tuple[str, ...], ...]

    def x(self, times_s: np.ndarray) -> np.ndarray:
        """Times in px; outside the shown stretch they lie outside the rows."""
        share = (times_s - self.start_s) / (self.end_s - self.start_s)
        return self.left + share * (self.right - self.left)

    def at(self, time_s: float) -> float:
        """One time in px."""
        return float(self.x(np.array(time_s)))

    def ends(self, start_s: float, end_s: float) -> tuple[float, float]:
        """Both ends of a stretch in px."""
        return self.at(start_s), self.at(end_s)


def strip_plan(timeline: Timeline, box: Box, rows: RowChoice) -> StripPlan:
    """Where the rows of a timeline's strip lie in a box; BadInput for other rows."""
    if rows not in ("all", "short"):
        raise BadInput(f"rows {rows!r} is unknown; allowed: all, short")
    x, y, w, h = box
    lanes = _lanes(timeline)
    shut = min(max(13.0 * len(lanes), 33.0), 39.0)
    weights = {"marker": 11.0, "sounds": 27.0, "voice": 15.0, "shut": shut, "air": 52.0 - shut, "ticks": 15.0}
    if rows == "short":
        weights = {"marker": 11.0, "sounds": 30.0, "voice": 18.0, "ticks": 15.0}
    gap = 2.0
    unit = h / (sum(weights.values()) + gap * (len(weights) + 1))
    at, tops = y + 0.5 * gap * unit, {}
    for name, high in weights.items():
        tops[name] = (at, high * unit)
        at += (high + gap) * unit
    begin, end = timeline.speech_s
    gutter = 88.0 * min(unit, 1.6) if rows == "all" else 62.0 * min(unit, 1.6)
    return StripPlan(
        left=x + gutter, right=x + w - 16.0 * min(unit, 1.6),
        start_s=max(0.0, begin - BEYOND_S), end_s=min(timeline.duration_s, end + BEYOND_S), unit=unit,
        marker=tops["marker"], sounds=tops["sounds"], voice=tops["voice"], shut=tops.get("shut"),
        air=tops.get("air"), ticks=tops["ticks"], lanes=lanes,
    )  # fmt: skip


def _nasal_sounds(timeline: Timeline) -> bool:
    return any(span.entry.manner == "nasal" for span in timeline.spans)


def _lanes(timeline: Timeline) -> tuple[tuple[str, ...], ...]:
    """Organs that are never shut at the same time share a lane; the nose has its own."""
    lanes: list[list[str]] = []
    for organ in ("lips", "coronal", "dorsal"):
        mine = [c for c in timeline.closures if c.organ == organ]
        if not mine:
            continue
        for lane in lanes:
            others = [c for c in timeline.closures if c.organ in lane]
            if not any(a.start_s < b.end_s and b.start_s < a.end_s for a in mine for b in others):
                lane.append(organ)
                break
        else:
            lanes.append([organ])
    if _nasal_sounds(timeline):
        lanes.append(["nose"])
    return tuple(tuple(lane) for lane in lanes)
