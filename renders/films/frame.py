"""The film frame: side view, insets, the sound and its word, phases, state rows, clock and time strip.

Designed for 16:9, 4:3, square and 9:16 pictures (`layouts`); other sizes are one of these scaled, centred on the
paper colour.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

from articulators.head import Head
from renders.anatomy import layers as anatomy
from renders.films import panel
from renders.films.layouts import WIDE, Layout, layout_for, numbers
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import lip_shape, lips_view, lips_word
from renders.marks.moment import Moment
from renders.paper.canvas import Canvas
from renders.paper.fitting import even_lines, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.sideview.composed import Organs, side_layers
from renders.tracks import timestrip
from renders.wording import teller
from renders.wording.languages import Language
from renders.wording.line import Line, line
from vocaltract.motion.phases import Course
from vocaltract.motion.timeline import Timeline

__all__ = ["HEIGHT", "PANEL", "VIEW", "WIDTH", "FrameText", "layout_for", "picture", "speed_text", "static_layers"]

WIDTH, HEIGHT = WIDE.width, WIDE.height
VIEW = WIDE.view
PANEL = WIDE.panels[0]
WORD_EDGE = numbers().inset.word_edge_px


@dataclass(frozen=True)
class FrameText:
    """What every frame of a film says: how fast it runs."""

    speed_title: str
    speed_detail: str


def speed_text(speed: float, dwells: bool, language: Language) -> FrameText:
    """The speed in words, e.g. "half speed"."""
    named = f"{speed:g}" in language.rows("speed")
    title = Line(f"speed.{speed:g}") if named else line("speed.other", speed=f"{speed:g}")
    detail = Line("film.dwells") if dwells else line("film.ratio", per=f"{1 / speed:g}")
    return FrameText(language.say(title), language.say(detail))


def static_layers(
    timeline: Timeline, head: Head, style: Style, language: Language, text: FrameText, layout: Layout = WIDE,
    transparent: bool = False,
) -> list[Layer]:  # fmt: skip
    """Layers that are the same in every frame of a film. `transparent`: no ground beneath the side view."""
    ops: list[Op] = [] if transparent else [Fill(anatomy.card(layout.view), "panel")]
    ops += [Fill(Path.rectangle(*box, 14), "panel") for box in layout.panels]
    layers = [Layer("ground", tuple(ops), moves=False), anatomy.fixed_layer(head, Canvas(layout.view, style))]
    # nothing that moves reaches the insets, so their frames may lie beneath it
    layers.append(Layer("insets", tuple(_inset_frames(layout, style, language)), moves=False))
    if layout.bar:
        rules = panel.rules(layout, text.speed_title, text.speed_detail, style)
        layers.append(Layer("panel rules", tuple(rules), moves=False))
        layers.append(timestrip.strip_static(timeline, layout.strip, style, language, layout.strip_rows))
    return layers


class _Said:
    """What of the words and the play head of a film is the same in all its frames."""

    def __init__(self, timeline: Timeline, layout: Layout, style: Style, language: Language) -> None:
        course = Course(timeline)
        self.words = teller.Teller(course)
        self.head = timestrip.PlayHead(timeline, layout.strip, style, language, layout.strip_rows, course)


class Kept:
    """Layers of the frame before, so that what is the same again is the same object again. Serves one film."""

    def __init__(self) -> None:
        self.organs = Organs()
        self._layers: dict[str, tuple[Hashable, Layer]] = {}
        self._said: _Said | None = None

    def said(self, timeline: Timeline, layout: Layout, style: Style, language: Language) -> _Said:
        """What the film's words and its play head are made from."""
        if self._said is None:
            self._said = _Said(timeline, layout, style, language)
        return self._said

    def layer(self, name: str, says: Hashable, ops: Callable[[], Sequence[Op]]) -> Layer:
        """The layer of that name; made anew where it says something else."""
        known = self._layers.get(name)
        if known is not None and known[0] == says:
            return known[1]
        layer = Layer(name, tuple(ops()))
        self._layers[name] = (says, layer)
        return layer


def picture(
    timeline: Timeline, static: Sequence[Layer], moment: Moment, style: Style, language: Language,
    layout: Layout = WIDE, kept: Kept | None = None, transparent: bool = False, loops: bool = False,
) -> Picture:  # fmt: skip
    """One frame; `kept` is the same object for every frame of a film.

    transparent  nothing where there is paper      loops  at rest before and after, frames are alike
    """
    kept = Kept() if kept is None else kept
    layers = [*static, *side_layers(moment, Canvas(layout.view, style), organs=kept.organs)]
    if not transparent:
        layers.append(kept.layer("card edge", None, lambda: _edge(layout, style)))
    layers += [*_insets(moment, layout, style, language, kept), _tag(moment, layout, style, language)]
    if layout.bar:
        over = loops and moment.time_s > timeline.duration_s - numbers().loop.rest_s
        said = kept.said(timeline, layout, style, language)
        state = said.words.at(0.0) if over else said.words.of(moment.instant)
        for piece in panel.pieces(timeline, moment.time_s, state, layout, style, language, loops):
            layers.append(kept.layer(f"panel, {piece.name}", piece.says, piece.ops))
        layers += said.head.layers(moment.time_s)
    paper = None if transparent else "paper"
    return Picture(layout.width, layout.height, paper, tuple(layers), title=timeline.utterance.text)


def _edge(layout: Layout, style: Style) -> list[Op]:
    return [Stroke(anatomy.card(layout.view), "rule", style.line("rule"), opacity=0.6)]


def _insets(moment: Moment, layout: Layout, style: Style, language: Language, kept: Kept) -> list[Layer]:
    now = moment.instant
    lips = lip_shape(moment.section)
    folds = now.folds_mm, now.voice, moment.drift if now.voice > 0 else 0.0
    small = layout.size(style, "small")
    words = language.say(lips_word(lips)), language.say(folds_word(*folds[:2]))

    def front() -> list[Op]:
        return _inset(layout.lips, lips_view(lips, _inner(layout.lips, small), style), small)

    def above() -> list[Op]:
        return _inset(layout.folds, folds_view(*folds, _inner(layout.folds, small), style), small)

    return [
        kept.layer("lips inset", lips, front),
        kept.layer("folds inset", folds, above),
        kept.layer("lips word", words[0], lambda: _inset_word(layout.lips, words[0], small)),
        kept.layer("folds word", words[1], lambda: _inset_word(layout.folds, words[1], small)),
    ]


def _inset_frames(layout: Layout, style: Style, language: Language) -> list[Op]:
    small = layout.size(style, "small")
    ops: list[Op] = []
    for box, key in ((layout.lips, "view.lips"), (layout.folds, "view.folds")):
        x, y, w, _ = box
        frame, at = Path.rectangle(*box, 10), (x + w / 2, y + 0.81 * small)
        ops += [Fill(frame, "panel"), Stroke(frame, "rule", style.line("rule"))]
        title = language.say(Line(key))
        fits = size_for(title, w - 2 * WORD_EDGE, small * 0.88)
        ops.append(Text(title, *at, fits, "ink2", anchor="middle", baseline="middle"))
    return ops


def _inset(box: Box, drawn: Sequence[Op], small: float) -> list[Op]:
    x, y, w, h = _inner(box, small)
    return [Group(tuple(drawn), clip=Path.rectangle(x - 2, y - 2, w + 4, h + 4))]


def _inset_word(box: Box, word: str, small: float) -> list[Op]:
    x, y, w, h = box
    at = (x + w / 2, y + h - 0.93 * 0.81 * small)
    size = min(small, small * (w - 2 * WORD_EDGE) / width(word, small, "bold"))
    return [Text(word, *at, size, "ink", "bold", anchor="middle", baseline="middle")]


def _inner(box: Box, small: float) -> Box:
    x, y, w, h = box
    return x + 6, y + 1.44 * small, w - 12, h - 2.94 * small


def _tag(moment: Moment, layout: Layout, style: Style, language: Language) -> Layer:
    """Labels in the picture: each contact, named where it is made."""
    view, place = layout.view, numbers().tag
    kind, longest = layout.tags
    size = layout.size(style, kind)
    left = view.box[0] + place.left_px
    heights = list(place.tongue_mm)
    ops: list[Op] = []
    for organ in moment.instant.organs:
        line = moment.contacts.get(organ)
        if line is None or not heights:
            continue
        at = view.px(line[len(line) // 2])
        lines = even_lines(language.say(teller.contact_word(organ)), longest)
        wide = max(width(text, size, "bold") for text in lines) + 1.36 * size
        high = (0.8 + 1.2 * len(lines)) * size
        y = float(view.px((0.0, place.lips_mm if organ == "lips" else heights.pop(0)))[1])
        box = Path.rectangle(left, y - high / 2, wide, high, 7)
        casing = ("panel", style.line("leader") + style.line("casing"))
        ops += [
            Stroke(Path.line([[left + wide, y], [at[0], at[1]]]), "ink", style.line("leader"), casing=casing),
            Fill(box, "panel"),
            Stroke(box, "ink", style.line("rule") * 1.3),
        ]
        for number, text in enumerate(lines):
            row = y + (number - (len(lines) - 1) / 2) * 1.2 * size
            ops.append(Text(text, left + wide / 2, row, size, "ink", "bold", anchor="middle", baseline="middle"))
    return Layer("contact tag", tuple(ops))
