"""Two sounds compared in one picture: what is the same, each where they differ, and both in time."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any

from renders.anatomy import layers as anatomy
from renders.anatomy.larynx import folds_height_mm
from renders.anatomy.pen import PlatePen
from renders.ink.diagram import Diagram
from renders.marks.air import air_layer
from renders.marks.contact import contact_layer
from renders.marks.moment import Moment
from renders.pairs.compared import ComparedPair, caption, compared_pair, pair_report, tracks_of, view_beside
from renders.pairs.layout import pair_layout
from renders.pairs.look import PairLook
from renders.pairs.small_view import small_view
from renders.paper.canvas import Canvas
from renders.paper.fitting import block, broken, fitted, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style, load
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.composed import side_view
from renders.sideview.overlay import overlay_layers, second_stroke, solid_width
from renders.tracks.pair_tracks import tracks_layer
from renders.wording.languages import Language, language_of
from renders.wording.line import Line, Series, line
from renders.wording.statement import Statement
from vocaltract.pairs.event import alignment
from vocaltract.pairs.occurrences import Comparison, Occurrence, compare
from vocaltract.speech import USUAL, Speeches


@dataclass(frozen=True)
class CardWords:
    """The words of a card: tag, symbols, word and caption; `different`: it shows one of the two."""

    tag: str
    symbols: str
    word: str
    caption: str
    different: bool = False


def write_pair(
    a: str, b: str, out: FilePath, *, speech: Speeches = USUAL, force: bool = False, **settings: Any
) -> dict[str, Any]:
    """Write the comparison of two sounds, words or phrases to .svg, .pdf or .png; settings as of `comparison`.

    Returns what it says. Sounds are shown in a minimal pair of words where English has one, else by themselves; of
    texts, where they first differ. BadInput for what cannot be read, what is said the same, and as of `Diagram.save`.
    """
    made = comparison(compare(a, b, speech), **settings)
    made.save(out, force=force)
    return dict(made.report)


def comparison(
    two: Comparison, *, event: str = "", style: str = "light", size: tuple[int, int] | None = None, language: str = "en"
) -> Diagram:
    """The comparison of two sounds where they are said; reports what it says.

    `event`: what coincides in the tracks, of `event.EVENTS`; "" takes what suits. `size` in px; None: as drawn.
    BadInput for another event and an unknown style or language.
    """
    look, page = PairLook(load(style), language_of(language)), pair_layout().picture
    pair = compared_pair(two)
    picture = fitted(pair_picture(pair, look, event), size or (page.width_px, page.height_px))
    return Diagram(picture, look.style, report=pair_report(pair, look.language))


def pair_picture(pair: ComparedPair, look: PairLook, event: str = "") -> Picture:
    """The comparison at 1600 x 1100 px; `event` as for `write_pair`."""
    (a, b), statement, page, language = pair.said, pair.statement, pair_layout().picture, look.language
    ground = Fill(Path.rectangle(*page.tracks_px, page.corner_px), "panel")
    layers = [Layer("ground", (ground,), moves=False), _heading(statement, language)]
    layers += (_overlay_card if pair.difference.moved else _same_card)(pair, page.card_box(0), look)
    for number in (0, 1):
        layers += _card(pair, number, page.card_box(number + 1), look)
    layers += [_tracks(pair, look, event), _foot(a, b, language)]
    title = language.text("pair_caption.compared", a=a.entry.symbol, b=b.entry.symbol)
    said = (line("pair_caption.sentence", said=statement.title), *statement.plain, *statement.unseen)
    return Picture(page.width_px, page.height_px, "paper", tuple(layers), title, language.sentences(said))


def _heading(statement: Statement, language: Language) -> Layer:
    page = pair_layout().picture
    room = page.width_px - 2 * page.edge_px - 20
    x = page.edge_px + 10
    title = language.say(statement.title)
    ops: list[Op] = [Text(title, x, 54, size_for(title, room, 38, "bold"), "ink", "bold")]
    plain = language.sentences((*statement.plain, *statement.unseen))
    lines, size = block(plain, room, 28, 2)
    if size < 24:
        lines, size = block(plain, room, 24, 3)
    y = 98.0
    for row in lines:
        ops.append(Text(row, x, y, size, "ink"))
        y += size * 1.24
    lines, size = block(language.sentences(statement.technical), room, 19, 1 if len(lines) > 2 else 2)
    y += 2 if len(lines) > 1 else 0
    for row in lines:
        ops.append(Text(row, x, y, size, "ink2"))
        y += size * 1.24
    return Layer("heading", tuple(ops))


def view_in(card: Box) -> View:
    """How the head lies in a card."""
    page = pair_layout().picture
    (x, y, w, h), bleed = page.window(card), page.bleed_px
    return View((x - bleed, y - bleed, w + 2 * bleed, h + 2 * bleed), page.scale_px_per_mm, page.middle_mm)


def _frame(box: Box, words: CardWords, style: Style) -> tuple[Layer, Layer]:
    """What lies under a side view, and what lies over it: panel; tag, symbols, word, caption, edges."""
    x, y, w, h = box
    page = pair_layout().picture
    card = Path.rectangle(x, y, w, h, page.corner_px)
    under = Layer("card ground", (Fill(card, "panel"),), moves=False)
    size = 19.0
    wide = width(words.tag, size, "bold") + 26
    pill = Path.rectangle(x + w - 16 - wide, y + 13, wide, 33, 16)
    ops: list[Op] = [Fill(pill, "focus")] if words.different else [Stroke(pill, "ink", 2.0)]
    colour = "on_focus" if words.different else "ink"
    middle = x + w - 16 - wide / 2
    ops.append(Text(words.tag, middle, y + 29.5, size, colour, "bold", anchor="middle", baseline="middle"))
    big = size_for(words.symbols, w - wide - 60, 44, "bold")
    ops.append(Text(words.symbols, x + 18, y + 30, big, "ink", "bold", baseline="middle"))
    start = x + 18 + width(words.symbols, big, "bold") + 16
    if words.word:
        rest = x + w - 16 - wide - 12 - start
        ops.append(Text(words.word, start, y + 32, size_for(words.word, rest, 23), "ink2", baseline="middle"))
    at, fits = (x + w / 2, y + h - page.foot_px / 2), size_for(words.caption, w - 28, 23)
    ops.append(Text(words.caption, *at, fits, "ink", anchor="middle", baseline="middle"))
    rule = style.line("rule")
    for edge in (y + page.head_px, y + h - page.foot_px):
        ops.append(Stroke(Path.line([[x, edge], [x + w, edge]]), "rule", rule, opacity=0.6, cap="butt"))
    ops.append(Stroke(card, "rule", rule))
    return under, Layer("card", tuple(ops))


def _cut(layers: list[Layer], box: Box) -> list[Layer]:
    """Layers of a side view, cut to the window of a card."""
    window = Path.rectangle(*pair_layout().picture.window(box))
    return [Layer(layer.name, (Group(layer.ops, clip=window),), layer.moves) for layer in layers]


def _same_card(pair: ComparedPair, box: Box, look: PairLook) -> list[Layer]:
    (a, b), language = pair.said, look.language
    canvas = Canvas(view_in(box), look.style)
    shown = _weaker(*pair.held)
    folds = canvas.px([0.0, folds_height_mm(shown.section) + 5.0])[1]
    x, y, w, _ = canvas.view.box
    air = air_layer(shown, canvas)
    side = [
        anatomy.fixed_layer(a.timeline.head, canvas),
        anatomy.moving_layer(shown.section, shown.airway, PlatePen(canvas)),
        # no air at the folds: what passes there differs between the two
        Layer("air", (Group(air.ops, clip=Path.rectangle(x, y, w, folds - y)),)),
        contact_layer(shown, canvas),
    ]
    tag, word = language.text("pair_tag.same"), language.text("pair_caption.held")
    words = CardWords(tag, f"{a.entry.symbol}  {b.entry.symbol}", word, language.say(pair.statement.both))
    under, over = _frame(box, words, look.style)
    return [under, *_cut(side, box), over]


def _weaker(a: Moment, b: Moment) -> Moment:
    """The first moment with no more pressure, flow and voice than both have."""
    flow = min(a.instant.mouth_ml_s, b.instant.mouth_ml_s)
    pressure = min(a.instant.pressure_share, b.instant.pressure_share)
    quiet = replace(a.instant, voice=0.0, breath=0.0, since_release_s=math.inf)
    return replace(a, instant=replace(quiet, pressure_share=pressure, mouth_ml_s=flow))


def _overlay_card(pair: ComparedPair, box: Box, look: PairLook) -> list[Layer]:
    (a, b), language = pair.said, look.language
    canvas = Canvas(view_in(box), look.style)
    side = [anatomy.fixed_layer(a.timeline.head, canvas)]
    side += overlay_layers(*pair.held, canvas, pair_layout().shown_from.near_mm)
    caption = language.text(f"pair_caption.{'overlay_vowel' if a.entry.kind == 'vowel' else 'overlay'}")
    words = CardWords(language.text("pair_tag.outlines"), f"{a.entry.symbol}  {b.entry.symbol}", "", caption)
    under, over = _frame(box, words, look.style)
    return [under, *_cut(side, box), _outline_key(pair, box, canvas, language), over]


def _outline_key(pair: ComparedPair, box: Box, canvas: Canvas, language: Language) -> Layer:
    """Which outline is whose."""
    x, y, _, h = pair_layout().picture.window(box)
    top = y + h - 112
    ops: list[Op] = []
    for number, said in enumerate(pair.said):
        at = top + 22 + number * 30
        path = Path.line([[x + 14, at], [x + 62, at]])
        ops.append(Stroke(path, "ink", solid_width(canvas)) if number == 0 else second_stroke(path, canvas))
        ops.append(Text(said.entry.symbol, x + 72, at, 23, "ink", "bold", baseline="middle"))
    for number, row in enumerate(broken(language.text("pair_tracks.only_one"), 130, 16)):
        ops.append(Text(row, x + 14, top + 80 + 19 * number, 16, "ink2", baseline="middle"))
    return Layer("key", tuple(ops))


def _card(pair: ComparedPair, number: int, box: Box, look: PairLook) -> list[Layer]:
    """One of the two where they differ."""
    said, shown, language = pair.said[number], pair.shown[number], look.language
    side = side_view(shown, Canvas(view_in(box), look.style))
    word = line("pair_caption.in_word", word=said.word) if said.word else Line("pair_position.alone")
    names = (language.text("pair_tag.different"), said.entry.symbol, language.say(word))
    under, over = _frame(box, CardWords(*names, language.say(caption(pair, number)), different=True), look.style)
    return [under, *_cut(side, box), *_beside(pair, shown, box, look), over]


def _beside(pair: ComparedPair, shown: Moment, box: Box, look: PairLook) -> list[Layer]:
    """The small view beside a side view, where there is one."""
    kind, room = view_beside(pair), pair_layout().picture_view
    if kind is None:
        return []
    x, y, _, h = pair_layout().picture.window(box)
    wide, high = room.palate_px if kind == "palate" else room.size_px
    frame = (x + room.beside_px, y + h - high - room.beside_px, wide, high)
    ground = Fill(Path.rectangle(*frame, 10), "panel")
    return [Layer("inset", (ground, *small_view(kind, shown, frame, room, look)))]


def _tracks(pair: ComparedPair, look: PairLook, event: str) -> Layer:
    tracks = tracks_of(pair, alignment(pair.said, event))
    return tracks_layer(tracks, pair_layout().picture.tracks_px, look.style, look.language)


def _foot(a: Occurrence, b: Occurrence, language: Language) -> Layer:
    page = pair_layout().picture
    words = Series((a.word, b.word))
    said = line("pair_caption.caution", words=words) if a.word else Line("pair_caption.caution_alone")
    at = (page.edge_px + 10, page.height_px - 18)
    return Layer("foot", (Text(language.say(said), *at, 17, "ink2", baseline="middle"),))
