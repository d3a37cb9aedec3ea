"""What is said of the difference between the two items of a page, and the table of what is the same and what not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from renders.page.subject import Item, Subject
from renders.wording.line import Line, Lines
from renders.wording.pair_statement import statement_of
from vocaltract.airway.limits import sides_open
from vocaltract.motion.limits import folds_together
from vocaltract.pairs.difference import COMPARED_ORGANS, Difference, difference


@dataclass(frozen=True, slots=True)
class Compared:
    """What a page says of two items.

    headline, plain, technical, unseen   as in `wording.statement`
    rows      what was compared: {"part", "same", "a", "b", "unit"}; a and b are numbers, keys of messages, or None
    shared    how many kinds of sounds both texts have
    """

    headline: Line
    plain: Lines
    technical: Lines
    unseen: Lines
    rows: tuple[dict[str, Any], ...]
    shared: int


def compared(subject: Subject) -> Compared | None:
    """Two items compared at the sounds in question; None for a page of one text."""
    if subject.told is None:
        return None
    a, b = subject.items
    d = difference(a.timeline, b.timeline, (a.focus, b.focus))
    said = statement_of(subject.told, d)
    both = {s.sound.phoneme for s in a.timeline.spans} & {s.sound.phoneme for s in b.timeline.spans}
    return Compared(
        headline=said.headline,
        plain=said.plain,
        technical=said.technical,
        unseen=said.unseen,
        rows=tuple(_rows(d, a, b)),
        shared=len(both),
    )


def _rows(d: Difference, a: Item, b: Item) -> list[dict[str, Any]]:
    """Organ by organ, then voice, air and time."""
    m, n = d.first, d.second
    rows: list[dict[str, Any]] = []

    def row(part: str, same: bool, both: Sequence[Any], unit: str) -> None:
        rows.append({"part": part, "same": bool(same), "a": both[0], "b": both[1], "unit": unit})

    if m.organ or n.organ:
        # the same organ at another place: the place is what tells them apart
        placed = [item.timeline.spans[item.focus].entry.place for item in (a, b)]
        keys = [f"by_{x.organ or 'none'}" for x in (m, n)]
        if "place" in d.parts and keys[0] == keys[1] and placed[0] != placed[1]:
            row("where", False, [f"at_{place}" for place in placed], "key")
        else:
            row("place", "place" not in d.parts, keys, "key")
        row("contact", "contact" not in d.parts, [f"is_{x.contact}" for x in (m, n)], "key")
    for organ in COMPARED_ORGANS:
        row(organ, organ not in d.parts, (None, round(d.apart_mm[organ], 1)), "apart_mm")
    row("nose", "nose" not in d.parts, [_ml(x.nose_flow_ml_s) for x in (m, n)], "ml_s")
    if sides_open(max(m.sides_open, n.sides_open)):
        row("sides", "sides" not in d.parts, [f"sides_{_open(x.sides_open)}" for x in (m, n)], "key")
    row("folds", "folds" not in d.parts, [f"folds_{_apart(x.folds_mm)}" for x in (m, n)], "key")
    row("voice_held", "voice_held" not in d.parts, [round(100 * x.voiced_share) for x in (m, n)], "percent")
    if m.voice_onset_s is not None and n.voice_onset_s is not None:
        onsets = [round(1000 * x) for x in (m.voice_onset_s, n.voice_onset_s)]
        row("voice_onset", "voice_onset" not in d.parts, onsets, "ms_after")
    if m.release_s is not None or n.release_s is not None:
        row("release", "release" not in d.parts, [_let_go(x.release_s) for x in (m, n)], "key")
        row("puff", "puff" not in d.parts, [_ml(x.peak_flow_ml_s) for x in (m, n)], "ml_s")
    if m.vowel_s is not None and n.vowel_s is not None:
        row("vowel", "vowel" not in d.parts, [5 * round(200 * x) for x in (m.vowel_s, n.vowel_s)], "ms")
    return rows


def _ml(flow: float) -> int:
    return int(round(flow, -1))


def _open(share: float) -> str:
    return "open" if sides_open(share) else "shut"


def _apart(gap_mm: float) -> str:
    return "together" if folds_together(gap_mm) else "apart"


def _let_go(release_s: float | None) -> str:
    return "release_none" if release_s is None else "release_yes"
