"""The lips from the front, drawn to scale within a box (x, y, width, height) in px.

Shapes carry every state; colour only adds. Proportions: estimated from anatomy texts, from memory; a drawing aid,
not measured data.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from articulators.curves import Array
from articulators.landmarks import LipsFront
from articulators.records import Record, Row, table
from articulators.section import Section
from renders.insets.lines import Place, line_of, read_only
from renders.paper.picture import Box, Fill, Group, Op, Path, Stroke
from renders.paper.style import Style
from renders.wording import line as wording
from vocaltract.motion.limits import motion_limits


class Front(Row, frozen=True):
    """Sizes of the lips from the front."""

    size_mm: tuple[float, float]
    shut_mm: float


class LipsView(Record, frozen=True):
    """data/lips.toml."""

    lips: Front


def front() -> Front:
    """The numbers of the lips from the front, with their source."""
    return table("renders.insets", "lips.toml", LipsView).lips


LIP_PARTS = ("aperture_mm", "rounded", "spread", "tucked", "jaw_mm")


@dataclass(frozen=True)
class LipShape:
    """What of a posture is seen of the lips from the front.

    aperture_mm  gap between the lips, negative when pressed (tucked: lower lip to upper teeth)
    rounded, spread, tucked  0..1                      jaw_mm  gap between the edges of the front teeth
    sizes        of the mouth seen from the front
    """

    aperture_mm: float
    rounded: float
    spread: float
    tucked: float
    jaw_mm: float
    sizes: LipsFront


def lip_shape(section: Section) -> LipShape:
    """The lips of one section."""
    parts = {name: float(section.posture[name]) for name in LIP_PARTS}
    return LipShape(**parts, sizes=section.head.lips_front)


def lips_word(shape: LipShape) -> wording.Line:
    """What the lips do, as a row of the languages' table of lips."""
    if shape.tucked > 0.5:
        return wording.Line("lips.on_the_teeth")
    if shape.aperture_mm <= front().shut_mm:
        return wording.Line("lips.shut")
    lips = motion_limits().lips
    if shape.rounded >= lips.rounded_fully_from:
        return wording.Line("lips.rounded")
    if shape.rounded >= lips.rounded_from:
        return wording.Line("lips.rounded_a_little")
    return wording.Line("lips.spread" if shape.spread > lips.spread_from else "lips.open")


def lips_view(shape: LipShape, box: Box, style: Style, tip_mm: float = 0.0) -> tuple[Op, ...]:
    """The lips from the front.

    tip_mm   how far the tip of the tongue reaches between the teeth (see `tip_between_teeth`), 0 not at all
    """
    x, y, w, h = box
    mouth = _Mouth(shape)
    above, below = mouth.up + mouth.upper + 0.8, mouth.down + mouth.lower + 3.2
    wide_mm, high_mm = front().size_mm
    scale = min(w / wide_mm, h / max(high_mm, above + below))
    # the lower lip does most of the moving, as far as the box leaves room
    middle = min(max(0.35 * (mouth.down - mouth.up), below - 0.5 * h / scale), 0.5 * h / scale - above)
    place = Place(np.array([x + w / 2, y + h / 2 - scale * middle]), np.array([scale, scale]))
    edge = max(1.1, style.line("lips") * scale / 2.6)
    thin = max(0.7, 0.4 * edge)
    rim = place.px(np.concatenate([mouth.outer[-1], mouth.outer[1][::-1]]))
    around = Stroke(Path.polygon(rim), "ink", edge, name="edge of the lips" if mouth.open else "edge of shut lips")
    if not mouth.open:
        lips = (Fill(around.path, "mover", name="shut lips"), *_creases(mouth, place, thin), around)
        return (*lips, *_seam(mouth, place, edge))
    # the other way round than the rim, so that it leaves a hole in what is filled with both
    hole = place.px(np.concatenate([mouth.inner[1], mouth.inner[-1][::-1]]))
    opening = Path.polygon(hole)
    return (
        Fill(opening, "contact_edge"),
        *_inside(mouth, shape.jaw_mm, place, thin, tip_mm, opening),
        Fill(Path.polygons([rim, hole]), "mover", name="lips"),
        *_creases(mouth, place, thin),
        around,
        Stroke(opening, "ink", 0.85 * edge),
    )


@cache
def _across(count: int) -> Array:
    """Stations from one corner of the mouth, -1, to the other, 1."""
    return read_only(np.linspace(-1.0, 1.0, count))


class _Mouth:
    """The four lines of the lips in mm about the middle of the opening, y down."""

    def __init__(self, shape: LipShape) -> None:
        aperture, rounded, tucked = max(shape.aperture_mm, 0.0), shape.rounded, shape.tucked
        self.sizes = shape.sizes
        self.tucked, self.rounded = tucked, rounded
        self.spread = shape.spread * (1 - rounded)
        shown = 3.4 * tucked + aperture * (1 - 0.6 * tucked)
        self.open = shown > front().shut_mm
        # the corners come in as the lips round, and a little as the jaw opens
        self.half = (self.sizes.half_mm - 0.22 * min(aperture, 16.0)) * (1 + 0.16 * self.spread) * (1 - 0.42 * rounded)
        self.half_in = self.half * (0.9 - 0.26 * rounded) - 0.6
        self.up, self.down = 0.42 * shown, 0.58 * shown
        pressed = min(max(-shape.aperture_mm, 0.0), 1.5)
        full = (1 - 0.24 * self.spread) * (1 + 0.1 * rounded)
        self.upper = self.sizes.upper_mm * full - 1.4 * pressed
        self.lower = self.sizes.lower_mm * full - 1.8 * pressed - 3.6 * tucked
        self.inner = {side: self._inner(side) for side in (-1, 1)}
        self.outer = {side: self._outer(side) for side in (-1, 1)}

    def _inner(self, side: int) -> Array:
        """The edge of the opening, (61, 2): of the upper lip for -1, of the lower lip for 1."""
        t = _across(61)
        # the rounder the mouth, the nearer to an ellipse; a loose opening is an almond
        power = 0.5 + 0.5 * (1 - self.rounded) * (0.7 if side > 0 else 0.75)
        y = side * (self.down if side > 0 else self.up) * np.maximum(1 - t**2, 0.0) ** power
        if side < 0 or not self.open:
            y += 0.55 * (1 - self.rounded) * np.exp(-((t / (0.2 if side > 0 else 0.16)) ** 2))
        return line_of(self.half_in * t, y)

    def _outer(self, side: int) -> Array:
        """The outer line of a lip, (81, 2)."""
        t = _across(81)
        a = np.abs(t)
        if side > 0:
            body = (1 - a**2.3) ** (0.82 - 0.26 * self.rounded)
            return line_of(self.half * t, (self.down + self.lower) * body)
        peak = 0.2 + 0.05 * self.rounded
        rise = (1 - a) / (1 - peak)
        loose = 0.35 * rise + 0.65 * np.sin(0.5 * np.pi * np.minimum(rise, 1.0))
        slope = np.where(a < peak, 1.0, loose ** (1 - 0.4 * self.rounded))
        # cupid's bow: two soft peaks with a dip between them
        deep = 0.22 * (1 - 0.5 * self.rounded) * (1 - self.spread * 0.4)
        dip = deep * np.cos(0.5 * np.pi * np.minimum(a / peak, 1.0)) ** 2
        return line_of(self.half * t, -(self.up + self.upper) * (slope - dip))


def _inside(mouth: _Mouth, jaw_mm: float, place: Place, thin: float, tip_mm: float, opening: Path) -> list[Op]:
    """The tongue where the jaw is low, and what is seen of the teeth; the lips cover what reaches under them."""
    ops: list[Op] = []
    high = mouth.up + mouth.down
    if jaw_mm > 6.5 and high > 5.0:
        t = _across(41)
        rise = (min(0.5 * (high - 4.0), 5.0) + 1.5) * np.maximum(1 - t**2, 0.0) ** 0.6
        x = 0.62 * mouth.half_in * t
        lower = np.interp(x, *mouth.inner[1].T)
        hump = place.px(line_of(x, np.minimum(mouth.down + 1.5 - rise, lower)))
        area = np.concatenate([hump, place.px(line_of(x, lower))[::-1]])
        ops += [Fill(Path.polygon(area), "mover", name="tongue")]
        ops.append(Stroke(Path.line(hump), "mover_line", thin, name="tongue edge"))
    seen = 3.4 * mouth.tucked + (1 - mouth.tucked) * min(0.45 * high, 3.6) * (1 - 0.75 * mouth.rounded)
    upper_edge = -mouth.up + seen
    lower_edge = upper_edge + max(jaw_mm, 0.3)
    if mouth.tucked < 0.5 and mouth.rounded < 0.6 and lower_edge < mouth.down - 0.4:
        ops += _teeth(mouth, 1, lower_edge, place, thin)
    if tip_mm > 0:
        ops.append(Group(tuple(_tip(place, upper_edge, lower_edge, tip_mm, thin)), clip=opening))
    if seen >= 0.3:
        ops += _teeth(mouth, -1, upper_edge, place, thin)
    return ops


@lru_cache(maxsize=16)
def _row(sizes: LipsFront, side: int) -> tuple[Array, Array]:
    """x of a row of teeth in mm, and how far its edge lies behind that of the middle teeth; inf between two teeth."""
    x: list[Array] = []
    back: list[Array] = []
    at, turn = 0.0, np.linspace(0.0, 0.5 * np.pi, 6)
    for number, width in enumerate(sizes.lower_teeth_mm if side > 0 else sizes.upper_teeth_mm):
        # teeth farther from the middle are shorter and, on the curve of the row, look narrower
        seen = width * (1 - 0.12 * number)
        corner = min(1.5, 0.45 * seen)
        round_x, round_y = corner * (1 - np.cos(turn)), corner * (1 - np.sin(turn))
        between = np.array([np.inf])
        x += [np.array([at]), at + round_x, at + seen - round_x[::-1], np.array([at + seen])]
        back += [between, 0.28 * number + round_y, 0.28 * number + round_y[::-1], between]
        at += seen
    right, behind = np.concatenate(x), np.concatenate(back)
    return read_only(np.concatenate([-right[::-1], right])), read_only(np.concatenate([behind[::-1], behind]))


def _teeth(mouth: _Mouth, side: int, free_mm: float, place: Place, thin: float) -> list[Op]:
    """The upper row (-1) or the lower one (1), as far as the lips leave it free; its middle teeth end at `free_mm`."""
    x, back = _row(mouth.sizes, side)
    x = np.minimum(np.maximum(x, -mouth.half_in), mouth.half_in)
    upper, lower = (np.interp(x, *mouth.inner[lip].T) for lip in (-1, 1))
    edge = place.px(line_of(x, np.minimum(np.maximum(free_mm + side * back, upper), lower)))
    gums = place.px(line_of(x, lower if side > 0 else upper))
    ring = Path.polygon(np.concatenate([edge, gums[::-1]]))
    name = "lower teeth" if side > 0 else "upper teeth"
    return [Fill(ring, "tooth", name=name), Stroke(Path.line(edge), "contact_edge", thin, opacity=0.8, name=name)]


def tip_between_teeth(section: Section) -> float:
    """How far in mm the tongue's tip reaches forward to between the front teeth of a section; 0 behind them."""
    x, y = section.tip_mm()
    top, low = section["upper_incisor"][:, 1].min() + 1.0, section["lower_incisor"][:, 1].max() - 2.0
    return float(max(0.0, section.head.lips_front.tip_seen_mm - x)) if low < y < top else 0.0


def _tip(place: Place, top: float, bottom: float, tip_mm: float, thin: float) -> list[Op]:
    """The tip of the tongue between the rows of teeth."""
    half = 10.5 + min(tip_mm, 4.0)
    low = max(bottom + 0.5 * min(tip_mm, 3.0), top + 1.8)
    t = np.linspace(0, np.pi, 41)
    edge = line_of(half * np.cos(t), top - 0.6 + (low - top + 0.6) * np.sin(t) ** 0.35)
    path = Path.polygon(place.px(np.concatenate([edge, [[-half, top - 1.5], [half, top - 1.5]]])))
    middle = Path.line(place.px([[0.0, top + 0.3], [0.0, 0.45 * top + 0.55 * low]]))
    return [
        Fill(path, "mover", name="tip of the tongue"),
        Stroke(path, "contact_edge", 1.4 * thin),
        Stroke(middle, "mover_line", thin, opacity=0.6),
    ]


def _creases(mouth: _Mouth, place: Place, thin: float) -> list[Op]:
    """Fine lines: they fan out on rounded lips, the shadow under the lower lip."""
    spots = _crease_spots(mouth.rounded >= 0.4)
    runs = []
    for side, thickness in ((-1, mouth.upper), (1, mouth.lower)):
        if thickness > 4.0:
            inner, outer = mouth.inner[side][spots[0]], mouth.outer[side][spots[1]]
            runs.append(np.stack([inner + 0.26 * (outer - inner), inner + 0.62 * (outer - inner)], axis=1))
    ops: list[Op] = []
    if runs:
        ops.append(Stroke(Path.bundle(place.px(np.concatenate(runs))), "mover_line", thin, opacity=0.55))
    t = _across(21)
    shadow = line_of(0.3 * mouth.half * t, mouth.down + mouth.lower + 2.6 - 0.8 * t**2)
    return [*ops, Stroke(Path.line(place.px(shadow)), "ink2", thin, opacity=0.6)]


@cache
def _crease_spots(rounded: bool) -> tuple[np.ndarray, np.ndarray]:
    """The points of the inner and of the outer line of a lip between which creases run."""
    shares = np.array((-0.6, -0.36, -0.12, 0.12, 0.36, 0.6) if rounded else (-0.5, -0.25, 0.25, 0.5))
    inner, outer = (np.rint((share + 1) / 2 * (count - 1)) for share, count in ((shares, 61), (0.92 * shares, 81)))
    return read_only(inner.astype(int)), read_only(outer.astype(int))


def _seam(mouth: _Mouth, place: Place, edge: float) -> list[Op]:
    line = mouth.inner[-1]
    corner = np.concatenate([[[-mouth.half, 0.0]], line, [[mouth.half, 0.0]]])
    path = Path.line(place.px(line[np.abs(line[:, 0]) < 0.72 * mouth.half]))
    bar = max(3.0, 1.9 * place.scale[0])
    return [
        Stroke(Path.line(place.px(corner)), "ink", 0.85 * edge),
        Stroke(path, "contact", bar, casing=("contact_edge", bar + 1.6 * edge)),
    ]
