"""Two sounds compared in one picture: what is the same, each where they differ, and both in time."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path as FilePath
from typing import Any, Literal, TypeAlias

from renders.anatomy import layers as anatomy
from renders.anatomy.larynx import folds_height_mm
from renders.anatomy.pen import PlatePen
from renders.ink.diagram import Diagram
from renders.insets import palate
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import lip_shape, lips_view, lips_word
from renders.marks.air import air_layer
from renders.marks.contact import contact_layer
from renders.marks.moment import Moment
from renders.paper.canvas import Canvas
from renders.paper.fitting import block, broken, fitted, size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.style import Style, load
from renders.paper.typeface import width
from renders.paper.view import View
from renders.sideview.burst import brief_burst
from renders.sideview.composed import side_view
from renders.sideview.moments import moment
from renders.sideview.overlay import overlay_layers, second_stroke, solid_width
from renders.tracks.pair_tracks import Row, Span, tracks_layer
from renders.wording.event_words import event_label, event_title
from renders.wording.languages import Language, language_of
from renders.wording.line import Blank, Line, Series, line
from renders.wording.pair_statement import statement_of
from renders.wording.statement import Statement, noun, place_words
from renders.wording.thresholds import thresholds
from vocaltract.motion.limits import port_open
from vocaltract.pairs.difference import Difference, SoundMeasures, difference, middle_s
from vocaltract.pairs.event import Alignment, alignment
from vocaltract.pairs.occurrences import Comparison, Occurrence, compare, example_occurrences
from vocaltract.phonetics.inventory import SoundEntry
from vocaltract.speech import USUAL, Speech

WIDTH, HEIGHT = 1600, 1100
EDGE = 24.0
CARD_Y, CARD_W, CARD_H, CARD_HEAD, CARD_FOOT = 186.0, 504.0, 532.0, 58.0, 48.0
TRACKS = (EDGE, 732.0, WIDTH - 2 * EDGE, 326.0)
SCALE, CENTRE_MM = 3.3, (20.5, -20.0)
BLEED = 20.0  # side views reach beyond their window, so that their round corners are cut off
INSET, PALATE = (168.0, 124.0), (168.0, 172.0)


Small: TypeAlias = Literal["folds", "lips", "palate", ""]


@dataclass(frozen=True)
class Compared:
    """All that a comparison draws: both sounds, what was measured and is said, and the moments shown.

    held   both in their hold, for what is the same or for the two outlines
    shown  both where they differ
    """

    said: tuple[Occurrence, Occurrence]
    measures: tuple[SoundMeasures, SoundMeasures]
    d: Difference
    told: Statement
    position: str
    held: tuple[Moment, Moment]
    shown: tuple[Moment, Moment]


def write_pair(
    a: str,
    b: str,
    out: FilePath,
    *,
    speech: Speech = USUAL,
    **settings: Any,
) -> dict[str, Any]:
    """Write the comparison of two sounds, words or phrases to .svg, .pdf or .png; settings as of `comparison`.

    Returns what it says. Sounds are shown in a minimal pair of words where English has one, else by themselves; of
    texts, where they first differ. BadInput for what cannot be read, what is said the same, and another ending.
    """
    made = comparison(compare(a, b, speech), **settings)
    made.save(out)
    return dict(made.report)


def comparison(
    two: Comparison, *, event: str = "", style: str = "light", size: tuple[int, int] = (WIDTH, HEIGHT),
    language: str = "en",
) -> Diagram:  # fmt: skip
    """The comparison of two sounds where they are said; reports what it says.

    `event`: what coincides in the tracks, of `pair_align.EVENTS`; "" takes what suits. BadInput for another event, and
    an unknown style or language.
    """
    look, wording = load(style), language_of(language)
    pair = compared_as(two)
    return Diagram(fitted(drawn(pair, look, wording, event), size), look, report=report(pair, wording))


def report(pair: Compared, language: Language) -> dict[str, Any]:
    """What a comparison says, for --json: position, words, transcriptions, title, sentences, notes."""
    words = [said.word or f"[{said.entry.symbol}]" for said in pair.said]
    return {
        "position": pair.position,
        "words": words,
        "transcriptions": [said.timeline.utterance.transcription for said in pair.said],
        "title": language.say(pair.told.title),
        "statement": language.sentences(pair.told.plain),
        "technical": language.sentences(pair.told.technical),
        "unseen": language.sentences(pair.told.unseen),
        "language": language.key,
        "notes": list(dict.fromkeys(note for said in pair.said for note in said.timeline.utterance.notes)),
    }


def compared(a: SoundEntry, b: SoundEntry) -> Compared:
    """Two sounds measured, put into words and brought to the moments that are drawn; no style yet."""
    return compared_as(Comparison(*example_occurrences(a, b)))


def compared_as(two: Comparison) -> Compared:
    """The two sounds of texts (or of the words chosen for them) measured, told and brought to the moments drawn."""
    first, second, position = two.first, two.second, two.position
    said = (first, second)
    d = difference(first.timeline, second.timeline, (first.index, second.index))
    statement = statement_of(two, d)
    measures = (d.first, d.second)

    def at(times: tuple[float, float]) -> tuple[Moment, Moment]:
        return moment(first.timeline, times[0]), moment(second.timeline, times[1])

    looked = at((look_s(first, d.first, d, statement.kind), look_s(second, d.second, d, statement.kind)))
    if d.moved:
        held = at((d.first.middle_s, d.second.middle_s))
    else:
        held = at((look_s(first, d.first, d, "held"), look_s(second, d.second, d, "held")))
    shown = (brief_burst(looked[0]), brief_burst(looked[1]))
    return Compared(said, measures, d, statement, position, held, shown)


def drawn(pair: Compared, style: Style, language: Language, event: str = "") -> Picture:
    """The comparison at 1600 x 1100 px; `event` as for `write_pair`."""
    (a, b), told = pair.said, pair.told
    layers = [Layer("ground", (Fill(Path.rectangle(*TRACKS, 14), "panel"),), moves=False), _heading(told, language)]
    boxes = [(EDGE + i * (CARD_W + (WIDTH - 2 * EDGE - 3 * CARD_W) / 2), CARD_Y, CARD_W, CARD_H) for i in range(3)]
    layers += (_overlay_card if pair.d.moved else _same_card)(pair, boxes[0], style, language)
    for i in (0, 1):
        caption = _caption(pair.said[i], pair.shown[i], pair.measures[i], pair.measures[1 - i], told.kind)
        layers += _card(pair.said[i], pair.shown[i], caption, _small_view(pair), boxes[i + 1], style, language)
    layers += [_tracks(pair, style, language, event), _foot(a, b, language)]
    title = language.text("pair_caption.compared", a=a.entry.symbol, b=b.entry.symbol)
    about = language.sentences((line("pair_caption.sentence", said=told.title), *told.plain, *told.unseen))
    return Picture(WIDTH, HEIGHT, "paper", tuple(layers), title, about)


def _small_view(pair: Compared) -> Small:
    """What is shown beside the side view.

    The contact of the tongue from below where a side view cannot show the difference, the folds where the voice
    differs, else the lips, else nothing.
    """
    d = pair.d
    if pair.told.unseen:
        return "palate"
    if d.voice or (d.folds and not d.moved):
        return "folds"
    opening = abs(d.first.lips_gap_mm - d.second.lips_gap_mm)
    rounder = abs(d.first.lips_round - d.second.lips_round)
    least = thresholds().shown
    seen = rounder > thresholds().said.rounder or opening > least.lips_wider_mm or d.lips_mm > least.lips_moved_mm
    return "lips" if "lips" in d.moved and seen else ""


def look_s(said: Occurrence, m: SoundMeasures, d: Difference, about: str) -> float:
    """The moment in s at which a sound is shown: where the two differ most."""
    if about == "onset" and m.release_s is not None:
        onsets = sorted(o for o in (d.first.voice_onset_s, d.second.voice_onset_s) if o is not None)
        after = thresholds().moments.onset_look_ms / 1000
        if not onsets[0] + 0.005 < after < onsets[-1] - 0.005:
            after = sum(onsets) / len(onsets)
        return m.release_s + after
    start, end = said.span.hold_s
    if said.entry.is_stop:
        return start + 0.8 * (end - start)
    return start + 0.6 * (end - start) if said.entry.closes else middle_s(said.span)


def _heading(told: Statement, language: Language) -> Layer:
    room = WIDTH - 2 * EDGE - 20
    x = EDGE + 10
    title = language.say(told.title)
    ops: list[Op] = [Text(title, x, 54, size_for(title, room, 38, "bold"), "ink", "bold")]
    plain = language.sentences((*told.plain, *told.unseen))
    lines, size = block(plain, room, 28, 2)
    if size < 24:
        lines, size = block(plain, room, 24, 3)
    y = 98.0
    for row in lines:
        ops.append(Text(row, x, y, size, "ink"))
        y += size * 1.24
    lines, size = block(language.sentences(told.technical), room, 19, 1 if len(lines) > 2 else 2)
    y += 2 if len(lines) > 1 else 0
    for row in lines:
        ops.append(Text(row, x, y, size, "ink2"))
        y += size * 1.24
    return Layer("heading", tuple(ops))


def _view(box: Box) -> View:
    x, y, w, h = _window(box)
    return View((x - BLEED, y - BLEED, w + 2 * BLEED, h + 2 * BLEED), SCALE, CENTRE_MM)


def _window(box: Box) -> Box:
    """The part of a card that shows the side view."""
    x, y, w, h = box
    return x, y + CARD_HEAD, w, h - CARD_HEAD - CARD_FOOT


def _frame(
    box: Box, tag: str, symbols: str, word: str, caption: str, filled: bool, style: Style
) -> tuple[Layer, Layer]:
    """What lies under a side view, and what lies over it: panel; tag, symbols, word, caption, edges."""
    x, y, w, h = box
    card = Path.rectangle(x, y, w, h, 14)
    under = Layer("card ground", (Fill(card, "panel"),), moves=False)
    size = 19.0
    wide = width(tag, size, "bold") + 26
    pill = Path.rectangle(x + w - 16 - wide, y + 13, wide, 33, 16)
    tag_ops: list[Op] = [Fill(pill, "focus")] if filled else [Stroke(pill, "ink", 2.0)]
    colour = "on_focus" if filled else "ink"
    middle = x + w - 16 - wide / 2
    tag_ops.append(Text(tag, middle, y + 29.5, size, colour, "bold", anchor="middle", baseline="middle"))
    room = w - wide - 60
    big = size_for(symbols, room, 44, "bold")
    ops: list[Op] = [*tag_ops, Text(symbols, x + 18, y + 30, big, "ink", "bold", baseline="middle")]
    start = x + 18 + width(symbols, big, "bold") + 16
    if word:
        rest = x + w - 16 - wide - 12 - start
        ops.append(Text(word, start, y + 32, size_for(word, rest, 23), "ink2", baseline="middle"))
    foot = y + h - CARD_FOOT / 2
    ops.append(Text(caption, x + w / 2, foot, size_for(caption, w - 28, 23), "ink", anchor="middle", baseline="middle"))
    top, bottom = y + CARD_HEAD, y + h - CARD_FOOT
    rule = style.line("rule")
    for at in (top, bottom):
        ops.append(Stroke(Path.line([[x, at], [x + w, at]]), "rule", rule, opacity=0.6, cap="butt"))
    ops.append(Stroke(card, "rule", rule))
    return under, Layer("card", tuple(ops))


def _cut(layers: list[Layer], box: Box) -> list[Layer]:
    """Layers of a side view, cut to the window of a card."""
    window = Path.rectangle(*_window(box))
    return [Layer(layer.name, (Group(layer.ops, clip=window),), layer.moves) for layer in layers]


def _same_card(pair: Compared, box: Box, style: Style, language: Language) -> list[Layer]:
    (a, b), told = pair.said, pair.told
    view, canvas = _view(box), Canvas(_view(box), style)
    shown = _weaker(*pair.held)
    folds = view.px([0.0, folds_height_mm(shown.section) + 5.0])[1]
    x, y, w, _ = view.box
    air = air_layer(shown, canvas)
    side = [
        anatomy.moving_layer(shown.section, shown.airway, PlatePen(canvas)),
        # no air at the folds: what passes there differs between the two
        Layer("air", (Group(air.ops, clip=Path.rectangle(x, y, w, folds - y)),)),
        contact_layer(shown, canvas),
    ]
    symbols = f"{a.entry.symbol}  {b.entry.symbol}"
    tag, word = language.text("pair_tag.same"), language.text("pair_caption.held")
    under, over = _frame(box, tag, symbols, word, language.say(told.both), False, style)
    return [under, *_cut([anatomy.fixed_layer(a.timeline.head, canvas), *side], box), over]


def _weaker(a: Moment, b: Moment) -> Moment:
    """The first moment with no more pressure, flow and voice than both have."""
    flow = min(a.instant.mouth_ml_s, b.instant.mouth_ml_s)
    pressure = min(a.instant.pressure_share, b.instant.pressure_share)
    quiet = replace(a.instant, voice=0.0, breath=0.0, since_release_s=math.inf)
    return replace(a, instant=replace(quiet, pressure_share=pressure, mouth_ml_s=flow))


def _overlay_card(pair: Compared, box: Box, style: Style, language: Language) -> list[Layer]:
    (a, b), held = pair.said, pair.held
    view = _view(box)
    canvas = Canvas(view, style)
    side = [anatomy.fixed_layer(a.timeline.head, canvas)]
    side += overlay_layers(held[0], held[1], canvas, thresholds().moments.near_mm)
    symbols = f"{a.entry.symbol}  {b.entry.symbol}"
    caption = language.text(f"pair_caption.{'overlay_vowel' if a.entry.kind == 'vowel' else 'overlay'}")
    under, over = _frame(box, language.text("pair_tag.outlines"), symbols, "", caption, False, style)
    x, y, _, h = _window(box)
    top = y + h - 112
    ops: list[Op] = []
    for number, said in enumerate((a, b)):
        at = top + 22 + number * 30
        path = Path.line([[x + 14, at], [x + 62, at]])
        ops.append(Stroke(path, "ink", solid_width(canvas)) if number == 0 else second_stroke(path, canvas))
        ops.append(Text(said.entry.symbol, x + 72, at, 23, "ink", "bold", baseline="middle"))
    only_one = language.text("pair_tracks.only_one")
    for number, row in enumerate(broken(only_one, 130, 16)):
        ops.append(Text(row, x + 14, top + 80 + 19 * number, 16, "ink2", baseline="middle"))
    return [under, *_cut(side, box), Layer("key", tuple(ops)), over]


def _card(
    said: Occurrence, shown: Moment, caption: Line, small: Small, box: Box, style: Style, language: Language
) -> list[Layer]:
    side = side_view(shown, Canvas(_view(box), style))
    word = line("pair_caption.in_word", word=said.word) if said.word else Line("pair_position.alone")
    tag = language.text("pair_tag.different")
    under, over = _frame(box, tag, said.entry.symbol, language.say(word), language.say(caption), True, style)
    x, y, _, h = _window(box)
    size = PALATE if small == "palate" else INSET
    beside = [_inset(shown, small, (x + 12, y + h - size[1] - 12, *size), style, language)] if small else []
    return [under, *_cut(side, box), *beside, over]


def _inset(shown: Moment, small: Small, box: Box, style: Style, language: Language) -> Layer:
    """The folds from above, the lips from the front, or the roof of the mouth from below."""
    x, y, w, h = box
    inner = (x + 8, y + 20, w - 16, h - 46)
    state = shown.instant
    if small == "palate":
        word = palate.contact_word(shown.section)
        flows = state.mouth_flows
        drawn = palate.contact_view(shown.section, inner, style, flows)
    elif small == "lips":
        shape = lip_shape(shown.section)
        word = lips_word(shape)
        drawn = lips_view(shape, inner, style)
    else:
        word = folds_word(state.folds_mm, state.voice)
        drawn = folds_view(state.folds_mm, state.voice, shown.drift, inner, style)
    frame = Path.rectangle(*box, 10)
    title, shows = language.text(f"view.{small}"), language.say(word)
    fits = size_for(shows, w - 8, 18, "bold")
    return Layer(
        "inset",
        (
            Fill(frame, "panel"),
            Stroke(frame, "rule", style.line("rule")),
            Text(title, x + w / 2, y + 12, size_for(title, w - 8, 15), "ink2", anchor="middle", baseline="middle"),
            Group(tuple(drawn)),
            Text(shows, x + w / 2, y + h - 14, fits, "ink", "bold", anchor="middle", baseline="middle"),
        ),
    )


def _caption(said: Occurrence, shown: Moment, m: SoundMeasures, other: SoundMeasures, about: str) -> Line:
    if about == "onset" and m.release_s is not None:
        when = line("pair_caption.after", ms=round(1000 * (shown.time_s - m.release_s)))
        return _of(when, _folds(shown), _air(said, shown))
    if about == "hold":
        return _of(Line("pair_caption.held"), _folds(shown), _air(said, shown))
    if about == "nose":
        palate_is = "palate_down" if port_open(m.port_mm) else "palate_up"
        return _of(Line(f"pair_caption.{palate_is}"), _air(said, shown))
    if about == "shape":
        rise, drop = m.tongue_top_mm[1] - other.tongue_top_mm[1], m.jaw_mm - other.jaw_mm
        parts = [Line(f"pair_caption.{'higher' if rise > 0 else 'lower'}")] if abs(rise) > 1 else []
        parts += [Line(f"pair_caption.{'jaw_lower' if drop > 0 else 'jaw_higher'}")] if abs(drop) > 1 else []
        return _of(Line("pair_caption.steady"), *(parts or [noun(m, said.entry)]))
    return _of(noun(m, said.entry), _air(said, shown))


def _of(what: Line, *parts: Blank) -> Line:
    """A caption: when or what, and what is seen there."""
    return line("pair_caption.of", what=what, parts=Series(parts))


def _folds(shown: Moment) -> Line:
    word = folds_word(shown.instant.folds_mm, shown.instant.voice)
    return Line(f"pair_caption.{word.key.replace('.', '_')}")


def _air(said: Occurrence, shown: Moment) -> Line:
    now = shown.instant
    if now.nose_flows:
        return Line("pair_caption.air_nose")
    if now.sides_open:
        return Line("pair_caption.air_sides")
    if now.closures:
        return Line("pair_caption.air_held")
    if not now.mouth_flows:
        return Line("pair_caption.air_none")
    if now.friction:
        return Line("pair_caption.air_hiss")
    return Line("pair_caption.air_flows" if now.vibrates else "pair_caption.air_breath")


def _tracks(pair: Compared, style: Style, language: Language, event: str) -> Layer:
    way = alignment(pair.said, event)
    rows = rows_of(pair, way)
    named = event_title(way.name), event_label(way.name)
    return tracks_layer(rows, named, differs(pair, rows), TRACKS, style, language)


def rows_of(pair: Compared, way: Alignment) -> list[Row]:
    """Both sounds as rows in time, aligned in that way."""
    return [
        Row(s.entry.symbol, s.timeline, zero, s.index, place_words(m, s.entry), m.degree)
        for s, m, zero in zip(pair.said, pair.measures, way.zeros_s, strict=True)
    ]


def differs(pair: Compared, rows: list[Row]) -> Span | None:
    d, told = pair.d, pair.told
    if told.kind == "none":
        return None
    if told.kind == "onset" and d.first.voice_onset_s is not None and d.second.voice_onset_s is not None:
        onsets = (d.first.voice_onset_s, d.second.voice_onset_s)
        return Span(min(onsets), max(onsets), told.bracket)
    seen = thresholds().moments
    starts, ends = [], []
    for said, row in zip(pair.said, rows, strict=True):
        span = said.span
        start, end = (span.start_s, span.end_s) if said.entry.kind == "vowel" else span.hold_s
        starts.append(start - row.zero_s)
        ends.append(end - row.zero_s)
    return Span(max(min(starts), -seen.before_ms / 1000), min(max(ends), seen.after_ms / 1000), told.bracket)


def _foot(a: Occurrence, b: Occurrence, language: Language) -> Layer:
    words = Series((a.word, b.word))
    caution = line("pair_caption.caution", words=words) if a.word else Line("pair_caption.caution_alone")
    text = language.say(caution)
    return Layer("foot", (Text(text, EDGE + 10, HEIGHT - 18, 17, "ink2", baseline="middle"),))
