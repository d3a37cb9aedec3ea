"""What is said around the side view of a still: title, key of the colours, caution, and the state in words."""

from __future__ import annotations

from renders.marks.moment import Moment
from renders.paper import icons, mirror, rims
from renders.paper.fitting import size_for
from renders.paper.picture import Box, Fill, Group, Layer, Op, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.stills.glide import glides
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from renders.wording import teller
from renders.wording.line import Line, line
from renders.wording.names import sound_name
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry


def example(entry: SoundEntry) -> Line:
    """A word that holds the sound (one made by rule: what it is), and what the outlines of a vowel that moves mean."""
    word = line("still.example", keyword=entry.keyword) if entry.keyword else Line("still.by_rule")
    if not glides(entry):
        return word
    return line("still.glide", example=word, start=entry.symbol[:-1], end=entry.symbol[-1])


def _swatches(free: frozenset[str]) -> tuple[tuple[str, str], ...]:
    """Colour and key of its word, from left to right; what is left free is told from what works."""
    movers = (("mover", "works"), ("resting", "resting")) if free else (("mover", "moves"),)
    return (*movers, ("head", "head"), ("airway", "airway"))


def title_layer(entry: SoundEntry, look: StillLook, free: frozenset[str]) -> Layer:
    """Symbol, name, example, key of the colours, and the caution."""
    style, language, casing = look.style, look.language, look.casing
    page, title, swatch = still_layout().still, still_layout().title, still_layout().swatch
    symbol_wide = width(entry.symbol, title.symbol_px, "bold")
    x = title.edge_px
    small = style.size("small", "still")
    key = [(colour, language.text(f"still.key_{word}")) for colour, word in _swatches(free)]
    name, caution = language.say(sound_name(entry.name)), language.text("still.caution")
    at = page.width_px - swatch.right_px
    name_x = x + symbol_wide + 28
    room = at - sum(width(word, small) + swatch.apart_px for _, word in key) - name_x
    name_size = size_for(name, room, style.size("title", "still") * title.name_share, "bold")
    said = language.say(example(entry))
    ops: list[Op] = [
        Text(entry.symbol, x, title.symbol_y_px, title.symbol_px, "ink", "bold", casing=casing),
        Text(name, name_x, title.name_y_px, name_size, "ink", "bold", casing=casing),
        Text(said, name_x, title.example_y_px, style.size("second", "still"), "ink2", casing=casing),
    ]
    for colour, word in reversed(key):
        wide = width(word, small)
        left, middle = at - wide - swatch.before_px, swatch.top_px + swatch.high_px / 2
        box = (left, swatch.top_px, swatch.wide_px, swatch.high_px)
        path = Shape.rectangle(*box, 5)
        ops.append(Text(word, at, middle, small, "ink2", anchor="end", baseline="middle", casing=casing))
        ops += [Fill(path, colour), *_texture(colour, box, style)]
        ops.append(Stroke(path, "rule", style.line("rule")))
        at -= wide + swatch.apart_px
    foot = (page.width_px / 2, page.height_px - title.caution_y_px)
    size = size_for(caution, page.width_px - 2 * title.edge_px, small * title.caution_share)
    ops.append(Text(caution, *foot, size, "ink2", anchor="middle", baseline="middle", casing=casing))
    return Layer("title", tuple(ops))


def _texture(colour: str, box: Box, style: Style) -> list[Op]:
    """What tells a swatch from paper where the style has no greys: the hatching, or a bold edge and fibres."""
    if not style.hatched:
        return []
    x, y, _, high = box
    if colour == "head":
        runs = [[[x + a, y + high], [x + a + high, y]] for a in (-12.0, -4.0, 4.0, 12.0, 20.0)]
        hatching = Stroke(Shape.lines(runs), "ink", style.line("fibre") * 0.7)
        return [Group((hatching,), clip=Shape.rectangle(*box))]
    if colour in ("mover", "resting"):
        runs = [[[x + 6, y + 20.0], [x + 6 + a, y + 5.0]] for a in (0.0, 8.0, 16.0)]
        return [Stroke(Shape.lines(runs), "ink", style.line("fibre") * (1.8 if colour == "mover" else 0.9))]
    return []


def state_layer(timeline: Timeline, now: Moment, look: StillLook) -> Layer:
    """What the marks say, in words: contact, air, voice."""
    said = teller.state(timeline, now.time_s)
    style, page, words = look.style, still_layout().still, still_layout().state
    size = style.size("second", "still")
    y, icon, gap = page.height_px - words.bottom_px, words.before_px, words.apart_px
    rows = (said.contact, said.air, said.voice)
    titles = [look.language.say(row.title) for row in rows]
    wide = [icon + width(title, size, "bold") for title in titles]
    x = (page.width_px - sum(wide) - 2 * gap) / 2
    across, high = words.icon_px
    ops: list[Op] = []
    for row, title, step in zip(rows, titles, wide, strict=True):
        drawn = icons.icon(row.icon, (x, y - high / 2, across, high), style)
        # an icon that shows a direction turns with the side view
        shown_icon = tuple(mirror.ops(drawn, 2 * x + across) if look.mirrored else drawn)
        under = tuple(rims.rims(shown_icon, 3.0)) if look.transparent else ()
        ops.append(Group((*under, *shown_icon)))
        ops.append(Text(title, x + icon, y, size, "ink", "bold", baseline="middle", casing=look.casing))
        x += step + gap
    return Layer("state", tuple(ops))
