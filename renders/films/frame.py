"""The film frame: side view, insets, the sound and its word, phases, state rows, clock and time strip.

Designed for 16:9, 4:3, square and 9:16 pictures (`layouts`); other sizes are one of these scaled, centred on the
paper colour.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

from renders.anatomy import layers as anatomy
from renders.films import panel
from renders.films.layouts import numbers
from renders.films.look import FrameLook
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import lip_shape, lips_view, lips_word
from renders.marks.moment import Moment
from renders.paper.fitting import even_lines, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.typeface import width
from renders.sideview.composed import Organs, side_layers
from renders.tracks import play_head, timestrip
from renders.tracks.wave_row import HeardWave
from renders.wording import teller
from renders.wording.languages import Language
from renders.wording.line import Line, line
from vocaltract.motion.phases import Course
from vocaltract.motion.timeline import Timeline

WORD_EDGE = numbers().inset.word_edge_px


@dataclass(frozen=True)
class FrameText:
    """What every frame of a film says: how fast it runs, and what is heard."""

    speed_title: str
    speed_detail: str
    voice: str = ""


def speed_text(speed: float, dwells: bool, language: Language, heard_as: str = "") -> FrameText:
    """The speed in words, e.g. "half speed"; with a voice, whether it is computed ("voice") or "recorded"."""
    named = f"{speed:g}" in language.rows("speed")
    title = Line(f"speed.{speed:g}") if named else line("speed.other", speed=f"{speed:g}")
    detail = Line("film.dwells") if dwells else line("film.ratio", per=f"{1 / speed:g}")
    return FrameText(language.say(title), language.say(detail), language.text(f"film.{heard_as}") if heard_as else "")


class FilmFrames:
    """The frames of one film: what all of them have is made once, and what is the same as in the frame before is the
    same object again, so that it need not be drawn again."""

    def __init__(
        self, timeline: Timeline, look: FrameLook, text: FrameText, wave: HeardWave | None = None
    ) -> None:
        """`wave`: what is heard, shown under the tracks."""
        self.timeline, self.look = timeline, look
        self.fixed = fixed_layers(timeline, look, text, wave)
        course, layout = Course(timeline), look.layout
        self._teller = teller.Teller(course)
        strip = timestrip.time_strip(timeline, layout.strip, look.style, look.language, layout.strip_rows, wave)
        self._play_head = play_head.PlayHead(strip, course)
        self._organs = Organs()
        self._before: dict[str, tuple[Hashable, Layer]] = {}

    def picture(self, moment: Moment) -> Picture:
        """The frame of a moment."""
        look, layout = self.look, self.look.layout
        layers = [*self.fixed, *side_layers(moment, look.canvas, organs=self._organs)]
        if not look.transparent:
            layers.append(self._layer("card edge", None, lambda: _edge(look)))
        layers += [*self._insets(moment), _tag(moment, look)]
        if layout.bar:
            rest_s = numbers().loop.rest_s
            over = look.loops and moment.time_s > self.timeline.duration_s - rest_s
            state = self._teller.at(0.0) if over else self._teller.of(moment.instant)
            for piece in panel.panel_parts(self.timeline, moment.time_s, state, look):
                layers.append(self._layer(f"panel, {piece.name}", piece.says, piece.ops))
            layers += self._play_head.layers(moment.time_s)
        paper = None if look.transparent else "paper"
        return Picture(layout.width, layout.height, paper, tuple(layers), title=self.timeline.utterance.text)

    def _layer(self, name: str, says: Hashable, ops: Callable[[], Sequence[Op]]) -> Layer:
        """The layer of that name; made anew where it says something else than in the frame before."""
        known = self._before.get(name)
        if known is not None and known[0] == says:
            return known[1]
        layer = Layer(name, tuple(ops()))
        self._before[name] = (says, layer)
        return layer

    def _insets(self, moment: Moment) -> list[Layer]:
        now, layout, style, say = moment.instant, self.look.layout, self.look.style, self.look.language.say
        lips = lip_shape(moment.section)
        folds = now.folds_mm, now.voice, moment.drift if now.voice > 0 else 0.0
        small = self.look.size("small")
        words = say(lips_word(lips)), say(folds_word(*folds[:2]))

        def front() -> list[Op]:
            return _inset(layout.lips, lips_view(lips, _inner(layout.lips, small), style), small)

        def above() -> list[Op]:
            sizes = moment.section.head.folds_above
            return _inset(layout.folds, folds_view(sizes, *folds, _inner(layout.folds, small), style), small)

        return [
            self._layer("lips inset", lips, front),
            self._layer("folds inset", folds, above),
            self._layer("lips word", words[0], lambda: _inset_word(layout.lips, words[0], small)),
            self._layer("folds word", words[1], lambda: _inset_word(layout.folds, words[1], small)),
        ]


def fixed_layers(
    timeline: Timeline, look: FrameLook, text: FrameText, wave: HeardWave | None = None
) -> list[Layer]:
    """Layers that are the same in every frame of a film."""
    layout, style = look.layout, look.style
    ops: list[Op] = [] if look.transparent else [Fill(anatomy.card(layout.view), "panel")]
    ops += [Fill(Path.rectangle(*box, 14), "panel") for box in layout.panels]
    layers = [Layer("ground", tuple(ops), moves=False), anatomy.fixed_layer(timeline.head, look.canvas)]
    # nothing that moves reaches the insets, so their frames may lie beneath it
    layers.append(Layer("insets", tuple(_inset_frames(look)), moves=False))
    if layout.bar:
        rules = panel.rules(look, text.speed_title, text.voice or text.speed_detail)
        layers.append(Layer("panel rules", tuple(rules), moves=False))
        strip = timestrip.time_strip(timeline, layout.strip, style, look.language, layout.strip_rows, wave)
        layers.append(timestrip.strip_static(strip))
    return layers


def _edge(look: FrameLook) -> list[Op]:
    return [Stroke(anatomy.card(look.layout.view), "rule", look.style.line("rule"), opacity=0.6)]


def _inset_frames(look: FrameLook) -> list[Op]:
    layout, small = look.layout, look.size("small")
    ops: list[Op] = []
    for box, key in ((layout.lips, "view.lips"), (layout.folds, "view.folds")):
        x, y, w, _ = box
        frame, at = Path.rectangle(*box, 10), (x + w / 2, y + 0.81 * small)
        ops += [Fill(frame, "panel"), Stroke(frame, "rule", look.style.line("rule"))]
        title = look.language.say(Line(key))
        fits = size_for(title, w - 2 * WORD_EDGE, small * 0.88)
        ops.append(Text(title, *at, fits, "ink2", anchor="middle", baseline="middle"))
    return ops


def _inset(box: Box, ops: Sequence[Op], small: float) -> list[Op]:
    x, y, w, h = _inner(box, small)
    return [Group(tuple(ops), clip=Path.rectangle(x - 2, y - 2, w + 4, h + 4))]


def _inset_word(box: Box, word: str, small: float) -> list[Op]:
    x, y, w, h = box
    at = (x + w / 2, y + h - 0.93 * 0.81 * small)
    size = min(small, small * (w - 2 * WORD_EDGE) / width(word, small, "bold"))
    return [Text(word, *at, size, "ink", "bold", anchor="middle", baseline="middle")]


def _inner(box: Box, small: float) -> Box:
    x, y, w, h = box
    return x + 6, y + 1.44 * small, w - 12, h - 2.94 * small


def _tag(moment: Moment, look: FrameLook) -> Layer:
    """Labels in the picture: each contact, named where it is made."""
    view, style, place = look.layout.view, look.style, numbers().tag
    kind, longest = look.layout.tags
    size = look.size(kind)
    left = view.box[0] + place.left_px
    heights = list(place.tongue_mm)
    ops: list[Op] = []
    for organ in moment.instant.organs:
        line = moment.contacts.get(organ)
        if line is None or not heights:
            continue
        at = view.px(line[len(line) // 2])
        lines = even_lines(look.language.say(teller.contact_word(organ)), longest)
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
