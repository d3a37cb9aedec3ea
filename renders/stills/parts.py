"""What stands around the side view of a still: title and key, state in words, small views, labels."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from articulators.curves import Bools
from renders.anatomy.places import anchors, names, part_of
from renders.insets import palate
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import lips_view, lips_word, tip_between_teeth
from renders.labels import placement
from renders.labels.crossings import outlines
from renders.marks.state import numbers
from renders.paper import icons, mirror, rims
from renders.paper.fitting import size_for
from renders.paper.picture import Box, Dots, Fill, Group, Layer, Op, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.moments import Moment
from renders.wording import teller
from renders.wording.languages import Language
from renders.wording.line import Line, line
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry

WIDTH, HEIGHT = 1600, 1200
Inset = tuple[Line, Line, Callable[[Box], tuple[Op, ...]]]
INSETS_LEFT, INSETS_BOTTOM = 354.0, 1104.0
INSET_HEIGHTS = (164.0, 180.0, 196.0, 212.0, 228.0)  # the least always fits under the widest jaw
INSET_WIDEST = 230.0
FELT_MM = 12.0  # room before the neck for the marks of what is felt there
GAP_PX = 12.0
LABEL_PITCH = 62.0


def glides(entry: SoundEntry) -> bool:
    """Whether a vowel has a start and an end."""
    return entry.kind == "vowel" and len(entry.posture) == 2


def _example(entry: SoundEntry) -> Line:
    """A word that holds the sound (one made by rule: what it is), and what the outlines of a vowel that moves mean."""
    example = line("still.example", keyword=entry.keyword) if entry.keyword else Line("still.by_rule")
    if not glides(entry):
        return example
    return line("still.glide", example=example, start=entry.symbol[:-1], end=entry.symbol[-1])


def title_layer(
    entry: SoundEntry, style: Style, language: Language, free: frozenset[str], transparent: bool = False
) -> Layer:
    """Symbol, name, example, key of the colours, and the caution."""
    casing = ("paper", 3.0) if transparent else None
    symbol_wide = width(entry.symbol, 72.0, "bold")
    x = 36.0
    small = style.size("small", "still")
    colours = ("mover", "resting", "head", "airway") if free else ("mover", "head", "airway")
    named = ("mover", *colours[1:]) if free else ("moves", *colours[1:])
    key = [(colour, language.text(f"still.key_{name}")) for colour, name in zip(colours, named, strict=True)]
    name, caution = language.say(sound_name(entry.name)), language.text("still.caution")
    at = WIDTH - 40.0
    name_x = x + symbol_wide + 28
    room = at - sum(width(word, small) + 70 for _, word in key) - name_x
    name_size = size_for(name, room, style.size("title", "still") * 0.9, "bold")
    ops: list[Op] = [
        Text(entry.symbol, x, 86, 72.0, "ink", "bold", casing=casing),
        Text(name, name_x, 64, name_size, "ink", "bold", casing=casing),
        Text(language.say(_example(entry)), name_x, 98, style.size("second", "still"), "ink2", casing=casing),
    ]
    for colour, word in reversed(key):
        wide = width(word, small)
        swatch = Shape.rectangle(at - wide - 40, 50, 30, 24, 5)
        ops.append(Text(word, at, 62, small, "ink2", anchor="end", baseline="middle", casing=casing))
        ops += [Fill(swatch, colour), *_texture(colour, at - wide - 40, style)]
        ops.append(Stroke(swatch, "rule", style.line("rule")))
        at -= wide + 70
    least = size_for(caution, WIDTH - 80, small * 0.92)
    ops.append(
        Text(caution, WIDTH / 2, HEIGHT - 20, least, "ink2", anchor="middle", baseline="middle", casing=casing)
    )
    return Layer("title", tuple(ops))


def _texture(colour: str, x: float, style: Style) -> list[Op]:
    """What tells a swatch from paper where the style has no greys: the hatching, or a bold edge and fibres."""
    if not style.hatched:
        return []
    if colour == "head":
        runs = [[[x + a, 74.0], [x + a + 24.0, 50.0]] for a in (-12.0, -4.0, 4.0, 12.0, 20.0)]
        box = Shape.rectangle(x, 50, 30, 24)
        return [Group((Stroke(Shape.lines(runs), "ink", style.line("fibre") * 0.7),), clip=box)]
    if colour in ("mover", "resting"):
        runs = [[[x + 6, 70.0], [x + 6 + a, 55.0]] for a in (0.0, 8.0, 16.0)]
        return [Stroke(Shape.lines(runs), "ink", style.line("fibre") * (1.8 if colour == "mover" else 0.9))]
    return []


def state_layer(
    shown: Timeline, now: Moment, style: Style, language: Language, mirrored: bool = False, transparent: bool = False
) -> Layer:
    """What the marks say, in words: contact, air, voice."""
    said = teller.state(shown, now.time_s)
    size = style.size("second", "still")
    y, icon, gap = HEIGHT - 58.0, 52.0, 54.0
    rows = (said.contact, said.air, said.voice)
    titles = [language.say(row.title) for row in rows]
    wide = [icon + width(title, size, "bold") for title in titles]
    x = (WIDTH - sum(wide) - 2 * gap) / 2
    ops: list[Op] = []
    for row, title, step in zip(rows, titles, wide, strict=True):
        drawn = icons.icon(row.icon, (x, y - 18, 40, 36), style)
        # an icon that shows a direction turns with the side view
        shown_icon = tuple(mirror.ops(drawn, 2 * x + 40) if mirrored else drawn)
        under = tuple(rims.rims(shown_icon, 3.0)) if transparent else ()
        ops.append(Group((*under, *shown_icon)))
        casing = ("paper", 3.0) if transparent else None
        ops.append(Text(title, x + icon, y, size, "ink", "bold", baseline="middle", casing=casing))
        x += step + gap
    return Layer("state", tuple(ops))


def insets_layer(entry: SoundEntry, now: Moment, style: Style, language: Language, view: View) -> Layer:
    """Lips from the front, folds from above and, where the tongue makes the sound, its contact with the palate."""
    shape, state = now.section.posture, now.state
    lips = {k: float(shape[k]) for k in ("aperture_mm", "rounded", "spread", "tucked", "jaw_mm")}
    tip = tip_between_teeth(now.section)
    views: list[Inset] = [
        (Line("view.lips"), lips_word(**lips),
         lambda box: lips_view(**lips, box=box, style=style, tip_mm=tip)),
        (Line("view.folds"), folds_word(state.folds_mm, state.voice),
         lambda box: folds_view(state.folds_mm, state.voice, state.drift, box, style)),
    ]  # fmt: skip
    word = palate.contact_word(now.section)
    if word != palate.NO_TOUCH and _palate_matters(entry):
        flows = state.mouth_ml_s > numbers()["flow"]["shown_above_ml_s"]
        views.append((Line("view.palate"), word, lambda box: palate.contact_view(now.section, box, style, flows)))
    small = style.size("small", "still")
    x, y, wide, h = _inset_room(len(views), now, view)
    ops: list[Op] = []
    for title, word, drawn in views:
        box = Shape.rectangle(x, y, wide, h, 12)
        ops += [Fill(box, "panel"), Stroke(box, "rule", style.line("rule"))]
        name, shows = language.say(title), language.say(word)
        fits = size_for(name, wide - 10.0, small * 0.9)
        ops.append(Text(name, x + wide / 2, y + 20, fits, "ink2", anchor="middle", baseline="middle"))
        ops.append(Group(tuple(drawn((x + 12, y + 36, wide - 24, h - 74)))))
        fits = size_for(shows, wide - 10.0, small, "bold")
        ops.append(Text(shows, x + wide / 2, y + h - 20, fits, "ink", "bold", anchor="middle", baseline="middle"))
        x += wide + GAP_PX
    return Layer("insets", tuple(ops))


def _inset_room(count: int, now: Moment, view: View) -> Box:
    """Left, top, width and height of the first of the small views: as large as there is room under the chin."""
    skin = np.concatenate([view.px(now.section[line]) for line in ("lower_lip", "chin_neck")])
    found = []
    for h in INSET_HEIGHTS:
        top = INSETS_BOTTOM - h
        beside = skin[skin[:, 1] > top - 8.0]
        edge = (float(beside[:, 0].min()) if len(beside) else view.box[0] + view.box[2]) - FELT_MM * view.scale
        wide = min(INSET_WIDEST, (edge - INSETS_LEFT - (count - 1) * GAP_PX) / count)
        found.append((min(wide - 24.0, (h - 74.0) * 1.16), (INSETS_LEFT, top, wide, h)))
    return max(found)[1]


def _palate_matters(entry: SoundEntry) -> bool:
    """Whether the tongue's contact is part of a sound: made by the tongue in the mouth, or a close front vowel."""
    if entry.manner == "vowel":
        return entry.place.startswith(("close front", "near-close", "close-mid front"))
    return not any(word in entry.place for word in ("labial", "glottal", "pharyngeal", "epiglottal"))


def labels_layer(
    now: Moment,
    style: Style,
    language: Language,
    technical: bool,
    view: View,
    parts: frozenset[str],
    transparent: bool = False,
    drawn: Sequence[Layer] = (),
) -> Layer:
    """Names of the parts that are shown, with leaders that keep off the marks and small views among layers `drawn`."""
    x0, y0, w, h = view.box
    points = {part: view.px(found) for part, found in anchors(now.section).items()}

    def seen(part: str) -> Bools:
        x, y = points[part].T
        inside: Bools = (x0 + 6 < x) & (x < x0 + w - 6) & (y0 + 6 < y) & (y < y0 + h - 6)
        return inside

    chosen = {
        part: row
        for part, row in names().items()
        if (technical or row.get("in_plain", True)) and part_of(part) in parts and seen(part).any()
    }
    if not chosen:
        return Layer("labels", ())
    spots = np.full((len(chosen), max(len(points[part]) for part in chosen), 2), np.nan)
    for row, part in zip(spots, chosen, strict=True):
        kept = points[part][seen(part)]
        row[: len(kept)] = kept
    around = [op for layer in drawn if layer.name == "insets" for op in layer.ops]
    boxes = [op.path.vertices for op in around if isinstance(op, Stroke)]
    met = outlines(now.section, view, boxes, [layer for layer in drawn if layer.name in ("contact", "voice")])
    own = [row.get("own", ()) for row in chosen.values()]
    columns = placement.Columns(left_x=322, right_x=1278, top=150, bottom=1090, gap=8)
    size = style.size("label", "still")
    placed = placement.place(
        spots,
        [language.say(Line(f"part.{part}"), technical) for part in chosen],
        columns,
        size,
        min_pitch=LABEL_PITCH,
        crossed=lambda label, starts, ends: met.cost(own[label], starts, ends),
    )
    casing = ("panel", style.line("leader") + 2 * style.line("casing"))
    lines: list[Op] = []
    texts: list[Op] = []
    for label in placed.labels:
        lines.append(Stroke(Shape.line(label.leader), "ink", style.line("leader") * 1.1, casing=casing))
        lines.append(Dots(label.leader[1:], 8.0, "panel"))
        lines.append(Dots(label.leader[1:], 5.0, "ink"))
        first = label.y - (len(label.lines) - 1) * placed.line_height / 2
        for i, row_text in enumerate(label.lines):
            texts.append(
                Text(
                    row_text, label.x, first + i * placed.line_height, size, "ink",
                    anchor="end" if label.side == "left" else "start", baseline="middle",
                    casing=("paper", 3.0) if transparent else None,
                )
            )  # fmt: skip
    return Layer("labels", (*lines, *texts))
