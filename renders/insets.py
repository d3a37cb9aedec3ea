"""Two small views beside the side view: the vocal folds from above and the lips from the front.

Both are drawn to scale within their box (x, y, width, height) in px. Shapes carry every state; colour only adds.
Proportions of folds and lips: estimated from anatomy texts, from memory; a drawing aid, not measured data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from articulators.section import Section
from renders.markstate import numbers
from renders.picture import Dots, Fill, Group, Op, Path, Stroke
from renders.style import Style

Box = tuple[float, float, float, float]
Line = np.ndarray
Px = Callable[[object], Line]

VIBRATES = 0.5  # of the voice, which fades in and out


def folds_word(gap_mm: float, voice: float) -> str:
    """ "vibrating", "together" or "apart": gap in mm between the folds at their back end, voice 0..1."""
    if voice > VIBRATES:
        return "vibrating"
    return "together" if gap_mm < numbers()["flow"]["folds_shut_mm"] else "apart"


def folds_view(gap_mm: float, voice: float, wave: float, box: Box, style: Style) -> tuple[Op, ...]:
    """The vocal folds from above, front at the left.

    gap_mm  between the folds at their back end: 0 together, about 3 aspirated, 9 quiet breathing
    voice   0..1; above 0.5 the folds carry waves      wave  0..1, phase of their slow drift
    """
    x, y, w, h = box
    ring_mm = np.array(numbers()["folds_view"]["ring_mm"])
    scale = min(w / (ring_mm[0] + 2.0), h / (ring_mm[1] + 2.0))
    wide = min(w / (ring_mm[0] + 2.0), 1.25 * scale)

    def px(points: object) -> Line:
        return np.array([x + w / 2, y + h / 2]) + np.array([wide, scale]) * np.asarray(points, dtype=float)

    size = ring_mm / 2
    middle = x + w / 2, y + h / 2
    ring = Path.ellipse(*middle, size[0] * wide, size[1] * scale)
    hole = Path.ellipse(middle[0] + 0.4 * wide, middle[1], (size[0] - 3.4) * wide, (size[1] - 3.0) * scale)
    line = style.line("cartilage", 4.0 * scale / 2.0)
    edge = max(1.0, style.line("tongue") * scale / 2.4)
    vibrates = voice > VIBRATES
    inner: list[Op] = [Fill(hole, "head")]
    for side in (-1.0, 1.0):
        inner += [Fill(Path.polygon(px(_fold(gap_mm, side))), "voicetint" if vibrates else "mover")]
    inner.append(Fill(Path.polygon(px(_glottis(gap_mm))), "airway"))
    for side in (-1.0, 1.0):
        medial = _medial(gap_mm, side)
        inner.append(Stroke(Path.line(px(medial)), "ink", edge))
        lateral = _fold(gap_mm, side)[len(medial) :]
        inner.append(Stroke(Path.line(px(lateral)), "mover_line", max(0.8, 0.5 * edge)))
        inner += _cartilage(gap_mm, side, px, line)
        if vibrates:
            inner += _vibration(gap_mm, side, wave, px, edge)
    if not vibrates and gap_mm >= numbers()["flow"]["folds_shut_mm"]:
        inner.append(_air_dots(gap_mm, px, scale))
    return (
        Fill(ring, "cart"),
        Group(tuple(inner), clip=hole),
        Stroke(hole, "ink", line),
        Stroke(ring, "ink", line),
    )


def _fold_x(share: Any) -> Any:
    """Where a share of the folds' length lies, from their front end, in mm from the middle of the view."""
    sizes = numbers()["folds_view"]
    return sizes["front_mm"] + sizes["fold_mm"] * share


def _stations(count: int = 24) -> np.ndarray:
    return np.linspace(0.0, 1.0, count)




def _medial(gap_mm: float, side: float) -> Line:
    """The free edge of a fold, from the front to the back end of its cartilage."""
    t = _stations()
    fold = np.stack([_fold_x(t), side * (0.5 * gap_mm * t + 0.3)], axis=-1)
    # the cartilages swing apart: widest where the fold ends, nearer together behind it
    s = _stations(10)[1:]
    x = _fold_x(1.0) + numbers()["folds_view"]["cartilage_mm"] * s
    back = np.stack([x, side * (0.5 * gap_mm * (1 - 0.45 * s**1.6) + 0.3)], axis=-1)
    return np.concatenate([fold, back])


def _fold(gap_mm: float, side: float) -> Line:
    medial = _medial(gap_mm, side)
    t = _stations()[::-1]
    body = 4.6 * np.sin(np.pi * np.clip(0.08 + 0.84 * t, 0, 1)) ** 0.6 + 0.6
    outer = np.stack([_fold_x(t), side * (0.5 * gap_mm * t + 0.3 + body)], axis=-1)
    return np.concatenate([medial, outer])


def _glottis(gap_mm: float) -> Line:
    return np.concatenate([_medial(gap_mm, -1.0), _medial(gap_mm, 1.0)[::-1]])


def _cartilage(gap_mm: float, side: float, px: Px, line: float) -> list[Op]:
    x, end = _fold_x(1.0), _fold_x(1.0) + numbers()["folds_view"]["cartilage_mm"]
    near = 0.5 * gap_mm + 0.3
    far = 0.5 * gap_mm * 0.55 + 0.3
    shape = [
        [x - 0.6, side * near], [x + 2.8, side * (near + 4.4)], [x + 6.4, side * (far + 5.0)],
        [end, side * (far + 2.6)], [end, side * far],
        [x + 3.4, side * (0.8 * near + 0.2 * far)],
    ]  # fmt: skip
    path = Path.polygon(px(shape))
    return [Fill(path, "cart"), Stroke(path, "ink", line)]


def _vibration(gap_mm: float, side: float, wave: float, px: Px, edge: float) -> list[Op]:
    t = np.linspace(0.08, 0.86, 49)
    ops: list[Op] = []
    for row, (offset, high) in enumerate(((1.7, 0.62), (3.7, 0.5))):
        phase = 2 * np.pi * (4.0 * t - side * 0.25 - wave) + row * 0.8 * np.pi
        fade = np.sin(np.pi * (t - 0.08) / 0.78) ** 0.4
        y = side * (0.5 * gap_mm * t + 0.3 + offset) + high * fade * np.sin(phase)
        ops.append(Stroke(Path.line(px(np.stack([_fold_x(t), y], axis=-1))), "voice", 0.9 * edge))
    return ops


def _air_dots(gap_mm: float, px: Px, scale: float) -> Op:
    x = np.array([0.45, 0.62, 0.79, 0.95, 1.14])
    room = 0.5 * gap_mm * np.minimum(x, 1.0) * np.where(x > 1.0, 0.8, 1.0) + 0.2
    radius = np.minimum(0.62 * room, 0.85)
    keep = radius * scale > 0.55
    points = np.stack([_fold_x(x), np.zeros(len(x))], axis=-1)
    return Dots(px(points)[keep], (radius * scale)[keep], "air")


def lips_word(aperture_mm: float, rounded: float, spread: float, tucked: float, jaw_mm: float) -> str:
    """ "shut", "on the teeth", "rounded", "rounded a little", "spread" or "open"; arguments as in `lips_view`."""
    del jaw_mm
    if tucked > 0.5:
        return "on the teeth"
    if aperture_mm <= 0.05:
        return "shut"
    limits = numbers()["lips_view"]
    if rounded >= limits["rounded_from"]:
        return "rounded"
    if rounded >= limits["rounded_a_little_from"]:
        return "rounded a little"
    return "spread" if spread > limits["spread_from"] else "open"


def lips_view(
    aperture_mm: float,
    rounded: float,
    spread: float,
    tucked: float,
    jaw_mm: float,
    box: Box,
    style: Style,
    tip_mm: float = 0.0,
) -> tuple[Op, ...]:
    """The lips from the front.

    aperture_mm  gap between the lips, negative when pressed (tucked: lower lip to upper teeth)
    rounded, spread, tucked  0..1, as in a posture     jaw_mm  gap between the edges of the front teeth
    tip_mm       how far the tip of the tongue reaches between the teeth (see `tip_between_teeth`), 0 not at all
    """
    x, y, w, h = box
    shape = _Mouth(aperture_mm, rounded, spread, tucked)
    above, below = shape.up + shape.upper + 0.8, shape.down + shape.lower + 3.2
    wide_mm, high_mm = numbers()["lips_view"]["size_mm"]
    scale = min(w / wide_mm, h / max(high_mm, above + below))
    # the lower lip does most of the moving, as far as the box leaves room
    middle = min(max(0.35 * (shape.down - shape.up), below - 0.5 * h / scale), 0.5 * h / scale - above)

    def px(points: object) -> Line:
        return np.array([x + w / 2, y + h / 2 - scale * middle]) + scale * np.asarray(points, dtype=float)

    edge = max(1.1, style.line("lips") * scale / 2.6)
    thin = max(0.7, 0.4 * edge)
    upper_in, lower_in = shape.inner(-1), shape.inner(1)
    upper_out, lower_out = shape.outer(-1), shape.outer(1)
    ops: list[Op] = []
    hole = Path.polygon(px(np.concatenate([upper_in, lower_in[::-1]])))
    if shape.open:
        ops.append(Group(tuple(_inside(shape, jaw_mm, px, thin, tip_mm)), clip=hole))
    for outside, inside in ((upper_out, upper_in), (lower_out, lower_in)):
        ops.append(Fill(Path.polygon(px(np.concatenate([outside, inside[::-1]]))), "mover"))
    ops += _creases(shape, px, thin)
    rim = Path.polygon(px(np.concatenate([upper_out, lower_out[::-1]])))
    ops.append(Stroke(rim, "ink", edge))
    if shape.open:
        ops.append(Stroke(hole, "ink", 0.85 * edge))
    else:
        ops += _seam(shape, px, edge, scale)
    return tuple(ops)


class _Mouth:
    """The four lines of the lips in mm about the middle of the opening, y down."""

    def __init__(self, aperture_mm: float, rounded: float, spread: float, tucked: float) -> None:
        aperture = max(aperture_mm, 0.0)
        self.tucked, self.rounded = tucked, rounded
        self.spread = spread * (1 - rounded)
        shown = 3.4 * tucked + aperture * (1 - 0.6 * tucked)
        self.open = shown > 0.05
        # the corners come in as the lips round, and a little as the jaw opens
        self.half = (25.0 - 0.22 * min(aperture, 16.0)) * (1 + 0.16 * self.spread) * (1 - 0.42 * rounded)
        self.half_in = self.half * (0.9 - 0.26 * rounded) - 0.6
        self.up, self.down = 0.42 * shown, 0.58 * shown
        pressed = min(max(-aperture_mm, 0.0), 1.5)
        full = (1 - 0.24 * self.spread) * (1 + 0.1 * rounded)
        self.upper = 6.6 * full - 1.4 * pressed
        self.lower = 8.6 * full - 1.8 * pressed - 3.6 * tucked

    def inner(self, side: int) -> Line:
        t = np.linspace(-1.0, 1.0, 61)
        # the rounder the mouth, the nearer to an ellipse; a loose opening is an almond
        power = 0.5 + 0.5 * (1 - self.rounded) * (0.7 if side > 0 else 0.75)
        bow = np.clip(1 - t**2, 0, None) ** power
        if side < 0:
            dip = 0.55 * (1 - self.rounded) * np.exp(-((t / 0.16) ** 2))
            return np.stack([self.half_in * t, -self.up * bow + dip], axis=-1)
        dip = 0.0 * t if self.open else 0.55 * (1 - self.rounded) * np.exp(-((t / 0.2) ** 2))
        return np.stack([self.half_in * t, self.down * bow + dip], axis=-1)

    def outer(self, side: int) -> Line:
        t = np.linspace(-1.0, 1.0, 81)
        a = np.abs(t)
        if side > 0:
            body = (1 - a**2.3) ** (0.82 - 0.26 * self.rounded)
            return np.stack([self.half * t, (self.down + self.lower) * body], axis=-1)
        peak = 0.2 + 0.05 * self.rounded
        rise = np.clip((1 - a) / (1 - peak), 0, None)
        loose = 0.35 * rise + 0.65 * np.sin(0.5 * np.pi * np.clip(rise, 0, 1))
        slope = np.where(a < peak, 1.0, loose ** (1 - 0.4 * self.rounded))
        # cupid's bow: two soft peaks with a dip between them
        deep = 0.22 * (1 - 0.5 * self.rounded) * (1 - self.spread * 0.4)
        dip = deep * np.cos(0.5 * np.pi * np.clip(a / peak, 0, 1)) ** 2
        return np.stack([self.half * t, -(self.up + self.upper) * (slope - dip)], axis=-1)


def _inside(shape: _Mouth, jaw_mm: float, px: Px, thin: float, tip_mm: float = 0.0) -> list[Op]:
    """The dark of the mouth, the tongue where the jaw is low, and what is seen of the teeth."""
    top, bottom = -shape.up - 2.0, shape.down + 2.0
    far = shape.half + 2.0
    ops: list[Op] = [Fill(Path.rectangle(*_rectangle(px, -far, top, far, bottom)), "contact_edge")]
    opening = shape.up + shape.down
    if jaw_mm > 6.5 and opening > 5.0:
        high = min(0.5 * (opening - 4.0), 5.0)
        t = np.linspace(-1, 1, 41)
        rise = (high + 1.5) * np.clip(1 - t**2, 0, None) ** 0.6
        hump = np.stack([0.62 * shape.half_in * t, shape.down + 1.5 - rise], axis=-1)
        ops += [Fill(Path.polygon(px(hump)), "mover"), Stroke(Path.line(px(hump)), "mover_line", thin)]
    seen = 3.4 * shape.tucked + (1 - shape.tucked) * min(0.45 * opening, 3.6) * (1 - 0.75 * shape.rounded)
    upper = _teeth(px, -shape.up - 1.0, -shape.up + seen, (8.4, 6.6, 7.4, 7.0), thin, -1)
    lower_edge = -shape.up + seen + max(jaw_mm, 0.3)
    lower: list[Op] = []
    if shape.tucked < 0.5 and shape.rounded < 0.6 and lower_edge < shape.down - 0.4:
        lower = _teeth(px, lower_edge, bottom, (5.4, 5.9, 6.8, 7.0), thin, 1)
    if tip_mm <= 0:
        return [*ops, *upper, *lower]
    return [*ops, *lower, *_tip(px, -shape.up + seen, lower_edge, tip_mm, thin), *upper]


def tip_between_teeth(section: Section) -> float:
    """How far in mm the tongue's tip reaches forward to between the front teeth of a section; 0 behind them."""
    line = section["tongue"]
    upper, lower = section["upper_incisor"], section["lower_incisor"]
    top, low = upper[:, 1].min() + 1.0, lower[:, 1].max() - 2.0
    between = line[(line[:, 1] < top) & (line[:, 1] > low)]
    return float(max(0.0, numbers()["lips_view"]["tip_seen_mm"] - between[:, 0].min())) if len(between) else 0.0


def _tip(px: Px, top: float, bottom: float, tip_mm: float, thin: float) -> list[Op]:
    """The tip of the tongue between the rows of teeth."""
    half = 10.5 + min(tip_mm, 4.0)
    low = max(bottom + 0.5 * min(tip_mm, 3.0), top + 1.8)
    t = np.linspace(0, np.pi, 41)
    edge = np.stack([half * np.cos(t), top - 0.6 + (low - top + 0.6) * np.sin(t) ** 0.35], axis=-1)
    path = Path.polygon(px(np.concatenate([edge, [[-half, top - 1.5], [half, top - 1.5]]])))
    middle = Path.line(px([[0.0, top + 0.3], [0.0, 0.45 * top + 0.55 * low]]))
    return [
        Fill(path, "mover", name="tip of the tongue"),
        Stroke(path, "contact_edge", 1.4 * thin),
        Stroke(middle, "mover_line", thin, opacity=0.6),
    ]


def _teeth(px: Px, top: float, bottom: float, widths: tuple[float, ...], thin: float, side: int) -> list[Op]:
    ops: list[Op] = []
    if bottom - top < 1.3:
        return ops
    for sign in (-1, 1):
        at = 0.0
        for number, width in enumerate(widths):
            # teeth farther from the middle are shorter and, on the curve of the row, look narrower
            inset = 0.28 * number
            seen = width * (1 - 0.12 * number)
            free = (bottom - inset) if side < 0 else (top + inset)
            fixed = top if side < 0 else bottom
            x0, x1 = sorted((sign * at, sign * (at + seen)))
            y0, y1 = sorted((free, fixed))
            corner = min(1.5, 0.45 * seen)
            low = _rectangle(px, x0, y0 - (3.0 if side < 0 else 0.0), x1, y1 + (3.0 if side > 0 else 0.0))
            path = Path.rectangle(*low, corner * low[2] / (x1 - x0))
            ops += [Fill(path, "tooth"), Stroke(path, "contact_edge", thin, opacity=0.8)]
            at += seen
    return ops


def _rectangle(px: Px, x0: float, y0: float, x1: float, y1: float) -> tuple[float, float, float, float]:
    (ax, ay), (bx, by) = px([[x0, y0], [x1, y1]])
    return float(ax), float(ay), float(bx - ax), float(by - ay)


def _creases(shape: _Mouth, px: Px, thin: float) -> list[Op]:
    """Fine lines: they fan out on rounded lips, the groove under the nose, the shadow under the lower lip."""
    ops: list[Op] = []
    spots = (-0.5, -0.25, 0.25, 0.5) if shape.rounded < 0.4 else (-0.6, -0.36, -0.12, 0.12, 0.36, 0.6)
    for side, thickness in ((-1, shape.upper), (1, shape.lower)):
        inner, outer = shape.inner(side), shape.outer(side)
        for spot in spots:
            a, b = _at(inner, spot), _at(outer, spot * 0.92)
            run = np.stack([a + 0.26 * (b - a), a + 0.62 * (b - a)])
            if thickness > 4.0:
                ops.append(Stroke(Path.line(px(run)), "mover_line", thin, opacity=0.55))
    t = np.linspace(-1, 1, 21)
    low = shape.down + shape.lower + 2.6
    shadow = np.stack([0.3 * shape.half * t, low - 0.8 * t**2], axis=-1)
    ops.append(Stroke(Path.line(px(shadow)), "ink2", thin, opacity=0.6))
    return ops


def _at(line: Line, share: float) -> Line:
    return line[round((share + 1) / 2 * (len(line) - 1))]


def _seam(shape: _Mouth, px: Px, edge: float, scale: float) -> list[Op]:
    line = shape.inner(-1)
    corner = [[-shape.half, 0.0], *line, [shape.half, 0.0]]
    inner = line[(np.abs(line[:, 0]) < 0.72 * shape.half)]
    path = Path.line(px(inner))
    bar = max(3.0, 1.9 * scale)
    return [
        Stroke(Path.line(px(corner)), "ink", 0.85 * edge),
        Stroke(path, "contact", bar, casing=("contact_edge", bar + 1.6 * edge)),
    ]
