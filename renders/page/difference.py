"""What is said of the difference between the two items of a page, and the table of what is the same and what not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from renders.page.subject import Item, Subject
from renders.wording.line import Line, Lines
from renders.wording.pair_statement import statement_of
from vocaltract.airway.limits import sides_open
from vocaltract.motion.limits import folds_together
from vocaltract.motion.timeline import Timeline
from vocaltract.pairs.difference import ORGANS, Difference, difference, limits

LONGER_MS = 20.0  # vowels whose length differs by more are said to differ
PUFF_ML_S = 200.0  # flows after the release that differ by more are said to differ


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
        same = d.same_place or (m.organ == n.organ and d.place_apart_mm is None)
        # the same organ at another place: the place is what tells them apart
        placed = [item.timeline.spans[item.focus].entry.place for item in (a, b)]
        keys = [f"by_{x.organ or 'none'}" for x in (m, n)]
        if not same and keys[0] == keys[1] and placed[0] != placed[1]:
            row("where", False, [f"at_{place}" for place in placed], "key")
        else:
            row("place", same, keys, "key")
    touch = ["touch" if x.gap_mm <= 0 else "gap" if np.isfinite(x.gap_mm) else "none" for x in (m, n)]
    if m.organ or n.organ:
        row("contact", touch[0] == touch[1], [f"is_{how}" for how in touch], "key")
    apart = {"tongue": d.tongue_mm, "lips": d.lips_mm, "jaw": d.jaw_mm, "velum": d.velum_mm}
    for organ in ORGANS:
        off = round(apart[organ], 1)
        row(organ, organ not in d.moved, (None, off), "apart_mm")
    row("nose", not d.nose, [_ml(x.nose_flow_ml_s) for x in (m, n)], "ml_s")
    if sides_open(max(m.sides_open, n.sides_open)):
        row("sides", not d.sides, [f"sides_{_open(x.sides_open)}" for x in (m, n)], "key")
    row("folds", not d.folds, [f"folds_{_apart(x.folds_mm)}" for x in (m, n)], "key")
    shares = [round(100 * x.voiced_share) for x in (m, n)]
    row("voice_held", abs(shares[0] - shares[1]) <= 100 * limits()["voiced_share"], shares, "percent")
    if m.voice_onset_s is not None and n.voice_onset_s is not None:
        onsets = [round(1000 * x) for x in (m.voice_onset_s, n.voice_onset_s)]
        row("voice_onset", abs(onsets[0] - onsets[1]) <= limits()["voice_onset_ms"], onsets, "ms_after")
    if m.release_s is not None or n.release_s is not None:
        done = [_let_go(x.release_s) for x in (m, n)]
        row("release", done[0] == done[1], done, "key")
        flows = [_ml(m.peak_flow_ml_s), _ml(n.peak_flow_ml_s)]
        row("puff", abs(flows[0] - flows[1]) <= PUFF_ML_S, flows, "ml_s")
    vowels = [_vowel_ms(item.timeline, item.focus) for item in (a, b)]
    if vowels[0] is not None and vowels[1] is not None:
        row("vowel", abs(vowels[0] - vowels[1]) <= LONGER_MS, vowels, "ms")
    return rows


def _ml(flow: float) -> int:
    return int(round(flow, -1))


def _open(share: float) -> str:
    return "open" if sides_open(share) else "shut"


def _apart(gap_mm: float) -> str:
    return "together" if folds_together(gap_mm) else "apart"


def _let_go(release_s: float | None) -> str:
    return "release_none" if release_s is None else "release_yes"


def _vowel_ms(timeline: Timeline, focus: int) -> int | None:
    """Length of the sound in question if it is a vowel, else of the vowel of its syllable."""
    spans = timeline.spans
    here = spans[focus]
    near = [s for s in spans if s.entry.kind == "vowel" and s.sound.syllable == here.sound.syllable]
    chosen = here if here.entry.kind == "vowel" else near[0] if near else None
    return None if chosen is None else 5 * round(200 * (chosen.end_s - chosen.start_s))
