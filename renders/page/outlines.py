"""The lines of a timeline as tables of numbers: what the page's player lays ink along, at a stated rate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from articulators import outlines
from articulators.curves import Array, Bools, Indices
from articulators.head import Head
from articulators.posture import posture_of
from articulators.section import section
from renders.anatomy.ink import ink, line_stretch
from renders.anatomy.lines import InkLines, ink_lines, names_of
from renders.anatomy.plate import plate
from renders.marks.moment import Moment
from renders.marks.moments import moments
from renders.page.pack import Table, kept_points
from renders.page.settings import settings
from vocaltract.motion.timeline import Timeline

# laid over each other to compare two shapes, and not drawn otherwise
COMPARED = ("lower_incisor",)
FAN = "tongue_fibres"
# what moves fastest is packed at every frame, the others at every second one: a cubic between these is off by 0.2 mm at
# most; what is hinted at, pale, is told less finely
EXACT = ("tongue",)
FINELY = (*EXACT, "upper_lip", "lower_lip", "velum", "leaf", "chin_neck", "hyoid_middle")


@dataclass(frozen=True, eq=False)
class Sampled:
    """One timeline at a rate: its moments, and lines and samples of each.

    times_s   moments of the frames, from at most one frame before 0
    lines     by name (frames, points, 2) in mm, or (frames, lines, points, 2); nan where a frame has none
    samples   by line and name (frames,)
    """

    timeline: Timeline
    times_s: Array
    moments: tuple[Moment, ...]
    lines: Mapping[str, Array]
    samples: Mapping[str, Indices]

    @property
    def head(self) -> Head:
        """The head in the size in which it is drawn."""
        return self.moments[0].section.head


def rate_hz(timelines: Sequence[Timeline]) -> float:
    """Frames a second of a page: fewer for long texts, so that the file stays small."""
    look = settings().outlines
    return look.long_rate_hz if sum(t.duration_s for t in timelines) > look.long_s else look.rate_hz


def sampled(timeline: Timeline, through_s: float | None, rate: float) -> Sampled:
    """A timeline, one frame every 1 / rate seconds from 0 to its end, one of them at `through_s` (or 0)."""
    through_s = through_s or 0.0
    first = through_s - np.ceil(through_s * rate - 1e-9) / rate
    times = first + np.arange(int(np.ceil((timeline.duration_s - first) * rate)) + 1) / rate
    found = tuple(moments(timeline, times))
    drawn: dict[int, InkLines] = {}
    for now in found:
        if id(now.batch) not in drawn:
            drawn[id(now.batch)] = ink_lines(now.batch)
    of = [(drawn[id(now.batch)], now.number) for now in found]
    lines = {name: np.stack([one[name][number] for one, number in of]) for name in bent_names(found[0].section.head)}
    samples = {name: np.array([one.samples[name][number] for one, number in of]) for name in sample_names()}
    return Sampled(timeline, times, found, lines, samples)


def _along() -> list[str]:
    """Names of all lines that ink is laid along."""
    table = ink()
    return [line_stretch(piece).line for row in (*table.front_air, *table.organs) for piece in row.along]


def bent_names(head: Head) -> list[str]:
    """InkLines that differ from frame to frame in more than their place."""
    return [name for name in dict.fromkeys(_along()) if name not in still_lines(head)]


def sample_names() -> list[str]:
    """Samples of lines at which ink begins, ends or changes: "tongue tip"."""
    table = ink()
    rows = [*table.front_air, *table.organs]
    named = [rise.at for row in rows for rise in row.weights if " " in rise.at]
    return sorted({*named, *(name for row in rows for name in names_of(row.along))})


def still_lines(head: Head) -> dict[str, tuple[str, Array]]:
    """InkLines that only change their place, by name: what carries them, and their points (n, 2) at rest."""
    rest = ink_lines(section(head, posture_of()))
    found = {}
    for name in dict.fromkeys((*_along(), *COMPARED)):
        if name in outlines.ON_JAW:
            found[name] = "jaw", outlines.at_rest(head, name)
        elif name in outlines.ON_LARYNX:
            found[name] = "larynx", outlines.at_rest(head, name)
        elif name in outlines.FIXED:
            found[name] = "head", outlines.fixed(head, name)
        elif rest.found.get(name) is not None and rest.found[name].ndim == 2:
            found[name] = "head", rest.found[name]
    return found


def points_kept(items: Sequence[Sampled]) -> dict[str, Indices]:
    """Numbers of the points that are packed, by line: the same for all items, so that they can be laid over."""
    found = {}
    look = settings().outlines
    for name in packed_names(items[0]):
        lines = np.concatenate([item.lines[name] for item in items])
        runs = lines.reshape(-1, *lines.shape[-2:])
        whole = runs[~np.isnan(runs[:, 0, 0])]
        within_mm = look.within_mm if name in FINELY else look.pale_within_mm
        count = lines.shape[-2]
        found[name] = kept_points(whole, within_mm) if len(whole) and count > 3 else np.arange(count)
    return found


def packed_names(item: Sampled) -> list[str]:
    """InkLines that are packed point by point: all but the fan, which the player works out from the tongue."""
    return [name for name in item.lines if name != FAN]


def _every(name: str) -> int:
    """Every how many frames a line is packed."""
    return 1 if name in EXACT else settings().outlines.slow_every


def moving_tables(item: Sampled, kept: Mapping[str, Indices], prefix: str) -> list[Table]:
    """The tables of one item, their names beginning with `prefix`.

    A line by its name; "samples" (frames, samples) by number; "fan" where each fibre of the tongue begins and ends,
    nan where it is left out.
    """
    look = settings().outlines
    tables = []
    for name, numbers in kept.items():
        line = item.lines[name]
        step_mm = look.step_mm if name in FINELY else look.pale_step_mm
        some = line[:: _every(name), ..., numbers, :]
        tables.append(Table(prefix + name, some.reshape(len(some), -1), step_mm, 2))
    there: Bools = np.isfinite(np.asarray(item.lines[FAN])[..., 0])
    first, last = np.argmax(there, axis=-1), there.shape[-1] - 1 - np.argmax(there[..., ::-1], axis=-1)
    ends = np.where(np.asarray(there.any(axis=-1))[..., None], np.stack([first, last], axis=-1), np.nan)
    samples = np.stack([item.samples[name].astype(float) for name in sample_names()], axis=-1)
    return [
        *tables,
        Table(prefix + "samples", samples, 1.0),
        Table(prefix + "fan", np.asarray(ends, dtype=float).reshape(len(ends), -1), 1.0),
    ]


def line_tables(
    head: Head, kept: Mapping[str, Indices], shapes: Mapping[str, Array]
) -> tuple[dict[str, Any], list[Table]]:
    """How lines are read back, and tables of what they need.

    carried   by name: what carries a line whose points stand in "still_name"
    bent      by name: number of points, how many lines it is, every how many frames, 1 where all its points are needed,
              because it is smoothed; "kept_name" holds which points
    samples   names of the columns of "samples"        fan  how the tongue's fibres fan out
    """
    look, table = settings().outlines, ink()
    calm = {line_stretch(piece).line for row in table.organs if row.calm for piece in row.along}
    still = still_lines(head)
    tables = [Table(f"still_{name}", line.reshape(1, -1), look.still_step_mm, 2) for name, (_, line) in still.items()]
    tables += [Table(f"kept_{name}", numbers[None].astype(float), 1.0, 1) for name, numbers in kept.items()]
    bent = {
        name: [
            line.shape[-2], line.shape[1] if line.ndim == 4 else 0, _every(name), int(name in calm),
        ]
        for name, line in shapes.items()
        if name in kept
    }
    carried = {name: carrier for name, (carrier, _) in still.items()}
    hints = plate().tongue
    fan = hints.values()
    fan["genial"] = [float(at) for at in head.tongue.genial_upper]
    return {"carried": carried, "bent": bent, "samples": sample_names(), "fan": fan}, tables
