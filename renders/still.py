"""A labelled side view of one sound, for print, slides and handouts."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from articulators.section import section
from renders import anatomy, icons, insets, labels, painter, wording
from renders.anchors import anchors, names
from renders.film import fitted, timeline_of_sound
from renders.picture import Dots, Fill, Group, Layer, Op, Picture, Stroke, Text
from renders.picture import Path as Shape
from renders.scene import Moment, moment, side_layers
from renders.style import Style, load
from renders.typeface import width
from renders.view import View
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import SoundEntry, posture, sound

WIDTH, HEIGHT = 1600, 1200
VIEW = View((340, 118, 920, 1000), 6.1, (28.0, -18.0))
LABEL_SETS = ("none", "plain", "technical")
CAUTION = (
    "Typical shape; people vary. For teaching; it does not diagnose or treat speech: "
    "see a licensed speech-language pathologist for that."
)


GLIDE_START = 0.12  # share of a vowel that moves at which its start is shown


def _glides(entry: SoundEntry) -> bool:
    return entry.kind == "vowel" and len(entry.posture) == 2


def key_time_s(timeline: Timeline) -> float:
    """The moment that shows a sound best: late in its hold, the middle of its steady part, the start of a glide."""
    span = timeline.spans[0]
    start, end = span.hold_s
    if _glides(span.entry):
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
) -> None:
    """Write the side view of a sound to .svg, .pdf or .png.

    `labels`: none, plain or technical. BadInput for an unknown sound, style or ending.
    """
    entry = sound(name)
    shown = timeline_of_sound(entry)
    look = load(style)
    painter.save(fitted(still_picture(entry, shown, look, labels), size), out, look)


def still_picture(entry: SoundEntry, shown: Timeline, style: Style, label_set: str = "plain") -> Picture:
    """The picture at 1600 x 1200 px: section, labels, folds and lips, title and caution."""
    now = moment(shown, key_time_s(shown))
    view = VIEW
    ground = Layer("ground", (Fill(anatomy.card(view), "panel"),), moves=False)
    layers = [ground, anatomy.fixed_layer(shown.head, view, style), *side_layers(now, view, style)]
    if _glides(entry):
        layers.append(_end_shape(entry, now, view, style))
    layers.append(Layer("card edge", (Stroke(anatomy.card(view), "rule", style.line("rule")),)))
    layers.append(_insets(now, style))
    if label_set != "none":
        layers.append(_labels(now, style, label_set == "technical", view))
    layers += [_title(entry, style), _state(shown, now, style)]
    about = f"Side view of the mouth for [{entry.symbol}], {entry.name}, at the middle of the sound. {_described(now)}"
    return Picture(WIDTH, HEIGHT, "paper", tuple(layers), title=f"[{entry.symbol}] {entry.name}", description=about)


def _end_shape(entry: SoundEntry, now: Moment, view: View, style: Style) -> Layer:
    """Where a vowel that moves ends: tongue and lips in dashes, and an arrow from the start to the end."""
    end = section(now.section.head, posture(entry.posture[1]))
    start_line, end_line = now.section["tongue"], end["tongue"]
    wide = view.line(style.line("tongue"))
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


def _described(now: Moment) -> str:
    state = now.state
    parts = [
        f"The mouth is {'shut' if state.closed else 'open'}",
        f"the way to the nose is {'open' if now.airway.nose else 'shut'}",
    ]
    folds = "vibrate" if state.voice > 0.5 else ("are together" if state.folds_mm < 1 else "are apart")
    return ", ".join([*parts, f"the vocal folds {folds}"]) + "."


def _example(entry: SoundEntry) -> str:
    """A word that holds the sound; a sound made by rule is named as what it is."""
    return f"as in {entry.keyword}" if entry.keyword else "sound of the International Phonetic Alphabet"


def _glide_note(entry: SoundEntry) -> str:
    """What solid and dashed outlines mean, for a vowel that moves."""
    return f" – solid: start [{entry.symbol[:-1]}], dashed: end [{entry.symbol[-1]}]" if _glides(entry) else ""


def _title(entry: SoundEntry, style: Style) -> Layer:
    symbol_wide = width(entry.symbol, 72.0, "bold")
    x = 36.0
    ops: list[Op] = [
        Text(entry.symbol, x, 86, 72.0, "ink", "bold"),
        Text(entry.name, x + symbol_wide + 28, 64, style.size("title", "still") * 0.9, "ink", "bold"),
        Text(_example(entry) + _glide_note(entry), x + symbol_wide + 28, 98, style.size("second", "still"), "ink2"),
    ]
    key: list[tuple[str, str]] = [("mover", "moves"), ("head", "stays still"), ("airway", "air space")]
    at = WIDTH - 40.0
    for colour, word in reversed(key):
        wide = width(word, style.size("small", "still"))
        ops.append(Text(word, at, 62, style.size("small", "still"), "ink2", anchor="end", baseline="middle"))
        swatch = Shape.rectangle(at - wide - 40, 50, 30, 24, 5)
        ops += [Fill(swatch, colour), Stroke(swatch, "rule", style.line("rule"))]
        at -= wide + 70
    ops.append(
        Text(
            CAUTION,
            WIDTH / 2,
            HEIGHT - 20,
            style.size("small", "still") * 0.92,
            "ink2",
            anchor="middle",
            baseline="middle",
        )
    )
    return Layer("title", tuple(ops))


def _state(shown: Timeline, now: Moment, style: Style) -> Layer:
    """What the marks say, in words: contact, air, voice."""
    said = wording.state(shown, now.time_s)
    size = style.size("second", "still")
    y, icon, gap = HEIGHT - 58.0, 52.0, 54.0
    rows = (said.contact, said.air, said.voice)
    wide = [icon + width(row.title, size, "bold") for row in rows]
    x = (WIDTH - sum(wide) - 2 * gap) / 2
    ops: list[Op] = []
    for row, step in zip(rows, wide, strict=True):
        ops.append(Group(icons.icon(row.icon, (x, y - 18, 40, 36), style)))
        ops.append(Text(row.title, x + icon, y, size, "ink", "bold", baseline="middle"))
        x += step + gap
    return Layer("state", tuple(ops))


def _insets(now: Moment, style: Style) -> Layer:
    shape, state = now.section.posture, now.state
    lips = {k: float(shape[k]) for k in ("aperture_mm", "rounded", "spread", "tucked", "jaw_mm")}
    small = style.size("small", "still")
    ops: list[Op] = []
    for x, title, word, drawn in (
        (
            360.0,
            "lips from the front",
            insets.lips_word(**lips),
            lambda box: insets.lips_view(**lips, box=box, style=style),
        ),
        (
            574.0,
            "folds from above",
            insets.folds_word(state.folds_mm, state.voice),
            lambda box: insets.folds_view(state.folds_mm, state.voice, state.drift, box, style),
        ),
    ):
        y, w, h = 944.0, 202.0, 158.0
        box = Shape.rectangle(x, y, w, h, 12)
        ops += [Fill(box, "panel"), Stroke(box, "rule", style.line("rule"))]
        ops.append(Text(title, x + w / 2, y + 20, small * 0.9, "ink2", anchor="middle", baseline="middle"))
        ops.append(Group(tuple(drawn((x + 18, y + 36, w - 36, h - 72)))))
        ops.append(Text(word, x + w / 2, y + h - 20, small, "ink", "bold", anchor="middle", baseline="middle"))
    return Layer("insets", tuple(ops))


def _labels(now: Moment, style: Style, technical: bool, view: View) -> Layer:
    points = anchors(now.section)
    chosen = {part: row for part, row in names().items() if technical or row.get("in_plain", True)}
    placed = labels.place(
        np.stack([view.px(points[part]) for part in chosen]),
        [str(row["technical" if technical else "plain"]) for row in chosen.values()],
        labels.Columns(left_x=322, right_x=1278, top=160, bottom=1090, gap=8),
        style.size("label", "still"),
        min_pitch=76,
    )
    size = style.size("label", "still")
    casing = ("panel", style.line("leader") + 2 * style.line("casing"))
    lines: list[Op] = []
    texts: list[Op] = []
    for label in placed.labels:
        lines.append(Stroke(Shape.line(label.leader), "ink", style.line("leader") * 1.1, casing=casing))
        lines.append(Dots(label.leader[1:], 8.0, "panel"))
        lines.append(Dots(label.leader[1:], 5.0, "ink"))
        first = label.y - (len(label.lines) - 1) * placed.line_height / 2
        for i, line in enumerate(label.lines):
            texts.append(
                Text(
                    line,
                    label.x,
                    first + i * placed.line_height,
                    size,
                    "ink",
                    anchor="end" if label.side == "left" else "start",
                    baseline="middle",
                )
            )
    return Layer("labels", (*lines, *texts))
