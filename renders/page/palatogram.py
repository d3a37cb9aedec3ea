"""What the tongue touches, on the palate from below: for pairs whose difference a side view cannot show."""

from __future__ import annotations

from typing import Any

import numpy as np

from articulators.section import Section, section
from renders.anatomy.enlarged import drawn_section
from renders.insets import palate
from renders.page.display_list import Scale, display_lines, rows_of, table_of
from renders.page.outlines import Sampled
from renders.page.pack import Table
from renders.page.settings import settings
from renders.page.subject import Item, Subject
from renders.paper.picture import Op
from renders.paper.style import load
from renders.wording.key_moments import key_moments
from vocaltract.motion.timeline import Timeline


def from_below_wanted(subject: Subject, unseen: bool) -> bool:
    """Whether two items are shown from below: a statement says so, or two consonants touch the palate otherwise."""
    if subject.told is None:
        return False
    if unseen:
        return True
    if any(item.timeline.spans[item.focus].entry.kind == "vowel" for item in subject.items):
        return False
    words = [palate.palate_word(_section(item.timeline, _middle_s(item))) for item in subject.items]
    return words[0] != words[1]


def tables(sampled: Sampled, prefix: str) -> list[Table]:
    """Where contact begins and ends beside the midline (frames, depths) in mm, nan for none; whether at the teeth."""
    begins, ends, teeth = [], [], []
    for now in sampled.moments:
        found = palate.palate_contact(now.section)
        none = found.to_mm <= found.from_mm
        begins.append(np.where(none, np.nan, found.from_mm))
        ends.append(np.where(none, np.nan, found.to_mm))
        teeth.append(float(found.teeth))
    step_mm = settings().palatogram.step_mm
    return [
        Table(prefix + "palatogram_from", np.array(begins), step_mm, 1),
        Table(prefix + "palatogram_to", np.array(ends), step_mm, 1),
        Table(prefix + "palatogram_teeth", np.array(teeth)[:, None], 1.0),
    ]


def palatogram_drawing(sampled: Sampled) -> tuple[dict[str, Any], Table]:
    """What of the view never changes: depths of the rows of contact, areas and lines, back to front, the rim of the
    front teeth where they are touched, and widths of the lines of contact.

    A line is as in `display_list.rows_of`, its width in mm; the values, in mm, are the table: x to the side, y to
    the back, one line after the other.
    """
    look = settings().palatogram
    bottom = sampled.head.arch.seen_to_mm + look.beyond_mm
    middle = (look.top_mm + bottom) / 2
    size = (look.wide_mm * look.px_per_mm, (bottom - look.top_mm) * look.px_per_mm)
    now = sampled.moments[0].section
    scale = Scale(look.within_mm, 1 / look.px_per_mm, look.px_per_mm, (size[0] / 2, size[1] / 2))
    ops = palate.contact_view(now, (0.0, 0.0, *size), load("light"))
    lines = display_lines([op for op in ops if not _of_contact(op)], scale)
    depth = palate.palate_contact(now).depth_mm
    edge_mm = palate.edge_px(look.px_per_mm, load("light")) / look.px_per_mm
    rim = palate.rim(sampled.head.arch)
    view = {
        "depth": [round(float(depth[0]), 2), palate.DEPTH_STEP_MM],
        "box": [look.wide_mm, bottom - look.top_mm],
        "middle": middle,
        "lines": rows_of(lines),
        "rim": [round(float(at), 2) for depth, aside in rim for at in (aside, depth - middle)],
        # only the outer half of the line around what is touched is seen
        "edge_mm": [edge_mm * share for share in (2 * palate.TOUCH_EDGE, *palate.RIM_EDGES)],
    }
    return view, table_of("palatogram_lines", lines, look.line_step_mm)


def touch_moments(item: Item) -> list[list[Any]]:
    """[time in s, key of what is touched] of the moments of the sound in question that are shown as stills."""
    timeline, most = item.timeline, settings()
    keys = key_moments(timeline, most.texts.most_moments)
    times = [key.time_s for key in keys if key.span_index == item.focus] or [_middle_s(item)]
    found: list[list[Any]] = []
    for time_s in times[: most.palatogram.most_moments]:
        found.append([round(float(time_s), 5), palate.palate_word(_section(timeline, time_s)).key])
    return found


def _middle_s(item: Item) -> float:
    span = item.timeline.spans[item.focus]
    start, end = span.hold_s if span.entry.closes else (span.start_s, span.end_s)
    return (start + end) / 2


def _section(timeline: Timeline, time_s: float) -> Section:
    return drawn_section(section(timeline.head, timeline.posture(np.array([time_s])))).at(0)


def _of_contact(op: Op) -> bool:
    return getattr(op, "colour", "") in ("contact", "contact_edge", "air")
