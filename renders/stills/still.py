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
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.phonetics.inventory import SoundEntry, posture, sound

WIDTH, HEIGHT = still_parts.WIDTH, still_parts.HEIGHT
CARD = (340.0, 118.0, 920.0, 1000.0)
VIEW = View(CARD, 6.9, (22.5, -25.0))
VIEW_WITH_NOSE = View(CARD, 6.1, (28.0, -18.0))
CAUTION = still_parts.CAUTION
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
) -> None:
    """Write the side view of a sound to .svg, .pdf or .png.

    `labels`: none, plain or technical; `style`: a name or a style file; `show`, `hide`: parts of
    `anatomy.ORGANS` and `anatomy.MARKS`; `mirrored`: the speaker faces right. BadInput for an unknown sound,
    style, part or ending.
    """
    parts = anatomy.parts_to_draw(show, hide)
    entry = sound(name)
    shown = timeline(alone(entry.symbol), by_itself=True)
    look = load(style)
    picture = still_picture(entry, shown, look, labels, parts=parts, mirrored=mirrored, transparent=transparent)
    painter.save(fitted(picture, size), out, look, transparent=transparent)


def still_picture(
    entry: SoundEntry,
    shown: Timeline,
    style: Style,
    label_set: str = "plain",
    *,
    parts: frozenset[str] | None = None,
    mirrored: bool = False,
    transparent: bool = False,
) -> Picture:
    """The picture at 1600 x 1200 px: section, labels, small views, title and caution."""
    parts = anatomy.parts_to_draw(None) if parts is None else parts
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
    layers.append(still_parts.insets_layer(entry, now, style, view))
    if label_set != "none":
        layers.append(
            still_parts.labels_layer(now, style, label_set == "technical", view, parts, transparent, layers)
        )
    if mirrored:
        layers = [mirror.layer(layer, WIDTH) for layer in layers]
    layers += [
        still_parts.title_layer(entry, style, free, transparent),
        still_parts.state_layer(shown, now, style, mirrored, transparent),
    ]
    about = f"Side view of the mouth for [{entry.symbol}], {entry.name}, at the middle of the sound. {described(now)}"
    return Picture(WIDTH, HEIGHT, "paper", tuple(layers), title=f"[{entry.symbol}] {entry.name}", description=about)


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


def described(now: Moment) -> str:
    """What the picture shows, in one sentence for readers who do not see it."""
    state = now.state
    parts = [
        f"The mouth is {'shut' if state.closed else 'open'}",
        f"the way to the nose is {'open' if now.airway.nose else 'shut'}",
    ]
    word = folds_word(state.folds_mm, state.voice)
    folds = {"vibrating": "vibrate"}.get(word, f"are {word}")
    return ", ".join([*parts, f"the vocal folds {folds}"]) + "."
