"""The outlines of a timeline as tables of numbers: what the page draws from, at a stated rate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from articulators import jaw, outlines
from articulators.curves import Array, Bools
from articulators.head import Head
from articulators.posture import posture_of
from articulators.section import LIP_POINTS, Section, section
from renders.anatomy.bone import crown, lower_marrow
from renders.anatomy.enlarged import drawn_section
from renders.marks.contact_lines import contact_line
from renders.marks.moment import travel_mm
from renders.page.pack import Table, kept_points
from renders.page.settings import settings
from vocaltract.airway.channel import channel, gridlines
from vocaltract.airway.limits import sides_open
from vocaltract.motion.instant import instants
from vocaltract.motion.phases import Course
from vocaltract.motion.timeline import Timeline

SECTIONS_AT_ONCE = 128  # sections in memory at a time

PRESSED = ("tongue", "upper_lip", "lower_lip", "velum", "epiglottis", "chin_neck")
CARRIED_BY_JAW = tuple(outlines.ON_JAW)
CARRIED_BY_LARYNX = tuple(outlines.ON_LARYNX)
# what never moves and is drawn along: the skin's line, the way of the air through the nose, the gullet
FOLLOWED = ("profile", "nose_roof", "nose_floor", "rear_wall", "gullet")
TOUCHING = ("lips", "coronal", "dorsal")

Kept = Mapping[str, "np.ndarray[Any, Any]"]


@dataclass(frozen=True)
class Outlines:
    """One timeline at a rate: its sections in the size in which they are drawn, and what goes with them (frames, ...).

    times_s   moments of the frames, from at most one frame before 0
    """

    timeline: Timeline
    times_s: Array
    parts: tuple[Section, ...]
    rate_hz: float

    @property
    def head(self) -> Head:
        """The head in the size in which it is drawn."""
        return self.parts[0].head

    def line(self, organ: str) -> Array:
        """Outline (frames, points, 2) in mm of a part that moves."""
        return np.concatenate([np.asarray(part.moving[organ]) for part in self.parts])


def rate_hz(timelines: Sequence[Timeline]) -> float:
    """Outlines a second of a page: fewer for long texts, so that the file stays small."""
    look = settings().outlines
    return look.long_rate_hz if sum(t.duration_s for t in timelines) > look.long_s else look.rate_hz


def sampled_outlines(timeline: Timeline, through_s: float | None, rate: float) -> Outlines:
    """The sections of a timeline, one every 1 / rate seconds from 0 to its end, one of them at `through_s` (or 0)."""
    through_s = through_s or 0.0
    first = through_s - np.ceil(through_s * rate - 1e-9) / rate
    count = int(np.ceil((timeline.duration_s - first) * rate)) + 1
    times = first + np.arange(count) / rate
    some = (times[i : i + SECTIONS_AT_ONCE] for i in range(0, count, SECTIONS_AT_ONCE))
    parts = [drawn_section(section(timeline.head, timeline.posture(at_s))) for at_s in some]
    return Outlines(timeline, times, tuple(parts), rate)


def points_kept(sampled: Sequence[Outlines]) -> dict[str, Any]:
    """Numbers of the points that are packed, by organ: the same for all items, so that they can be laid over."""
    found = {}
    for organ in PRESSED:
        lines = np.concatenate([item.line(organ) for item in sampled])
        turns = [round(share * lines.shape[1]) for share in _turns().get(organ, ())]
        found[organ] = kept_points(lines, settings().outlines.within_mm, turns)
    return found


def _turns() -> dict[str, tuple[float, float]]:
    look = settings().turns
    return {"upper_lip": look.upper_lip, "lower_lip": look.lower_lip}


def moving_tables(sampled: Outlines, kept: Kept, prefix: str) -> list[Table]:
    """The tables of one item, their names beginning with `prefix`."""
    tables, look = [], settings().outlines
    for organ in PRESSED:
        line = sampled.line(organ)[:, kept[organ]]
        tables.append(Table(prefix + organ, line.reshape(len(line), -1), look.step_mm, 2))
    hyoid = sampled.line("hyoid").mean(axis=1)
    tables.append(Table(prefix + "hyoid", hyoid, look.step_mm))
    for side in ("upper", "lower"):
        ends = _red_ends(sampled.line(f"{side}_lip"), sampled.line(f"{side}_red"))
        tables.append(Table(f"{prefix}{side}_red", ends, look.share_step))
    tables += _walls(sampled, prefix)
    tables += _touches(sampled, prefix)
    tables += _signals(sampled.timeline, prefix)
    return tables


def _red_ends(lips: Array, reds: Array) -> Array:
    """Where the red begins and ends along a lip's outline (frames, 2), as shares of its length."""
    ends = np.full((len(lips), 2), np.nan)
    for i, (lip, red) in enumerate(zip(lips, reds, strict=True)):
        line = shapely.LineString(lip)
        points = shapely.points(red)
        on = points[shapely.distance(points, line) < settings().outlines.red_edge_mm]
        if len(on):
            at = shapely.line_locate_point(line, on, normalized=True)
            ends[i] = at.min(), at.max()
    return ends


def _walls(sampled: Outlines, prefix: str) -> list[Table]:
    lines, step_mm = gridlines(sampled.head), settings().outlines.wall_step_mm
    start, along = lines.start, lines.along
    inner, outer = [], []
    for part in sampled.parts:
        way = channel(part)
        inner.append(((way.inner - start) * along).sum(axis=-1))
        outer.append(((way.outer - start) * along).sum(axis=-1))
    return [
        Table(prefix + "inner", np.concatenate(inner), step_mm, 1),
        Table(prefix + "outer", np.concatenate(outer), step_mm, 1),
    ]


def _touches(sampled: Outlines, prefix: str) -> list[Table]:
    """Where along its outline an organ touches (frames, 2), as shares of its length; nan while it does not."""
    used = {c.organ for c in sampled.timeline.closures}
    sides = sides_open(sampled.timeline.posture(sampled.times_s)["sides_open"])
    if sides.any():
        used.add("coronal")
    tables = []
    for organ in TOUCHING:
        ends = np.full((len(sampled.times_s), 2), np.nan)
        moments = (part.at(i) for part in sampled.parts for i in range(part.posture.shape[0]))
        for i, now in enumerate(moments):
            if organ not in used or not _near_closure(sampled, organ, i, sides):
                continue
            line = contact_line(now, organ)
            if line is not None:
                whole = now["upper_lip" if organ == "lips" else "tongue"]
                at = [int(np.argmin(np.hypot(*(whole - end).T))) for end in (line[0], line[-1])]
                ends[i] = np.sort(at) / (len(whole) - 1)
        tables.append(Table(f"{prefix}touch_{organ}", ends, settings().outlines.touch_step))
    return tables


def _near_closure(sampled: Outlines, organ: str, frame: int, sides: Bools) -> bool:
    time_s, reach_s = sampled.times_s[frame], 1.5 / sampled.rate_hz
    if organ == "coronal" and sides[frame]:
        return True
    return any(
        c.organ == organ and c.start_s - reach_s <= time_s <= c.end_s + reach_s for c in sampled.timeline.closures
    )


def _signals(timeline: Timeline, prefix: str) -> list[Table]:
    rate, steps = settings().outlines.signal_hz, settings().steps
    times = np.arange(int(np.ceil(timeline.duration_s * rate)) + 1) / rate
    found, posture, size = instants(Course(timeline), times), timeline.posture(times), timeline.head.size
    rows = {
        "pressure": [now.pressure_share for now in found],
        "mouth": [now.mouth_ml_s for now in found],
        "nose": [now.nose_ml_s for now in found],
        "glottis": [now.glottis_ml_s for now in found],
        "voice": [now.voice for now in found],
        "burst": [now.burst for now in found],
        "breath": [now.breath for now in found],
        "narrow": [float(now.friction) for now in found],
        "travel": travel_mm(timeline, times),
        "folds_shut": [float(now.glottal_catch) for now in found],
        "folds": [now.folds_mm for now in found],
        "lips_gap": [now.lips_mm for now in found],
        "tip_gap": [now.coronal_mm for now in found],
        "body_gap": [now.dorsal_mm for now in found],
        "port": [now.port_mm for now in found],
        "aperture": posture["aperture_mm"] / size,
        "rounded": posture["rounded"],
        "spread": posture["spread"],
        "tucked": posture["tucked"],
        "jaw": posture["jaw_mm"] / size,
        "sides": posture["sides_open"],
        "larynx": posture["larynx_mm"] / size,
    }
    tables = []
    for name, row in rows.items():
        step = float(getattr(steps, name))
        values = np.asarray(row, dtype=float)[:, None]
        most = steps.farthest_mm if name.endswith("gap") or name == "port" else 30000 * step
        tables.append(Table(prefix + name, np.clip(values, -most, most), step))
    return tables


def still_tables(head: Head) -> list[Table]:
    """What never moves, and what moves only as a whole in the place it has at rest; one frame each."""
    lines: dict[str, Array] = {organ: outlines.fixed(head, organ) for organ in FOLLOWED}
    at_rest = outlines.linear(head, posture_of(jaw_mm=0.0, larynx_mm=0.0))
    lines |= {organ: at_rest[organ] for organ in (*CARRIED_BY_JAW, *CARRIED_BY_LARYNX)}
    lines["lower_crown"], lines["lower_root"] = crown(head, "lower_incisor", "lower_gum")
    lines["lower_marrow"] = lower_marrow(head)
    across, look = gridlines(head), settings().outlines
    tables = [_still(f"still_{name}", line) for name, line in lines.items()]
    tables.append(Table("grid_start", across.start.reshape(1, -1), look.still_step_mm))
    tables.append(Table("grid_along", across.along.reshape(1, -1), look.grid_step))
    return tables


def _still(name: str, line: Array) -> Table:
    step_mm = settings().outlines.still_step_mm
    kept = kept_points(line[None], step_mm)
    return Table(name, line[kept].reshape(1, -1), step_mm, 2)


def rig(head: Head) -> dict[str, Any]:
    """How the jaw turns, where the folds are and where the tongue's muscle fans out: numbers for the page."""
    hinge = head.jaw.hinge
    return {
        "hinge": [float(hinge[0]), float(hinge[1])],
        "radians_per_mm": float(jaw.opening_angle_rad(head, np.array(1.0))),
        "folds_height": head.larynx.vocal_fold_height,
        "genial": [float(v) for end in (head.tongue.genial_upper, head.tongue.genial_lower) for v in end],
        "hyoid_radius": head.tongue.hyoid_radius_mm,
    }


def turns(kept: Kept) -> dict[str, list[int]]:
    """Numbers among the packed points of a lip at which the way it is drawn changes."""
    whole = {"upper_lip": LIP_POINTS, "lower_lip": LIP_POINTS}
    return {
        organ: [int(np.searchsorted(kept[organ], round(share * whole[organ]))) for share in shares]
        for organ, shares in _turns().items()
    }
