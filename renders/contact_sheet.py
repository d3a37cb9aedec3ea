"""The whole inventory on two sheets, in the chart layout of the trade: consonants by place and manner, vowels by
height and backness.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from articulators.errors import BadInput
from renders import anatomy, outputs, painter
from renders.film import timeline_of_sound
from renders.picture import Fill, Layer, Op, Picture, Stroke, Text
from renders.picture import Path as Shape
from renders.scene import moment, side_layers
from renders.still import key_time_s, still_picture
from renders.style import Style, load
from renders.typeface import width
from renders.view import View
from vocaltract.phonetics.inventory import SoundEntry, entries

CELL = (250.0, 236.0)
SIDE_PX, HEAD_PX = 150.0, 120.0
PLACES = (
    "bilabial",
    "labial-velar",
    "labiodental",
    "dental",
    "alveolar",
    "postalveolar",
    "palatal",
    "velar",
    "glottal",
)
MANNERS = ("plosive", "affricate", "nasal", "tap", "fricative", "approximant", "lateral approximant")
HEIGHTS = ("close", "near-close", "close-mid", "mid", "open-mid", "near-open", "open")
BACKNESS = ("front", "central", "back")
Progress = Callable[[int, int], None]


def sheet(kind: str, style: Style) -> Picture:
    """The sheet of all "consonants" or all "vowels"; BadInput for another kind."""
    if kind not in ("consonants", "vowels"):
        raise BadInput(f"sheet '{kind}' is not known; there are consonants and vowels")
    vowels = kind == "vowels"
    named: tuple[tuple[str, ...], tuple[str, ...]] = (BACKNESS, HEIGHTS) if vowels else (PLACES, MANNERS)
    cells: dict[tuple[str, str], list[SoundEntry]] = {}
    for entry in entries().values():
        if (entry.kind == "vowel") == vowels:
            where = tuple(entry.place.rsplit(" ", 1))[::-1] if vowels else (entry.place, entry.manner)
            cells.setdefault((str(where[0]), str(where[1])), []).append(entry)
    columns = tuple(c for c in named[0] if any(k[0] == c for k in cells))
    rows = tuple(r for r in named[1] if any(k[1] == r for k in cells))
    # voiced and voiceless of one place and manner share a mouth: one drawing, both symbols
    drawn = {key: _drawings(found) for key, found in cells.items()}
    wide = [max((len(drawn.get((c, r), ())) for r in rows), default=1) for c in columns]
    total = SIDE_PX + sum(max(n, 1) for n in wide) * CELL[0] + 30
    height = HEAD_PX + len(rows) * CELL[1] + 30
    layers: list[Layer] = []
    words: list[Op] = [Text(f"General American {kind}", 36, 58, style.size("title", "still"), "ink", "bold")]
    x = SIDE_PX
    for column, count in zip(columns, wide, strict=True):
        middle = x + max(count, 1) * CELL[0] / 2
        words.append(Text(column, middle, 98, style.size("second", "still"), "ink2", anchor="middle"))
        for number, row in enumerate(rows):
            for i, found in enumerate(drawn.get((column, row), ())):
                box = (x + i * CELL[0] + 6, HEAD_PX + number * CELL[1] + 6, CELL[0] - 12, CELL[1] - 12)
                layers += _cell(found, box, style)
        x += max(count, 1) * CELL[0]
    for number, row in enumerate(rows):
        y = HEAD_PX + (number + 0.5) * CELL[1]
        for i, part in enumerate(row.split(" ")):
            words.append(Text(part, SIDE_PX - 14, y + 24 * i, style.size("small", "still"), "ink2", anchor="end"))
    names = ", ".join(e.symbol for group in cells.values() for e in group)
    return Picture(
        total,
        height,
        "paper",
        (*layers, Layer("words", tuple(words))),
        title=f"General American {kind}",
        description=f"Side views of {names}, in chart order.",
    )


def _drawings(found: list[SoundEntry]) -> list[list[SoundEntry]]:
    groups: dict[tuple[str, ...], list[SoundEntry]] = {}
    for entry in found:
        groups.setdefault(entry.posture if entry.kind != "vowel" else (entry.symbol,), []).append(entry)
    return list(groups.values())


def _cell(found: list[SoundEntry], box: tuple[float, float, float, float], style: Style) -> list[Layer]:
    view = View(box, 1.62, (26.0, -14.0))
    shown = timeline_of_sound(found[0])
    now = moment(shown, key_time_s(shown))
    ground = Layer("ground", (Fill(anatomy.card(view, 8.0), "panel"),))
    symbols = "  ".join(e.symbol for e in found)
    size = 34.0
    tag = Shape.rectangle(box[0] + 8, box[1] + box[3] - 48, width(symbols, size, "bold") + 18, 40, 6)
    text: list[Op] = [
        Stroke(anatomy.card(view, 8.0), "rule", style.line("rule")),
        Fill(tag, "panel"),
        Text(symbols, box[0] + 17, box[1] + box[3] - 17, size, "ink", "bold"),
    ]
    organs = side_layers(now, view, style, air=False, voice=False)
    return [ground, anatomy.fixed_layer(shown.head, view, style), *organs, Layer("symbols", tuple(text))]


def write_all(
    out: Path, *, labels: str, style: str, ending: str = ".png", force: bool = False, progress: Progress | None = None
) -> dict[str, object]:
    """Write a still of every sound and the two sheets into a folder; returns what was written."""
    look = load(style)
    every = list(entries().values())
    slugs = outputs.unique_slugs([e.symbol for e in every])
    total = len(every) + 2
    with outputs.fresh_folder(out, force) as folder:
        for done, (entry, name) in enumerate(zip(every, slugs, strict=True)):
            picture = still_picture(entry, timeline_of_sound(entry), look, labels)
            painter.save(picture, folder / f"still-{name}{ending}", look)
            if progress is not None:
                progress(done + 1, total)
        for done, kind in enumerate(("consonants", "vowels")):
            painter.save(sheet(kind, look), folder / f"sheet-{kind}{ending}", look)
            if progress is not None:
                progress(len(every) + done + 1, total)
    return {"stills": len(every), "sheets": 2}
