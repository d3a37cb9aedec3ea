"""A labelled side view of one sound, for print, slides and handouts."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

from articulators.section import section
from renders.anatomy import layers as anatomy
from renders.ink import painter
from renders.insets.folds import folds_word
from renders.marks import air as marks
from renders.paper import mirror, rims
from renders.paper.fitting import fitted
from renders.paper.picture import Fill, Group, Layer, Op, Picture, Stroke
from renders.paper.picture import Path as Shape
from renders.paper.style import Style, load
from renders.paper.view import View
from renders.sideview import acting
from renders.sideview.moments import Moment, moment
from renders.stills import parts as still_parts
from renders.wording.languages import Language, language_of
from renders.wording.line import Line, line
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.phonetics.inventory import SoundEntry, posture, sound

WIDTH, HEIGHT = still_parts.WIDTH, still_parts.HEIGHT
CARD = (340.0, 118.0, 920.0, 1000.0)
VIEW = View(CARD, 6.9, (22.5, -25.0))
VIEW_WITH_NOSE = View(CARD, 6.1, (28.0, -18.0))
RIM_PX = 3.0  # how far paper stands out around what is drawn on a transparent still
GLIDE_START = 0.12  # share of a vowel that moves at which its start is shown


def view_of(entry: SoundEntry) -> View:
    """How much of the head is shown: the whole nose only where air passes through it."""
    nasal = entry.manner == "nasal" or "\u0303" in entry.symbol
    return VIEW_WITH_NOSE if nasal else VIEW


def key_time_s(timeline: Timeline) -> float:
    """The moment that shows a sound best: late in its hold, the middle of its steady part, the start of a glide."""
    span = timeline.spans[0]
    start, end = span.hold_s
    if still_parts.glides(span.entry):
        return start + GLIDE_START * (end - start)
    if span.entry.is_stop:
        return start + (0.45 if span.entry.voiced else 0.8) * (end - start)
    return (start + end) / 2


def write_still(
    name: str,
    out: Path,
    *,
    labels: str = "plain",
    style: str = "light",
    size: tuple[int, int] = (WIDTH, HEIGHT),
    show: Iterable[str] | None = None,
    hide: Iterable[str] = (),
    mirrored: bool = False,
    transparent: bool = False,
    language: str = "en",
) -> None:
    """Write the side view of a sound to .svg, .pdf or .png.

    `labels`: none, plain or technical; `style`: a name or a style file; `show`, `hide`: parts of
    `anatomy.ORGANS` and `anatomy.MARKS`; `mirrored`: the speaker faces right. BadInput for an unknown sound,
    style, language, part or ending.
    """
    parts = anatomy.chosen(show, hide)
    entry = sound(name)
    shown = timeline(alone(entry.symbol), by_itself=True)
    look, wording = load(style), language_of(language)
    picture = still_picture(
        entry, shown, look, wording, labels, parts=parts, mirrored=mirrored, transparent=transparent
    )
    painter.save(fitted(picture, size), out, look, transparent=transparent)


def still_picture(
    entry: SoundEntry,
    shown: Timeline,
    style: Style,
    language: Language,
    label_set: str = "plain",
    *,
    parts: frozenset[str] | None = None,
    mirrored: bool = False,
    transparent: bool = False,
) -> Picture:
    """The picture at 1600 x 1200 px: section, labels, small views, title and caution."""
    parts = anatomy.chosen(None) if parts is None else parts
    now = moment(shown, key_time_s(shown))
    view = view_of(entry)
    free = acting.resting(entry, now.section)
    layers = [] if transparent else [Layer("ground", (Fill(anatomy.card(view), "panel"),), moves=False)]
    drawn = side(now, view, style, parts, free)
    if transparent:
        layers.append(_rim(drawn, now, view, parts))
    layers += drawn
    if still_parts.glides(entry) and "tongue" in parts:
        layers.append(_end_shape(entry, now, view, style))
    layers.append(Layer("card edge", (Stroke(anatomy.card(view), "rule", style.line("rule")),)))
    layers.append(still_parts.insets_layer(entry, now, style, language, view))
    if label_set != "none":
        layers.append(
            still_parts.labels_layer(now, style, language, label_set == "technical", view, parts, transparent, layers)
        )
    if mirrored:
        layers = [mirror.layer(layer, WIDTH) for layer in layers]
    layers += [
        still_parts.title_layer(entry, style, language, free, transparent),
        still_parts.state_layer(shown, now, style, language, mirrored, transparent),
    ]
    title, about = (language.say(one) for one in described(entry, now))
    return Picture(WIDTH, HEIGHT, "paper", tuple(layers), title=title, description=about)


def side(now: Moment, view: View, style: Style, parts: frozenset[str], free: frozenset[str]) -> list[Layer]:
    """The side view of a moment with chosen parts; what acts stands out from what is left free."""
    drawn = (now.section, now.channel, now.state)
    air = "air" in parts
    layers = [
        anatomy.fixed_layer(now.section.head, view, style, parts),
        anatomy.moving_layer(
            now.section, now.airway, view, style, tint=marks.tint_of(*drawn) if air else 0.0,
            focus=acting.focus(now, free), shown=parts, resting=free,
        ),
    ]  # fmt: skip
    if air:
        layers.append(
            marks.air_layer(now.section, now.channel, now.airway, now.state, view, style, tinted=True)
        )
    if "contact" in parts:
        layers.append(marks.contact_layer(now.section, now.state, view, style))
    if "voice" in parts and "larynx" in parts:
        layers.append(marks.voice_layer(now.section, now.state, view, style))
    return layers


def _rim(drawn: list[Layer], now: Moment, view: View, parts: frozenset[str]) -> Layer:
    """A rim of paper around the face and what leaves it: it shows only where nothing of the head lies over it."""
    ops: list[Op] = []
    if "face" in parts:
        lines = ("profile", "upper_lip", "lower_lip", "chin_neck")
        skin = Shape.lines([view.px(now.section[line]) for line in lines])
        ops.append(Stroke(skin, "paper", 2 * (view.line(2.2) + RIM_PX)))
    for layer in drawn:
        if layer.name in ("air", "contact", "voice"):
            ops += rims.rims(layer.ops, RIM_PX)
    return Layer("rim", (Group(tuple(ops), clip=anatomy.card(view)),))


def _end_shape(entry: SoundEntry, now: Moment, view: View, style: Style) -> Layer:
    """Where a vowel that moves ends: tongue and lips in dashes, and an arrow from the start to the end."""
    end = section(now.section.head, posture(entry.posture[1]))
    start_line, end_line = now.section["tongue"], end["tongue"]
    wide = view.line(style.line("tongue")) * 0.8
    dash = (3.2 * wide, 2.2 * wide)
    lips = [view.px(end[f"{side}_lip"]) for side in ("upper", "lower")]
    ops: list[Op] = [
        Stroke(Shape.lines(lips), "ink", 0.8 * wide, dash=dash, cap="butt", name="lips at the end"),
        Stroke(Shape.polygon(view.px(end_line)), "ink", wide, dash=dash, cap="butt", name="tongue at the end"),
    ]
    # the arrow stands where the surface moves most
    surface = slice(len(start_line) // 8, len(start_line) // 2)
    moved = np.hypot(*(end_line - start_line)[surface].T)
    at = int(np.argmax(moved)) + len(start_line) // 8
    tail, tip = view.px(start_line[at]), view.px(end_line[at])
    along = (tip - tail) / max(float(np.hypot(*(tip - tail))), 1e-6)
    across = np.array([-along[1], along[0]])
    size = 18.0
    tail, tip = tail + 6.0 * along, tip - 6.0 * along
    if float(np.dot(tip - tail, along)) > 0.5 * size:
        head = np.stack([tip - size * along + 0.5 * size * across, tip, tip - size * along - 0.5 * size * across])
        casing = ("panel", 5.0 + 2 * style.line("casing"))
        ops += [
            Stroke(Shape.lines([np.stack([tail, tip]), head]), "ink", 5.0, casing=casing, name="from start to end"),
        ]
    return Layer("end of the glide", tuple(ops))


def described(entry: SoundEntry, now: Moment) -> tuple[Line, Line]:
    """Title, and what the picture shows for readers who do not see it."""
    state, name = now.state, sound_name(entry.name)
    mouth = Line("still.mouth_shut" if state.closed else "still.mouth_open")
    nose = Line("still.nose_open" if now.airway.nose else "still.nose_shut")
    folds = Line(f"still.{folds_word(state.folds_mm, state.voice).key.replace('.', '_')}")
    return (
        line("still.title", symbol=entry.symbol, name=name),
        line("still.about", symbol=entry.symbol, name=name, mouth=mouth, nose=nose, folds=folds),
    )
