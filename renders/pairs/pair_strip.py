"""Key moments of two sounds, words or phrases in two rows: each column is one time from the event they share."""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path as FilePath
from typing import Any

import numpy as np

from renders.ink.diagram import Diagram
from renders.marks.moments import moments
from renders.pairs.compared import ComparedPair, compared_pair, look_s, pair_report
from renders.pairs.layout import pair_layout
from renders.pairs.look import PairLook
from renders.paper.fitting import block, fitted, size_for
from renders.paper.picture import Fill, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import load
from renders.paper.typeface import width
from renders.sideview.burst import brief_burst
from renders.stills import strip
from renders.stills.layout import still_layout
from renders.wording import teller
from renders.wording.event_words import event_label
from renders.wording.languages import Language, language_of
from renders.wording.line import line
from vocaltract.motion.limits import vibrates
from vocaltract.pairs.difference import middle_s
from vocaltract.pairs.event import Alignment, alignment
from vocaltract.pairs.occurrences import Comparison, Occurrence, compare
from vocaltract.speech import USUAL, Speeches


def write_pair_strip(
    a: str,
    b: str,
    out: FilePath,
    *,
    speech: Speeches = USUAL,
    force: bool = False,
    **settings: Any,
) -> dict[str, Any]:
    """Write both in two rows of key moments to .svg, .pdf or .png; settings as of `pair_strip`.

    Returns what the comparison says and the times. BadInput as for `picture.write_pair`.
    """
    made = pair_strip(compare(a, b, speech), **settings)
    made.save(out, force=force)
    return dict(made.report)


def pair_strip(
    two: Comparison, *, event: str = "", style: str = "light", size: tuple[int, int] | None = None, language: str = "en"
) -> Diagram:
    """Two sounds where they are said, in two rows of key moments; reports what the comparison says and the times.

    `size` in px; None: as drawn. BadInput as for `picture.comparison`.
    """
    look, page = PairLook(load(style), language_of(language)), pair_layout().strip
    pair = compared_pair(two)
    way = alignment(pair.said, event)
    says = {**pair_report(pair, look.language), "times_ms": [round(1000 * t) for t in times_s(pair, way)]}
    picture = fitted(pair_strip_picture(pair, way, look), size or (page.width_px, page.height_px))
    return Diagram(picture, look.style, report=says)


def times_s(pair: ComparedPair, way: Alignment) -> tuple[float, ...]:
    """Times in s from the shared event, in order and not too many: those at which one of the two does something."""
    most = pair_layout().strip.most
    apart = pair_layout().shown_from.columns_apart_s
    each = list(zip(pair.said, pair.measures, way.zeros_s, strict=True))
    ranked = [look_s(said, m, pair.difference, pair.statement.kind) - zero for said, m, zero in each]
    ranked += [t - zero for said, m, zero in each for t in _own(said, m.release_s, m.voice_onset_s)]
    beside = [t - zero for said, _, zero in each for t in _beside(said)]
    kept: list[float] = []
    shown: set[Hashable] = set()
    for time in [*ranked, *beside]:
        what = tuple(_shows(said, time + zero) for said, _, zero in each)
        again = time in beside and what in shown
        if len(kept) < most and not again and all(abs(time - other) >= apart for other in kept):
            kept.append(time)
            shown.add(what)
    return tuple(sorted(kept))


def _shows(said: Occurrence, time_s: float) -> Hashable:
    """Sound and phase at a time, and whether the folds vibrate: moments alike in these look alike."""
    return *teller.current(said.timeline, time_s), bool(vibrates(said.timeline.moment(np.array([time_s])).voice[0]))


def _own(said: Occurrence, release_s: float | None, onset_s: float | None) -> list[float]:
    """What happens in a sound, the important first: hold, release, voice."""
    span = said.span
    after = pair_layout().shown_from.first_s
    found = [middle_s(span)]
    if release_s is not None:
        found.append(release_s + after)
        if onset_s is not None and onset_s > 0:
            found.append(release_s + onset_s + after)
    if len(span.entry.posture) > 1:
        shown, lasts_s = pair_layout().shown, span.end_s - span.start_s
        found += [span.start_s + shown.glide_start * lasts_s, span.end_s - (1 - shown.glide_end) * lasts_s]
    return found


def _beside(said: Occurrence) -> list[float]:
    """What comes before and after a sound: the way to it, its neighbours, or rest."""
    span, spans = said.span, said.timeline.spans
    away = pair_layout().shown_from.approach_s
    found = [span.hold_s[0] - away] if span.entry.closes else []
    found += [middle_s(spans[n]) for n in (span.index + 1, span.index - 1) if 0 <= n < len(spans)]
    return [*found, span.start_s - 2 * away, span.end_s + 2 * away] if len(spans) == 1 else found


def pair_strip_picture(pair: ComparedPair, way: Alignment, look: PairLook) -> Picture:
    """The two rows at 1600 x 1010 px."""
    page, language = pair_layout().strip, look.language
    columns = times_s(pair, way)
    boxes = _boxes(len(columns))
    layers = [_heading(pair, language), _times(columns, boxes, way, language)]
    for number, (said, zero) in enumerate(zip(pair.said, way.zeros_s, strict=True)):
        layers.append(_label(said, number, language))
        timeline = said.timeline
        at = np.clip(np.array(columns) + zero, 0.0, timeline.duration_s)
        for shown, (x, wide) in zip(moments(timeline, at), boxes, strict=True):
            index, phase = teller.current(timeline, shown.time_s)
            key = teller.KeyMoment(shown.time_s, index, teller.phase_word(phase))
            card = strip.MomentCard(key, brief_burst(shown), (x, page.rows_px[number], wide, page.row_high_px))
            layers += strip.card_layers(timeline, card, look.style, language, clock=False)
    names = "; ".join(s.word or s.entry.symbol for s in pair.said)
    about = line("pair_strip.about", names=names, said=language.sentences(pair.statement.plain))
    title = language.say(pair.statement.title)
    return Picture(page.width_px, page.height_px, "paper", tuple(layers), title, language.say(about))


def _boxes(count: int) -> list[tuple[float, float]]:
    """Left edge and width of each column."""
    page = pair_layout().strip
    left, apart = page.edge_px + page.label_px, page.apart_px
    wide = min(still_layout().strip.widest_px, (page.width_px - page.edge_px - left - (count - 1) * apart) / count)
    return [(left + i * (wide + apart), wide) for i in range(count)]


def _heading(pair: ComparedPair, language: Language) -> Layer:
    page = pair_layout().strip
    room = page.width_px - 2 * page.edge_px - 12
    x = page.edge_px + 6
    title = language.say(pair.statement.title)
    size = size_for(title, room, 36, "bold")
    ops: list[Op] = [Text(title, x, 50, size, "ink", "bold")]
    plain = language.sentences((*pair.statement.plain, *pair.statement.unseen))
    ops.append(Text(plain, x, 88, size_for(plain, room, 24), "ink"))
    ops.append(Text(language.text("pair_strip.foot"), x, page.height_px - 24, 17, "ink2", baseline="middle"))
    return Layer("heading", tuple(ops))


def _times(columns: tuple[float, ...], boxes: list[tuple[float, float]], way: Alignment, language: Language) -> Layer:
    """A pill above each column with its time from the event; the event's name at the left."""
    page = pair_layout().strip
    text, y = language.text("pair_strip.from", event=event_label(way.name)), page.times_px
    lines, size = block(text, page.label_px - 14, 18, 2)
    first = y - 1.2 * size * (len(lines) - 1)
    ops: list[Op] = [Text(row, page.edge_px + 6, first + 1.2 * size * i, size, "ink2") for i, row in enumerate(lines)]
    for time_s, (x, wide) in zip(columns, boxes, strict=True):
        ms = round(1000 * time_s)
        text = f"+{ms} ms" if ms > 0 else f"\u2212{-ms} ms" if ms < 0 else "0 ms"
        tall, long = 34.0, width(text, 20, "bold") + 28
        pill = Path.rectangle(x + wide / 2 - long / 2, y - tall / 2 - 6, long, tall, tall / 2)
        ops += [Fill(pill, "panel"), Stroke(pill, "rule", 1.4)]
        ops.append(Text(text, x + wide / 2, y - 6, 20, "ink", "bold", anchor="middle", baseline="middle"))
    return Layer("times", tuple(ops))


def _label(said: Occurrence, number: int, language: Language) -> Layer:
    page = pair_layout().strip
    x, y = page.edge_px + 6, page.rows_px[number]
    symbol, word = said.span.sound.symbol, said.word or language.text("pair_position.alone")
    room = page.label_px - 20
    shown = said.timeline.utterance.transcription
    ops: list[Op] = [
        Text(symbol, x, y + 76, size_for(symbol, room, 76, "bold"), "ink", "bold"),
        Text(word, x, y + 122, size_for(word, room, 26), "ink2"),
    ]
    if said.word and shown != word:
        ops.append(Text(shown, x, y + 154, size_for(shown, room, 22), "ink2"))
    return Layer("row label", tuple(ops))
