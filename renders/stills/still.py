"""A labelled side view of one sound, for print, slides and handouts."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from renders.anatomy import layers as anatomy
from renders.ink.diagram import Diagram
from renders.insets.folds import folds_word
from renders.labels.sets import check_labels
from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.paper import mirror, rims
from renders.paper.canvas import Canvas
from renders.paper.fitting import fitted
from renders.paper.picture import Fill, Group, Layer, Op, Picture, Stroke
from renders.paper.picture import Path as Shape
from renders.paper.style import load
from renders.paper.view import View
from renders.sideview import acting
from renders.sideview.composed import Scope, side_view
from renders.stills.glide import end_layer, glides
from renders.stills.key import state_layer, title_layer
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.stills.naming import labels_layer
from renders.stills.small_views import small_views_layer
from renders.wording.languages import language_of
from renders.wording.line import Line, line
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline
from vocaltract.naming.named import named
from vocaltract.phonetics.inventory import SoundEntry
from vocaltract.phonetics.speaker import Speaker
from vocaltract.phonetics.speakers import speaker_of
from vocaltract.speech import say_alone


def view_of(entry: SoundEntry) -> View:
    """How much of the head is shown: the whole nose only where air passes through it."""
    nasal = entry.manner == "nasal" or "\u0303" in entry.symbol
    return still_layout().still.view(nasal)


def key_time_s(timeline: Timeline) -> float:
    """The moment that shows a sound best: late in its hold, the middle of its steady part, the start of a glide."""
    span = timeline.spans[0]
    start, end = span.hold_s
    if glides(span.entry):
        return start + still_layout().glide.shown_at * (end - start)
    if span.entry.is_stop:
        at = still_layout().hold
        return start + (at.voiced_at if span.entry.voiced else at.voiceless_at) * (end - start)
    return (start + end) / 2


def still(
    name: str,
    *,
    labels: str = "plain",
    style: str = "light",
    size: tuple[int, int] | None = None,
    show: Iterable[str] | None = None,
    hide: Iterable[str] = (),
    mirrored: bool = False,
    transparent: bool = False,
    language: str = "en",
    speaker: Speaker | str | None = None,
) -> Diagram:
    """The side view of a sound.

    `labels`: none, plain or technical; `style`: a name or a style file; `size` in px: as drawn where not given;
    `show`, `hide`: parts of `anatomy.layers.DRAWN_ORGANS` and `MARKS`; `mirrored`: the speaker faces right;
    `speaker`: whose head it is, by name too. BadInput for an unknown sound, labels, style, language, speaker or part.
    """
    parts = anatomy.parts_to_draw(show, hide)
    entry = named(name)
    look = StillLook(load(style), check_labels(labels), parts, mirrored, transparent, language_of(language))
    picture = still_picture(entry, say_alone(entry, speaker_of(speaker)), look)
    page = still_layout().still
    return Diagram(fitted(picture, size or (page.width_px, page.height_px)), look.style, transparent)


def write_still(name: str, out: Path, *, force: bool = False, **settings: Any) -> None:
    """Write the side view of a sound to .svg, .pdf or .png; settings as of `still`, BadInput as of `Diagram.save`."""
    still(name, **settings).save(out, force=force)


def still_picture(entry: SoundEntry, timeline: Timeline, look: StillLook) -> Picture:
    """The picture at 1600 x 1200 px: section, labels, small views, title and caution."""
    style, page = look.style, still_layout().still
    now = moment(timeline, key_time_s(timeline))
    view = view_of(entry)
    free = acting.resting(entry, now.section)
    layers = [] if look.transparent else [Layer("ground", (Fill(anatomy.card(view), "panel"),), moves=False)]
    drawn = side_view(now, Canvas(view, style), Scope(look.parts, free))
    if look.transparent:
        layers.append(_rim(drawn, now, view, look.parts))
    layers += drawn
    if glides(entry) and "tongue" in look.parts:
        layers.append(end_layer(timeline, now, view, style))
    layers.append(Layer("card edge", (Stroke(anatomy.card(view), "rule", style.line("rule")),)))
    layers.append(small_views_layer(entry, now, look, view))
    if look.labels != "none":
        layers.append(labels_layer(now, view, look, layers))
    if look.mirrored:
        layers = [mirror.layer(layer, page.width_px) for layer in layers]
    layers += [title_layer(entry, look, free), state_layer(timeline, now, look)]
    name, about = (look.language.say(said) for said in described(entry, now))
    return Picture(page.width_px, page.height_px, "paper", tuple(layers), title=name, description=about)


def _rim(drawn: list[Layer], now: Moment, view: View, parts: frozenset[str]) -> Layer:
    """A rim of paper around the face and what leaves it: it shows only where nothing of the head lies over it."""
    ops: list[Op] = []
    rim_px = still_layout().still.rim_px
    if "face" in parts:
        lines = ("profile", "upper_lip", "lower_lip", "chin_neck")
        skin = Shape.lines([view.px(now.section[line]) for line in lines])
        ops.append(Stroke(skin, "paper", 2 * (view.line(2.2) + rim_px)))
    for layer in drawn:
        if layer.name in ("air", "contact", "voice"):
            ops += rims.rims(layer.ops, rim_px)
    return Layer("rim", (Group(tuple(ops), clip=anatomy.card(view)),))


def described(entry: SoundEntry, now: Moment) -> tuple[Line, Line]:
    """Title, and what the picture shows for readers who do not see it."""
    state, name = now.instant, sound_name(entry.name)
    mouth = Line("still.mouth_shut" if state.closures else "still.mouth_open")
    nose = Line("still.nose_open" if now.airway.nose else "still.nose_shut")
    folds = Line(f"still.{folds_word(state.folds_mm, state.voice).key.replace('.', '_')}")
    return (
        line("still.title", symbol=entry.symbol, name=name),
        line("still.about", symbol=entry.symbol, name=name, mouth=mouth, nose=nose, folds=folds),
    )
