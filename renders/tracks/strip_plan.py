"""Where the rows of a time strip lie, and which organs share a lane of closures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from articulators.errors import BadInput
from renders.paper.picture import Box
from renders.tracks.layout import tracks_layout
from vocaltract.motion.timeline import Timeline

RowChoice = Literal["all", "short"]


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
    wave: tuple[float, float] | None
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


def strip_plan(timeline: Timeline, box: Box, rows: RowChoice, wave: bool = False) -> StripPlan:
    """Where the rows of a timeline's strip lie in a box; `wave`: with one of what is heard, the rest then lower, with
    the same times at the same place. BadInput for other rows.
    """
    if rows not in ("all", "short"):
        raise BadInput(f"rows {rows!r} is unknown; allowed: all, short")
    x, y, w, h = box
    lanes, look, short = _lanes(timeline), tracks_layout().strip_rows, rows == "short"
    weights = {"marker": look.marker, "sounds": look.sounds[short], "voice": look.voice[short]}
    if not short:
        shut = min(max(look.lane * len(lanes), look.shut[0]), look.shut[1])
        weights |= {"shut": shut, "air": look.shut_and_air - shut}
    weights["ticks"] = look.ticks
    usual = h / (sum(weights.values()) + look.gap * (len(weights) + 1))
    if wave:
        ticks = weights.pop("ticks")
        weights |= {"wave": look.wave[short], "ticks": ticks}
    unit = h / (sum(weights.values()) + look.gap * (len(weights) + 1))
    at, tops = y + 0.5 * look.gap * unit, {}
    for name, high in weights.items():
        tops[name] = (at, high * unit)
        at += (high + look.gap) * unit
    begin, end = timeline.speech_s
    edge = min(usual, look.edge_most_px)
    return StripPlan(
        left=x + look.left[short] * edge, right=x + w - look.right * edge,
        start_s=max(0.0, begin - look.beyond_s), end_s=min(timeline.duration_s, end + look.beyond_s), unit=unit,
        marker=tops["marker"], sounds=tops["sounds"], voice=tops["voice"], shut=tops.get("shut"),
        air=tops.get("air"), wave=tops.get("wave"), ticks=tops["ticks"], lanes=lanes,
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
