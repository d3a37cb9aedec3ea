"""The key moments of a text side by side, each tied to its time on the time strip below."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

import numpy as np

from articulators.curves import Array
from renders.ink.diagram import Diagram
from renders.marks.moment import Moment
from renders.marks.moments import moments
from renders.paper import icons
from renders.paper.canvas import Canvas
from renders.paper.fitting import block, fitted, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style, load
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.burst import brief_burst
from renders.sideview.composed import side_view
from renders.stills.layout import still_layout
from renders.tracks import timestrip
from renders.tracks.layout import tracks_layout
from renders.tracks.wave_row import HeardWave, heard_wave
from renders.wording import teller
from renders.wording.languages import Language, language_of
from renders.wording.line import Series
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import USUAL, Speech, say


@dataclass(frozen=True)
class MomentCard:
    """One key moment of a strip: what is drawn, what is said beside it, and its frame in px."""

    key: teller.KeyMoment
    shown: Moment
    box: Box


def write_strip(
    text: str, out: FilePath, *, speech: Speech = USUAL, force: bool = False, **settings: Any
) -> dict[str, Any]:
    """Write the key moments of words, a phrase or IPA to .svg, .pdf or .png; settings as of `strip`.

    Returns their labels and times. BadInput also where the text cannot be read, and as of `Diagram.save`.
    """
    made = strip(say(text, speech), **settings)
    made.save(out, force=force)
    return dict(made.report)


def strip(
    timeline: Timeline,
    *,
    style: str = "light",
    size: tuple[int, int] | None = None,
    language: str = "en",
    wave: bool = False,
) -> Diagram:
    """The key moments of a timeline; reports their labels and times. `size` in px: as drawn where not given.

    wave  with the wave of what is heard under the tracks

    BadInput for an unknown style or language.
    """
    look, wording, page = load(style), language_of(language), still_layout().strip
    keys = teller.key_moments(timeline)
    begin = timeline.speech_s[0]
    labelled = [{"label": wording.say(k.label), "time_ms": round(1000 * (k.time_s - begin))} for k in keys]
    report = {"moments": labelled, "notes": list(timeline.utterance.notes)}
    heard = model_wave(timeline) if wave else None
    picture = fitted(strip_picture(timeline, look, wording, wave=heard), size or (page.width_px, page.height_px))
    return Diagram(picture, look, report=report)


def model_wave(timeline: Timeline) -> HeardWave:
    """The computed voice of a timeline, as a row shows it."""
    from vocaltract.sound.hearing import HEARD_RATE_HZ, heard

    return heard_wave(heard(timeline), HEARD_RATE_HZ)


def strip_picture(
    timeline: Timeline, style: Style, language: Language, most: int = 10, wave: HeardWave | None = None
) -> Picture:
    """The strip at 1600 x 660 px with at most ``most`` moments; `wave`: what is heard, None for no such row."""
    page = still_layout().strip
    keys = teller.key_moments(timeline, most)
    shown = moments(timeline, np.array([key.time_s for key in keys]))
    placed = zip(keys, shown, _boxes(len(keys)), strict=True)
    cards = [MomentCard(key, brief_burst(now), box) for key, now, box in placed]
    layers = [_heading(timeline, language, wave is not None and timeline.leading is None)]
    layers.append(Layer("strip ground", (Fill(Path.rectangle(*page.box_px, 14), "panel"),)))
    for card in cards:
        layers += card_layers(timeline, card, style, language)
    layers.append(_leaders(timeline, cards, style))
    layers.append(timestrip.strip_static(timestrip.time_strip(timeline, page.box_px, style, language, wave=wave)))
    words = (f"{_symbols(timeline, card)} {language.say(card.key.label)}".strip() for card in cards)
    about = language.text("strip.about", moments=Series(tuple(words)))
    title = language.text("strip.title", text=" ".join(timeline.utterance.words))
    return Picture(page.width_px, page.height_px, "paper", tuple(layers), title, about)


def leader_lines(timeline: Timeline, boxes: list[Box], times_s: list[float]) -> list[Array]:
    """Lines (4, 2) in px from each card down to its time on the strip.

    Cards and times are in the same order, so that lines between the same two heights cannot cross.
    """
    page = still_layout().strip
    top, bottom = page.card_top_px + page.card_high_px, page.leader_end_px
    lines = []
    for (x, _, w, _), time_s in zip(boxes, times_s, strict=True):
        at = float(timestrip.strip_x(timeline, page.box_px, time_s))
        middle = x + w / 2
        stub = page.stub_px
        lines.append(np.array([[middle, top], [middle, top + stub], [at, bottom - stub - 6], [at, bottom]]))
    return lines


def _boxes(count: int) -> list[Box]:
    """Frames of the cards, side by side in the middle of the picture."""
    page = still_layout().strip
    apart = page.apart_px
    wide = min(page.widest_px, (page.width_px - 2 * page.edge_px - (count - 1) * apart) / count)
    left = (page.width_px - count * wide - (count - 1) * apart) / 2
    return [(left + i * (wide + apart), page.card_top_px, wide, page.card_high_px) for i in range(count)]


def _whose(timeline: Timeline) -> str:
    return "_wave" if timeline.leading is None else "_recorded"


def _heading(timeline: Timeline, language: Language, sounds: bool = False) -> Layer:
    utterance, page = timeline.utterance, still_layout().strip
    x, room = page.edge_px + 6, page.width_px - 2 * page.edge_px - 12
    said = language.text(f"strip.heading{_whose(timeline) if sounds else ''}")
    ops: list[Op] = [Text(said, page.width_px - page.edge_px - 6, 50, 19, "ink2", anchor="end")]
    room -= width(said, 19) + 30
    text = utterance.transcription if timeline.alone else " ".join(utterance.words)
    size = size_for(text, room * 0.6, 40, "bold")
    ops.append(Text(text, x, 52, size, "ink", "bold"))
    if not timeline.alone and utterance.transcription != text:
        start = x + width(text, size, "bold") + 20
        rest = x + room - start
        ops.append(Text(utterance.transcription, start, 52, size_for(utterance.transcription, rest, 29), "ink2"))
    return Layer("heading", tuple(ops))


def card_layers(
    timeline: Timeline, card: MomentCard, style: Style, language: Language, clock: bool = True
) -> list[Layer]:
    """A card: side view, symbols, what happens, pictograms; `clock`: with its time from the start of speech."""
    x, y, w, h = card.box
    page = still_layout().strip
    bleed, high = page.bleed_px, h - page.words_high_px
    scale = min(w / page.seen_mm[0], high / page.seen_mm[1])
    view = View((x - bleed, y - bleed, w + 2 * bleed, high + 2 * bleed), scale, page.middle_mm)
    frame = Path.rectangle(*card.box, page.corner_px)
    side = side_view(card.shown, Canvas(view, style))
    cut = Path.rectangle(x, y, w, high)
    layers = [Layer("card ground", (Fill(frame, "panel"),))]
    # one clip may be other than an upright rectangle: the card's own round corners are drawn over in paper colour
    layers += [Layer(layer.name, (Group(layer.ops, clip=cut),)) for layer in side]
    layers.append(Layer("card", tuple(_words(timeline, card, style, language, clock))))
    return layers


def _words(timeline: Timeline, card: MomentCard, style: Style, language: Language, clock: bool) -> list[Op]:
    x, y, w, h = card.box
    page = still_layout().strip
    top = y + h - page.words_high_px
    inner = w - 24
    state = teller.state(timeline, card.key.time_s)
    symbols = _symbols(timeline, card)
    big = size_for(symbols, inner * 0.46, 36, "bold")
    label = language.say(card.key.label)
    time = f"{_ms(timeline, card.key.time_s)} ms" if clock else ""
    ops: list[Op] = [
        _corners(card.box),
        Stroke(Path.line([[x, top], [x + w, top]]), "rule", style.line("rule"), opacity=0.6, cap="butt"),
        Stroke(Path.rectangle(*card.box, page.corner_px), "rule", style.line("rule")),
        Text(symbols, x + 12, top + 25, big, "ink", "bold", baseline="middle"),
        Text(time, x + w - 12, top + 25, 18, "ink2", anchor="end", baseline="middle"),
        *_label(label, x + 12, top + 58, inner),
    ]
    wide = min(page.icon_px, (inner - 2 * page.icon_apart_px) / 3)
    step = (inner - 3 * wide) / 2
    kinds = (state.contact.icon, _air_icon(state.air.icon, card.shown), state.voice.icon)
    for number, kind in enumerate(kinds):
        place = (x + 12 + number * (wide + step), top + 99 - wide / 2.2, wide, wide / 1.1)
        ops.append(Group(tuple(icons.icon(kind, place, style))))
    return [op for op in ops if not isinstance(op, Text) or op.string]


def _label(label: str, x: float, y: float, room: float) -> list[Op]:
    """What happens: one line, or two where it would become too small to read."""
    size = size_for(label, room, 20, "bold")
    lines = [label]
    if size < 17:
        lines, size = block(label, room, 17, 2, "bold")
    step = 1.1 * size
    first = y - 0.5 * step * (len(lines) - 1)
    return [Text(t, x, first + i * step, size, "ink", "bold", baseline="middle") for i, t in enumerate(lines)]


def _air_icon(kind: str, shown: Moment) -> str:
    """The pictogram of the air, after the burst that the film shows for longer."""
    if "burst" not in kind or shown.instant.burst > 0:
        return kind
    return "flow" if shown.instant.vibrates else "breath"


def _corners(box: Box) -> Op:
    """The paper outside a card's round upper corners."""
    x, y, w, _ = box
    r = still_layout().strip.corner_px
    outer = [(x - 1, y - 1), (x + w + 1, y - 1)]
    turn = np.linspace(0, np.pi / 2, 12)
    left = np.stack([x + r - r * np.cos(turn), y + r - r * np.sin(turn)], axis=-1)
    right = np.stack([x + w - r + r * np.sin(turn), y + r - r * np.cos(turn)], axis=-1)
    ring = np.concatenate([[*outer, (x + w + 1, y + r)], right[::-1], left[::-1], [(x - 1, y + r)]])
    return Fill(Path.polygon(ring), "paper")


def _symbols(timeline: Timeline, card: MomentCard) -> str:
    """The sound of a card; both where two closures overlap."""
    indices = dict.fromkeys(i for c in card.shown.instant.closures for i in c.indices)
    if len(card.shown.instant.closures) > 1:
        return "  ".join(timeline.spans[i].sound.symbol for i in sorted(indices))
    index = card.key.span_index
    return "" if index is None else timeline.spans[index].sound.symbol


def _ms(timeline: Timeline, time_s: float) -> str:
    ms = round(1000 * (time_s - timeline.speech_s[0]))
    return f"\u2212{-ms}" if ms < 0 else f"{ms}"


def _leaders(timeline: Timeline, cards: list[MomentCard], style: Style) -> Layer:
    ops: list[Op] = []
    (begin, end), beyond_s = timeline.speech_s, tracks_layout().strip_rows.beyond_s
    seen = [c for c in cards if begin - beyond_s <= c.key.time_s <= end + beyond_s]
    for line in leader_lines(timeline, [c.box for c in seen], [c.key.time_s for c in seen]):
        tip = line[-1]
        head = np.array([tip, tip + [-4.5, -10], tip + [4.5, -10]])
        shaft = np.concatenate([line[:-1], [tip - [0, 8]]])
        ops.append(Stroke(Path.line(shaft), "ink", style.line("leader"), name="leader"))
        ops.append(Fill(Path.polygon(head), "ink"))
    return Layer("leaders", tuple(ops))
