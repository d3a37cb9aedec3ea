"""The roof of the mouth from below, for pairs whose difference a side view cannot show: what the page draws it from."""

from __future__ import annotations

from typing import Any

import numpy as np

from articulators.section import Section, section
from renders.insets import palate
from renders.page.outlines import Outlines
from renders.page.pack import Table, kept_points
from renders.page.shown import Pair, Shown
from renders.paper.picture import Fill, Op, Stroke
from renders.paper.style import load
from renders.wording.key_moments import key_moments
from vocaltract.motion.timeline import Timeline

STEP_MM = 0.25  # what distances from the midline are rounded to
PX_PER_MM = 10.0  # at which the parts that stay are asked for: lines are then as thick as in a picture
MOST_MOMENTS = 3
WITHIN_MM = 0.1
LINE_STEP_MM = 0.05


def wanted(pair: Pair, unseen: bool) -> bool:
    """Whether a pair is shown from below: its statement says so, or two consonants touch the roof otherwise."""
    if pair.told is None:
        return False
    if unseen:
        return True
    if any(half.timeline.spans[half.focus].entry.kind == "vowel" for half in pair.halves):
        return False
    words = [palate.contact_word(_section(half.timeline, _middle_s(half))) for half in pair.halves]
    return words[0] != words[1]


def tables(half: Outlines, prefix: str) -> list[Table]:
    """Where contact begins and ends beside the midline (frames, depths) in mm, nan for none; whether at the teeth."""
    begins, ends, teeth = [], [], []
    for part in half.parts:
        for i in range(part.posture.shape[0]):
            found = palate.contact(part.at(i))
            none = found.to_mm <= found.from_mm
            begins.append(np.where(none, np.nan, found.from_mm))
            ends.append(np.where(none, np.nan, found.to_mm))
            teeth.append(float(found.teeth))
    return [
        Table(prefix + "below_from", np.array(begins), STEP_MM, 1),
        Table(prefix + "below_to", np.array(ends), STEP_MM, 1),
        Table(prefix + "below_teeth", np.array(teeth)[:, None], 1.0),
    ]


def drawing(half: Outlines) -> tuple[dict[str, Any], Table]:
    """What of the view never changes: depths of the rows of contact, and areas and lines, back to front.

    A line is [role, width in mm or None for an area, opacity, closed, number of values]; the values, in mm, are the
    table: x to the side, y to the back, one line after the other.
    """
    top, bottom = -4.0, palate.numbers()["palate"]["seen_to"] + 1.5
    size = (66.0 * PX_PER_MM, (bottom - top) * PX_PER_MM)
    now = half.parts[0].at(0)
    ops = palate.contact_view(now, (0.0, 0.0, *size), load("light"))
    lines = [row for op in ops if not _of_contact(op) for row in _rows(op, size)]
    depth = palate.contact(now).depth_mm
    values = np.concatenate([points.ravel() for *_, points in lines])[None]
    told = {
        "depth": [round(float(depth[0]), 2), palate.STEP_MM],
        "box": [66.0, bottom - top],
        "middle": (top + bottom) / 2,
        "lines": [[role, width, opacity, closed, points.size] for role, width, opacity, closed, points in lines],
    }
    return told, Table("below_lines", values, LINE_STEP_MM, 2)


def moments(half: Shown) -> list[list[Any]]:
    """[time in s, what is touched] of the moments of the sound in question that are shown as stills."""
    shown = half.timeline
    times = [k.time_s for k in key_moments(shown, 8) if k.span_index == half.focus] or [_middle_s(half)]
    found: list[list[Any]] = []
    for time_s in times[:MOST_MOMENTS]:
        word = palate.contact_word(_section(shown, time_s))
        found.append([round(float(time_s), 5), "below_" + word.replace(" ", "_")])
    return found


def _middle_s(half: Shown) -> float:
    span = half.timeline.spans[half.focus]
    start, end = span.hold_s if span.entry.closes else (span.start_s, span.end_s)
    return (start + end) / 2


def _section(timeline: Timeline, time_s: float) -> Section:
    return section(timeline.head, timeline.posture(np.array([time_s]))).at(0)


def _of_contact(op: Op) -> bool:
    return getattr(op, "colour", "") in ("contact", "contact_edge", "air")


def _rows(op: Op, size: tuple[float, float]) -> list[tuple[Any, ...]]:
    if not isinstance(op, Fill | Stroke):
        return []
    width = round(op.width / PX_PER_MM, 2) if isinstance(op, Stroke) else None
    rows = []
    for points, closed in op.path.pieces():
        mm = (points - np.array(size) / 2) / PX_PER_MM
        mm = mm[kept_points(mm[None], WITHIN_MM)] if len(mm) > 3 else mm
        rows.append((op.colour, width, op.opacity, closed, mm))
    return rows
