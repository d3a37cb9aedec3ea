"""Everything that the page's script reads, as plain values ready for JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cached_property
from typing import Any

from renders.page import outlines, palatogram, plate
from renders.page.catalogue import LANGUAGES, TAGS, messages
from renders.page.difference import Compared, compared
from renders.page.item_data import Texts, event_s, item_data, usual_event
from renders.page.outlines import Outlines
from renders.page.pack import Table, as_text, packed
from renders.page.settings import settings
from renders.page.subject import Subject
from renders.page.translated import used
from renders.paper.style import load
from renders.wording import statement

PREFIXES = ("a_", "b_")


@dataclass(frozen=True, eq=False)
class Content:
    """What a page holds: its subject, in a language at first. What differs is compared once."""

    subject: Subject
    language: str = "en"

    @cached_property
    def difference(self) -> Compared | None:
        """What is said of two items; None for one."""
        return compared(self.subject)


def page_data(content: Content) -> dict[str, Any]:
    """What the script reads: times in s, lines in mm of the head, texts by number or key, tables packed."""
    items, difference = content.subject.items, content.difference
    texts = Texts()
    rows = [item_data(item, texts) for item in items]
    usual = usual_event(rows)
    rate = outlines.rate_hz([item.timeline for item in items])
    sampled = [outlines.frames(item.timeline, event_s(row, usual), rate) for item, row in zip(items, rows, strict=True)]
    for row, frames in zip(rows, sampled, strict=True):
        row["offset"] = float(frames.times_s[0])
    kept = outlines.points_kept(sampled)
    head = items[0].timeline.head
    still, lines = plate.drawing(head)
    tables = [*outlines.still_tables(head), lines]
    for prefix, frames in zip(PREFIXES, sampled, strict=False):
        tables += outlines.moving_tables(frames, kept, prefix)
    from_below = _palatogram(content, sampled, rows, tables)
    bytes_, index = packed(tables)
    keys = [*_keys_of_texts(texts), *_keys_of_difference(difference, rows)]
    playing = settings().playing
    played = {"speeds": playing.speeds, "least_loop_s": playing.least_loop_s, "box_mm": playing.box_mm}
    played |= {"before_s": playing.before_s, "after_s": playing.after_s}
    return {
        "rate": rate,
        "signal_rate": settings().outlines.signal_hz,
        "rig": outlines.rig(head),
        "turns": outlines.turns(kept),
        "index": index,
        "packed": as_text(bytes_),
        "halves": rows,
        "usual": usual,
        "texts": texts.rows,
        "burst_s": statement.texts()["limit"]["burst_ms"] / 1000,
        "playing": played,
        "plate": still,
        "palatogram": from_below,
        "difference": None if difference is None else asdict(difference),
        "language": content.language,
        "languages": {key: {"name": name, "tag": TAGS[key]} for key, name in LANGUAGES.items()},
        "messages": {key: _needed(messages(key), keys, key) for key in LANGUAGES},
        "roles": list(load("light").colours),
    }


def _palatogram(
    content: Content, sampled: Sequence[Outlines], rows: Sequence[dict[str, Any]], tables: list[Table]
) -> dict[str, Any] | None:
    """What of the palate from below never changes, None where not shown; its tables and moments join the others."""
    difference = content.difference
    if difference is None or not palatogram.wanted(content.subject, bool(difference.unseen)):
        return None
    still, lines = palatogram.drawing(sampled[0])
    tables.append(lines)
    for prefix, frames, item, row in zip(PREFIXES, sampled, content.subject.items, rows, strict=True):
        tables += palatogram.tables(frames, prefix)
        row["palatogram"] = palatogram.moments(item)
    return still


def _keys_of_texts(texts: Texts) -> list[str]:
    """Keys of what is said of moments, and of what stands in its blanks."""
    keys = [row["key"] for row in texts.rows if "key" in row]
    blanks = [value for row in texts.rows for value in row.get("fill", {}).values()]
    return keys + [key for value in blanks if isinstance(value, list) for key in value]


def _keys_of_difference(difference: Compared | None, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """Keys of what is said of two items, in sentences, in the table and beside the palate from below."""
    if difference is None:
        return []
    keys = [value for row in difference.rows for value in (row["a"], row["b"]) if isinstance(value, str)]
    keys += [word for row in rows for _, word in row.get("palatogram", [])] + ["below_note"]
    return keys + used([*difference.headline, *difference.plain, *difference.technical, *difference.unseen])


def _needed(tables: Mapping[str, Mapping[str, str]], keys: Sequence[str], language: str) -> dict[str, str]:
    """Texts of the page, phases, and of what is said of moments and pairs what these need (English has it)."""
    # of the places and of what is seen from below, only what is said
    some = {key for key in tables["ui"] if key.startswith(("at_", "below_")) and key not in ("at_ms", "below_title")}
    found = {key: text for key, text in tables["ui"].items() if key not in some or key in keys}
    found |= {f"phase_{key}": text for key, text in tables["phase"].items()}
    if language == "en":
        keys = [key for key in keys if key.partition(".")[0] in ("organ", "tongue")]
    for key in keys:
        kind, _, name = key.partition(".")
        if kind in tables and name in tables[kind]:
            found[key] = tables[kind][name]
    return found
