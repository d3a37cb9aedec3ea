"""Everything that the page's script reads, as plain values ready for JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from articulators.curves import Array
from renders.page import air, drawn, outlines, palatogram, plate, signals, voice
from renders.page.difference import Compared, compared
from renders.page.instruction import differ_most_s, instructions
from renders.page.item_data import NumberedLines, event_s, item_data, usual_event
from renders.page.limits import drawn_from
from renders.page.outlines import Sampled
from renders.page.pack import Table, packed
from renders.page.settings import settings
from renders.page.subject import Subject
from renders.page.texts import as_row, texts_for
from renders.paper.style import load
from renders.wording.languages import language_of
from renders.wording.line import keys as keys_of
from renders.wording.shipped import languages

PREFIXES = ("a_", "b_")


@dataclass(frozen=True, eq=False)
class Content:
    """What a page holds: its subject, in a language at first. What differs is compared once."""

    subject: Subject
    language: str = "en"

    @cached_property
    def clips(self) -> tuple[Array, ...]:
        """What is heard of each item, samples (n,) at the rate of the page's clips."""
        return tuple(voice.clip_samples(item.timeline) for item in self.subject.items)

    @cached_property
    def difference(self) -> Compared | None:
        """What is said of two items; None for one."""
        return compared(self.subject)


def page_data(content: Content) -> tuple[bytes, dict[str, Any]]:
    """What the script reads: packed tables, and the rest: times in s, lines in mm of the head, texts by number."""
    items, difference = content.subject.items, content.difference
    texts = NumberedLines()
    rows = [item_data(item, texts) for item in items]
    usual = usual_event(rows)
    rate = outlines.rate_hz([item.timeline for item in items])
    both = zip(items, rows, strict=True)
    sampled = [outlines.sampled(item.timeline, event_s(row, usual), rate) for item, row in both]
    kept = outlines.points_kept(sampled)
    head = sampled[0].head
    still, plate_lines = plate.plate_drawing(head)
    lines, line_tables = outlines.line_tables(head, kept, sampled[0].lines)
    tables = [*line_tables, plate_lines, *air.grid_tables(head)]
    for prefix, row, frames in zip(PREFIXES, rows, sampled, strict=False):
        row["offset"] = float(frames.times_s[0])
        row["flows"], of_air = air.air_tables(frames, prefix)
        row["drawn"], of_marks = drawn.drawn_tables(frames, prefix)
        tables += [*outlines.moving_tables(frames, kept, prefix), *of_air, *of_marks]
        tables += signals.signal_tables(frames.timeline, prefix)
    for prefix, row, item, samples in zip(PREFIXES, rows, items, content.clips, strict=False):
        row["sound"] = voice.sound_data(item.timeline, samples)
        tables.append(voice.wave_table(samples, prefix))
    from_below = _palatogram(content, sampled, rows, tables)
    bytes_, index = packed(tables)
    told = instructions(content.subject)
    actions = [action for one in told for action in one.actions]
    keys = [*keys_of(texts.lines), *_keys_of_difference(difference, rows), *keys_of(actions)]
    playing = settings().playing
    played = {"speeds": playing.speeds, "least_loop_s": playing.least_loop_s, "box_mm": playing.box_mm}
    played |= {"before_s": playing.before_s, "after_s": playing.after_s, "fades_s": settings().marks.fades_s}
    return bytes_, {
        "rate": rate,
        "signal_rate": settings().outlines.signal_hz,
        "rig": signals.rig(head),
        "lines": lines,
        "marks": air.drawn_by(),
        "insets_mm": drawn.inset_sizes_mm(head),
        "index": index,
        "halves": rows,
        "usual": usual,
        "do": [one.as_data() for one in told],
        "opens_s": _opens_s(content.subject, rows, usual),
        "texts": [as_row(text) for text in texts.lines],
        "limits": drawn_from(),
        "playing": played,
        "stretching": voice.stretching(),
        "recording": voice.recording(),
        "plate": still,
        "palatogram": from_below,
        "difference": None if difference is None else _difference(difference),
        "language": content.language,
        "languages": {key: {"name": language_of(key).texts.language.name, "tag": language_of(key).tag}
                      for key in languages()},
        "messages": {key: texts_for(language_of(key), keys) for key in languages()},
        "roles": list(load("light").colours),
    }


def _palatogram(
    content: Content, sampled: Sequence[Sampled], rows: Sequence[dict[str, Any]], tables: list[Table]
) -> dict[str, Any] | None:
    """What of the palate from below never changes, None where not shown; its tables and moments join the others."""
    difference = content.difference
    if difference is None or not palatogram.from_below_wanted(content.subject, bool(difference.unseen)):
        return None
    still, lines = palatogram.palatogram_drawing(sampled[0])
    tables.append(lines)
    for prefix, frames, item, row in zip(PREFIXES, sampled, content.subject.items, rows, strict=True):
        tables += palatogram.tables(frames, prefix)
        row["palatogram"] = palatogram.touch_moments(item)
    return still


def _opens_s(subject: Subject, rows: Sequence[Mapping[str, Any]], usual: str) -> float | None:
    """When two items that are lined up differ most, s after the event; None for one."""
    if len(rows) != 2:
        return None
    first, second = (event_s(dict(row), usual) or 0.0 for row in rows)
    return differ_most_s(subject, (first, second))


def _difference(difference: Compared) -> dict[str, Any]:
    """What is said of two items, lines as rows."""
    said = {name: [as_row(one) for one in getattr(difference, name)] for name in ("plain", "technical", "unseen")}
    return {**said, "headline": as_row(difference.headline), "rows": difference.rows, "shared": difference.shared}


def _keys_of_difference(difference: Compared | None, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """Keys of what is said of two items, in sentences, in the table and beside the palate from below."""
    if difference is None:
        return []
    keys = [f"page.{value}" for row in difference.rows for value in (row["a"], row["b"]) if isinstance(value, str)]
    keys += [word for row in rows for _, word in row.get("palatogram", [])] + ["page.below_note"]
    return [*keys, *keys_of((difference.headline, *difference.plain, *difference.technical, *difference.unseen))]
