"""The whole inventory on sheets, in the chart layout of the trade: consonants by place and manner, vowels by height and
backness; narrow allophones as the consonants, with the nasalised vowels below.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TypeAlias

from articulators.errors import BadInput
from renders.anatomy import layers as anatomy
from renders.files.names import unique_slugs
from renders.files.outputs import Progress, fresh_folder
from renders.ink import painter
from renders.marks.moments import moment
from renders.paper.canvas import Canvas
from renders.paper.fitting import broken, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Picture, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.composed import WHOLE, Scope, side_view
from renders.sideview.overlay import second_stroke
from renders.stills.glide import end_section
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.stills.still import key_time_s, still_picture
from renders.wording.languages import Language, language_of
from renders.wording.line import Blank, Line, Series
from renders.wording.names import place_and_manner, vowel_place
from vocaltract.phonetics.inventory import SoundEntry, entries, narrow_variants
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.speech import say_alone

# Neighbours of the chart share a column or row where no two sounds meet there; each tile names its own place.
PLACES = (
    ("bilabial", "labiodental", "labial-velar"),
    ("dental",),
    ("alveolar",),
    ("postalveolar",),
    ("palatal",),
    ("velar",),
    ("glottal",),
)
MANNERS = (("plosive", "affricate"), ("nasal", "tap"), ("fricative",), ("approximant", "lateral approximant"))
HEIGHTS = (("close",), ("near-close",), ("close-mid", "mid", "open-mid"), ("near-open", "open"))
BACKNESS = (("front",), ("central",), ("back",))
KINDS = ("consonants", "vowels", "allophones")
Groups: TypeAlias = tuple[tuple[str, ...], ...]


def sheet(kind: str, style: Style, language: Language, speaker: Speaker | None = None) -> Picture:
    """The sheet of all "consonants", all "vowels" or the narrow "allophones" of a speaker, the man where none is given.

    BadInput for another kind.

    Diphthongs stand in a row of their own: the shape they start from, and the tongue they end with dashed. So do the
    vowels among the allophones.
    """
    if kind not in KINDS:
        raise BadInput(f"sheet '{kind}' is not known; there are {', '.join(KINDS)}")
    speaker = speaker or man()
    vowels = kind == "vowels"
    if kind == "allophones":
        found = list(narrow_variants().values())
        apart, apart_name = [e for e in found if e.kind == "vowel"], Line("sheet.nasalized")
    else:
        found = [e for e in entries().values() if (e.kind == "vowel") == vowels]
        apart = [e for e in found if vowels and len(e.posture) > 1]
        apart_name = Line("sheet.diphthongs")
    cells, columns, rows = _chart([e for e in found if e not in apart], vowels)
    # voiced and voiceless of one place and manner share a mouth: one drawing, both symbols
    tiles = {key: _drawings(inside, speaker) for key, inside in cells.items()}
    wide = [max(len(tiles.get((c, r), ())) for r in range(len(rows))) for c in range(len(columns))]
    look, across = still_layout().chart, max(sum(wide), len(apart))
    height = look.head_px + (len(rows) + bool(apart)) * look.cell_px[1] + look.edge_px
    layers: list[Layer] = []
    title = language.text(f"sheet.{kind}")
    words: list[Op] = [Text(title, 36, 62, style.size("title", "still"), "ink", "bold")]
    size = style.size("second", "still")
    at = 0
    for column, count in enumerate(wide):
        middle = look.side_px + (at + count / 2) * look.cell_px[0]
        name = language.say(_named(columns[column], vowels))
        fits = size_for(name, count * look.cell_px[0] - 14, size)
        words.append(Text(name, middle, 112, fits, "ink2", anchor="middle"))
        for row in range(len(rows)):
            for i, together in enumerate(tiles.get((column, row), ())):
                layers += _cell(together, _box(at + i, row), style, language, speaker)
        at += count
    for i, entry in enumerate(apart):
        layers += _cell([entry], _box(i, len(rows)), style, language, speaker)
    names: list[Blank] = [*(_named(row, vowels) for row in rows), *([apart_name] if apart else [])]
    for number, row_name in enumerate(names):
        words += _row_name(language.say(row_name), look.head_px + (number + 0.5) * look.cell_px[1], style)
    return Picture(
        look.side_px + across * look.cell_px[0] + look.edge_px,
        height,
        "paper",
        (*layers, Layer("words", tuple(words))),
        title=title,
        description=language.text("sheet.about", symbols=Series(tuple(e.symbol for e in found))),
    )


def _named(terms: tuple[str, ...], vowels: bool) -> Series:
    """Places, manners, heights or degrees of backness, as a list."""
    kinds = ("name_vowel",) if vowels else ("name_place", "name_manner")
    first = language_of()
    return Series(tuple(Line(f"{k}.{term}") for term in terms for k in kinds if term in first.rows(k)))


def _chart(found: list[SoundEntry], vowels: bool) -> tuple[dict[tuple[int, int], list[SoundEntry]], Groups, Groups]:
    """Sounds by column and row, and the names of those columns and rows that have any."""
    across, down = (BACKNESS, HEIGHTS) if vowels else (PLACES, MANNERS)
    placed = [(e, *(e.place.rsplit(" ", 1)[::-1] if vowels else (e.place, e.manner))) for e in found]
    columns = _used(across, {x for _, x, _ in placed})
    rows = _used(down, {y for _, _, y in placed})
    cells: dict[tuple[int, int], list[SoundEntry]] = {}
    for entry, x, y in placed:
        key = next(i for i, c in enumerate(columns) if x in c), next(i for i, r in enumerate(rows) if y in r)
        cells.setdefault(key, []).append(entry)
    return cells, columns, rows


def _used(groups: Groups, names: set[str]) -> Groups:
    kept = (tuple(name for name in group if name in names) for group in groups)
    return tuple(group for group in kept if group)


def _drawings(found: list[SoundEntry], speaker: Speaker) -> list[list[SoundEntry]]:
    groups: dict[tuple[str | bytes, ...], list[SoundEntry]] = {}
    for entry in found:
        shapes = (key.encode() if key == "next" else posture(key, speaker).values.tobytes() for key in entry.posture)
        groups.setdefault((entry.place, entry.manner, *shapes), []).append(entry)
    return list(groups.values())


def _box(column: int, row: int) -> Box:
    look = still_layout().chart
    wide, high = look.cell_px
    return look.side_px + column * wide + 6, look.head_px + row * high + 6, wide - 12, high - 12


def _row_name(name: str, y: float, style: Style) -> list[Op]:
    size, side_px = style.size("small", "still"), still_layout().chart.side_px
    lines = broken(name, side_px - 34, size)
    first = y - 0.5 * 1.2 * size * (len(lines) - 1)
    at = [(line, first + i * 1.2 * size) for i, line in enumerate(lines)]
    return [Text(line, side_px - 14, height, size, "ink2", anchor="end", baseline="middle") for line, height in at]


def _cell(found: list[SoundEntry], box: Box, style: Style, language: Language, speaker: Speaker) -> list[Layer]:
    x, y, w, h = box
    look = still_layout().chart
    foot = y + h - look.name_px
    view = View((x, y, w, h - look.name_px), look.scale_px_per_mm, look.middle_mm)
    alone = say_alone(found[0], speaker)
    now = moment(alone, key_time_s(alone))
    # a chart of shapes: no sound says by a mark of voice what its neighbours say by their symbol
    now = replace(now, instant=replace(now.instant, voice=0.0))
    card = Shape.rectangle(x, y, w, h, 10.0)
    symbols, name = "  ".join(e.symbol for e in found), language.say(_place_name(found[0]))
    size = look.symbol_px
    tag = Shape.rectangle(x + 2, foot - 52, width(symbols, size, "bold") + 24, 52, 6)
    line = Shape.line([[x, foot], [x + w, foot]])
    rule = style.line("rule")
    text: list[Op] = [
        Fill(tag, "panel"),
        Stroke(line, "rule", rule, opacity=0.6, cap="butt"),
        Stroke(card, "rule", rule),
        Text(symbols, x + 14, foot - 18, size, "ink", "bold"),
        Text(name, x + 14, y + h - look.name_px / 2, size_for(name, w - 28, look.place_px), "ink2", baseline="middle"),
    ]
    canvas = Canvas(view, style)
    side = side_view(now, canvas, Scope(WHOLE - {"air", "voice"}))
    if len(found[0].posture) > 1 and found[0].kind == "vowel":
        line_of_end = second_stroke(Shape.line(view.px(end_section(alone)["tongue"])), canvas)
        side.append(Layer("end of glide", (Group((line_of_end,), clip=anatomy.card(view)),)))
    return [Layer("ground", (Fill(card, "panel"),)), *side, Layer("symbols", tuple(text))]


def _place_name(entry: SoundEntry) -> Line | str:
    if entry.kind != "vowel":
        return place_and_manner(entry.place, entry.manner)
    return vowel_place(entry.name)


def write_all(
    out: Path,
    look: StillLook,
    speaker: Speaker | None = None,
    *,
    ending: str = ".png",
    force: bool = False,
    progress: Progress | None = None,
) -> dict[str, object]:
    """Write a still of every sound, its narrow allophones too, and the sheets into a folder; what was written.

    Of the man where no speaker is given.
    """
    every = [*entries().values(), *narrow_variants().values()]
    slugs = unique_slugs([e.symbol for e in every])
    total = len(every) + len(KINDS)
    with fresh_folder(out, force) as folder:
        for done, (entry, name) in enumerate(zip(every, slugs, strict=True)):
            picture = still_picture(entry, say_alone(entry, speaker), look)
            painter.save(picture, folder / f"still-{name}{ending}", look.style)
            if progress is not None:
                progress(done + 1, total)
        for done, kind in enumerate(KINDS):
            picture = sheet(kind, look.style, look.language, speaker)
            painter.save(picture, folder / f"sheet-{kind}{ending}", look.style)
            if progress is not None:
                progress(len(every) + done + 1, total)
    return {"stills": len(every), "sheets": len(KINDS)}
