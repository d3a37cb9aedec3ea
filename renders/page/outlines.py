"""The outlines of a timeline as tables of numbers: what the page draws from, at a stated rate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from articulators import jaw, outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.posture import posture_of
from articulators.section import LIP_POINTS, Section, section
from renders.anatomy.fixed import crown, hints
from renders.marks.contact_lines import contact_line
from renders.marks.state import mark_states
from renders.page.pack import Table, kept_points
from renders.paper.strokes import anticlockwise, shifted
from vocaltract.airway.channel import channel, gridlines
from vocaltract.motion.timeline import Timeline

RATE_HZ, LONG_RATE_HZ = 100.0, 75.0  # outlines a second; where both texts together last longer than LONG_S
LONG_S = 3.0
SIGNAL_HZ = 200.0  # air, voice and gaps a second: a burst is shorter than one step of the outlines
STEP_MM = 0.06  # what coordinates are rounded to
WITHIN_MM = 0.055  # how far a point that is left out may lie from the line that is drawn
STILL_STEP_MM = 0.02
WALL_STEP_MM = 0.05
AT_ONCE = 128
RED_EDGE_MM = 0.15

PRESSED = ("tongue", "upper_lip", "lower_lip", "velum", "epiglottis", "chin_neck")
ON_JAW = tuple(outlines.ON_JAW)
ON_LARYNX = tuple(outlines.ON_LARYNX)
# what never moves and is drawn along: the skin's line, the way of the air through the nose, the gullet
FOLLOWED = ("profile", "nose_roof", "nose_floor", "rear_wall", "gullet")
TOUCHING = ("lips", "coronal", "dorsal")
# share of the points of a lip's outline at which the way it is drawn changes: end of the red, start of the skin
TURNS = {"upper_lip": (0.36, 0.70), "lower_lip": (0.30, 0.70)}

Kept = Mapping[str, "np.ndarray[Any, Any]"]


@dataclass(frozen=True)
class Outlines:
    """One timeline at a rate: its sections, and what goes with them (frames, ...).

    times_s   moments of the frames, from at most one frame before 0
    """

    timeline: Timeline
    times_s: Array
    parts: tuple[Section, ...]
    rate_hz: float = RATE_HZ

    def line(self, organ: str) -> Array:
        """Outline (frames, points, 2) in mm of a part that moves."""
        return np.concatenate([np.asarray(part.moving[organ]) for part in self.parts])


def rate_hz(timelines: Sequence[Timeline]) -> float:
    """Outlines a second of a page: fewer for long texts, so that the file stays small."""
    return LONG_RATE_HZ if sum(t.duration_s for t in timelines) > LONG_S else RATE_HZ


def frames(timeline: Timeline, through_s: float = 0.0, rate: float = RATE_HZ) -> Outlines:
    """The sections of a timeline, one every 1 / rate seconds from 0 to its end, one of them at `through_s`."""
    first = through_s - np.ceil(through_s * rate - 1e-9) / rate
    count = int(np.ceil((timeline.duration_s - first) * rate)) + 1
    times = first + np.arange(count) / rate
    parts = [section(timeline.head, timeline.posture(times[i : i + AT_ONCE])) for i in range(0, count, AT_ONCE)]
    return Outlines(timeline, times, tuple(parts), rate)


def points_kept(halves: Sequence[Outlines]) -> dict[str, Any]:
    """Numbers of the points that are packed, by organ: the same for all halves, so that they can be laid over."""
    found = {}
    for organ in PRESSED:
        lines = np.concatenate([half.line(organ) for half in halves])
        turns = [round(share * lines.shape[1]) for share in TURNS.get(organ, ())]
        found[organ] = kept_points(lines, WITHIN_MM, turns)
    return found


def moving_tables(half: Outlines, kept: Kept, prefix: str) -> list[Table]:
    """The tables of one half, their names beginning with `prefix`."""
    tables = []
    for organ in PRESSED:
        line = half.line(organ)[:, kept[organ]]
        tables.append(Table(prefix + organ, line.reshape(len(line), -1), STEP_MM, 2))
    hyoid = half.line("hyoid").mean(axis=1)
    tables.append(Table(prefix + "hyoid", hyoid, STEP_MM))
    for side in ("upper", "lower"):
        ends = _red_ends(half.line(f"{side}_lip"), half.line(f"{side}_red"))
        tables.append(Table(f"{prefix}{side}_red", ends, 0.001))
    tables += _walls(half, prefix)
    tables += _touches(half, prefix)
    tables += _signals(half.timeline, prefix)
    return tables


def _red_ends(lips: Array, reds: Array) -> Array:
    """Where the red begins and ends along a lip's outline (frames, 2), as shares of its length."""
    ends = np.full((len(lips), 2), np.nan)
    for i, (lip, red) in enumerate(zip(lips, reds, strict=True)):
        line = shapely.LineString(lip)
        points = shapely.points(red)
        on = points[shapely.distance(points, line) < RED_EDGE_MM]
        if len(on):
            at = shapely.line_locate_point(line, on, normalized=True)
            ends[i] = at.min(), at.max()
    return ends


def _walls(half: Outlines, prefix: str) -> list[Table]:
    lines = gridlines()
    start, along = lines.start, lines.along
    inner, outer = [], []
    for part in half.parts:
        way = channel(part)
        inner.append(((way.inner - start) * along).sum(axis=-1))
        outer.append(((way.outer - start) * along).sum(axis=-1))
    return [
        Table(prefix + "inner", np.concatenate(inner), WALL_STEP_MM, 1),
        Table(prefix + "outer", np.concatenate(outer), WALL_STEP_MM, 1),
    ]


def _touches(half: Outlines, prefix: str) -> list[Table]:
    """Where along its outline an organ touches (frames, 2), as shares of its length; nan while it does not."""
    used = {c.organ for c in half.timeline.closures}
    sides = half.timeline.posture(half.times_s)["sides_open"]
    if (sides > 0.5).any():
        used.add("coronal")
    tables = []
    for organ in TOUCHING:
        ends = np.full((len(half.times_s), 2), np.nan)
        moments = (part.at(i) for part in half.parts for i in range(part.posture.shape[0]))
        for i, now in enumerate(moments):
            if organ not in used or not _near_closure(half, organ, i, sides):
                continue
            line = contact_line(now, organ)
            if line is not None:
                whole = now["upper_lip" if organ == "lips" else "tongue"]
                at = [int(np.argmin(np.hypot(*(whole - end).T))) for end in (line[0], line[-1])]
                ends[i] = np.sort(at) / (len(whole) - 1)
        tables.append(Table(f"{prefix}touch_{organ}", ends, 0.0005))
    return tables


def _near_closure(half: Outlines, organ: str, frame: int, sides: Array) -> bool:
    time_s, reach_s = half.times_s[frame], 1.5 / half.rate_hz
    if organ == "coronal" and sides[frame] > 0.5:
        return True
    return any(c.organ == organ and c.start_s - reach_s <= time_s <= c.end_s + reach_s for c in half.timeline.closures)


# name -> step, in the order of `_signals`
SIGNALS = {
    "pressure": 0.002, "mouth": 1.0, "nose": 1.0, "glottis": 1.0, "voice": 0.005, "burst": 0.005, "breath": 0.005,
    "narrow": 1.0, "travel": 0.1, "folds_shut": 1.0, "folds": 0.02, "lips_gap": 0.02, "tip_gap": 0.02,
    "body_gap": 0.02, "port": 0.02, "aperture": 0.02, "rounded": 0.005, "spread": 0.005, "tucked": 0.005,
    "jaw": 0.005, "sides": 0.005, "larynx": 0.01,
}  # fmt: skip
FARTHEST_MM = 60.0


def _signals(timeline: Timeline, prefix: str) -> list[Table]:
    times = np.arange(int(np.ceil(timeline.duration_s * SIGNAL_HZ)) + 1) / SIGNAL_HZ
    states = mark_states(timeline, times, times)
    now, posture = timeline.moment(times), timeline.posture(times)
    rows = {
        "pressure": [s.pressure for s in states],
        "mouth": [s.mouth_ml_s for s in states],
        "nose": [s.nose_ml_s for s in states],
        "glottis": [s.glottis_ml_s for s in states],
        "voice": [s.voice for s in states],
        "burst": [s.burst for s in states],
        "breath": [s.breath for s in states],
        "narrow": [float(bool(s.narrow)) for s in states],
        "travel": [s.travel_mm for s in states],
        "folds_shut": [float(s.folds_shut) for s in states],
        "folds": [s.folds_mm for s in states],
        "lips_gap": now.lips_mm,
        "tip_gap": now.coronal_mm,
        "body_gap": now.dorsal_mm,
        "port": now.port_mm,
        "aperture": posture["aperture_mm"],
        "rounded": posture["rounded"],
        "spread": posture["spread"],
        "tucked": posture["tucked"],
        "jaw": posture["jaw_mm"],
        "sides": posture["sides_open"],
        "larynx": posture["larynx_mm"],
    }
    tables = []
    for name, step in SIGNALS.items():
        values = np.asarray(rows[name], dtype=float)[:, None]
        most = FARTHEST_MM if name.endswith("gap") or name == "port" else 30000 * step
        tables.append(Table(prefix + name, np.clip(values, -most, most), step))
    return tables


def still_tables(head: Head) -> list[Table]:
    """What never moves, and what moves only as a whole in the place it has at rest; one frame each."""
    lines: dict[str, Array] = {organ: outlines.fixed(head, organ) for organ in FOLLOWED}
    at_rest = outlines.linear(head, posture_of(jaw_mm=0.0, larynx_mm=0.0))
    lines |= {organ: at_rest[organ] for organ in (*ON_JAW, *ON_LARYNX)}
    lines["lower_crown"], lines["lower_root"] = crown(head, "lower_incisor", "lower_gum")
    lines["lower_marrow"] = shifted(anticlockwise(lines["mandible"]), 1.5 * hints()["bone"]["cortex_mm"], closed=True)
    across = gridlines()
    tables = [_still(f"still_{name}", line) for name, line in lines.items()]
    tables.append(Table("grid_start", across.start.reshape(1, -1), STILL_STEP_MM))
    tables.append(Table("grid_along", across.along.reshape(1, -1), 0.0002))
    return tables


def _still(name: str, line: Array) -> Table:
    kept = kept_points(line[None], 0.02)
    return Table(name, line[kept].reshape(1, -1), STILL_STEP_MM, 2)


def rig(head: Head) -> dict[str, Any]:
    """How the jaw turns, where the folds are and where the tongue's muscle fans out: numbers for the page."""
    hinge = head.jaw.hinge
    return {
        "hinge": [float(hinge[0]), float(hinge[1])],
        "radians_per_mm": float(jaw.opening_angle_rad(head, np.array(1.0))),
        "folds_height": head.larynx.vocal_fold_height,
        "genial": [float(v) for end in (head.tongue.genial_upper, head.tongue.genial_lower) for v in end],
        "hyoid_radius": 4.6,
    }


def turns(kept: Kept) -> dict[str, list[int]]:
    """Numbers among the packed points of a lip at which the way it is drawn changes."""
    whole = {"upper_lip": LIP_POINTS, "lower_lip": LIP_POINTS}
    return {
        organ: [int(np.searchsorted(kept[organ], round(share * whole[organ]))) for share in shares]
        for organ, shares in TURNS.items()
    }
