"""Small pictograms of a state: contact, air, voice. Each state has its own shape, so that colour is never alone."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from articulators.errors import BadInput, nearest
from renders.paper.picture import Box, Dots, Fill, Op, Path, Stroke
from renders.paper.style import Style

ICON_WIDE, ICON_HIGH = 40.0, 36.0


class _Pen:
    """Draws in a 40 x 36 grid with its origin in the middle, scaled to a box."""

    def __init__(self, box: Box, style: Style, turned: bool = False) -> None:
        x, y, w, h = box
        self.mirror = np.array([-1.0 if turned else 1.0, 1.0])
        self.scale = min(w / ICON_WIDE, h / ICON_HIGH)
        self.middle = np.array([x + w / 2, y + h / 2])
        self.style = style
        self.ops: list[Op] = []

    def at(self, points: object) -> np.ndarray:
        return self.middle + self.scale * self.mirror * np.asarray(points, dtype=np.float64)

    def line(self, points: object, colour: str, width: float = 2.6, dash: tuple[float, ...] | None = None) -> None:
        dash = None if dash is None else tuple(self.scale * d for d in dash)
        path = Path.line(self.at(points))
        cap = "round" if dash is None else "butt"
        self.ops.append(Stroke(path, colour, width * self.scale, dash=dash, cap=cap))  # type: ignore[arg-type]

    def head(self, tip: tuple[float, float], towards: tuple[float, float], colour: str, size: float = 8.0) -> None:
        along = np.array(towards) / np.hypot(*towards)
        across = np.array([-along[1], along[0]])
        back = np.array(tip) - size * along
        self.line([back + 0.62 * size * across, tip, back - 0.62 * size * across], colour)

    def pill(self, y: float, half: float, high: float) -> Path:
        x0, y0 = (float(v) for v in self.middle + self.scale * np.array([-half, y - high / 2]))
        return Path.rectangle(x0, y0, 2 * half * self.scale, high * self.scale, high / 2 * self.scale)

    def bar(self, y: float = 0.0, half: float = 16.0, high: float = 8.0) -> None:
        path = self.pill(y, half, high)
        if self.style.hex("contact") == self.style.hex("airway"):
            # as in the picture: where contact has no colour its bar is broken
            self.ops += [Fill(path, "contact_edge"), Stroke(path, "contact_edge", 2.4 * self.scale)]
            self.line([[1.5 - half, y], [half - 1.5, y]], "contact", 0.6 * high, dash=(4.4, 3.6))
            return
        self.ops += [Fill(path, "contact"), Stroke(path, "contact_edge", 2.4 * self.scale)]
        if self.style.hex("contact_edge") != self.style.hex("ink"):
            # on dark grounds the edge of the mark is dark: an outer line keeps its shape
            self.ops.append(Stroke(self.pill(y, half + 1.6, high + 3.2), "ink", 0.8 * self.scale))

    def ring(self, x_radius: float, y_radius: float) -> None:
        x, y = (float(v) for v in self.middle)
        path = Path.ellipse(x, y, x_radius * self.scale, y_radius * self.scale)
        self.ops.append(Stroke(path, "ink", 3.0 * self.scale))

    def dots(self, points: object, colour: str, radius: float) -> None:
        self.ops.append(Dots(self.at(points), radius * self.scale, colour))

    def wave(self, colour: str, half: float = 18.0, high: float = 9.0, turns: float = 5.0) -> None:
        x = np.linspace(-half, half, 81)
        self.line(np.stack([x, -high * np.sin((x + half) / (2 * half) * turns * 2 * np.pi)], axis=-1), colour, 2.8)


def _together(pen: _Pen) -> None:
    pen.bar()


def _both(pen: _Pen) -> None:
    pen.bar(-7.5, 15, 7.5)
    pen.bar(7.5, 15, 7.5)


def _apart(pen: _Pen) -> None:
    for y in (-8.5, 8.5):
        pen.line([[-15, y], [15, y]], "ink", 3.0)


def _narrow(pen: _Pen) -> None:
    x = np.linspace(-16, 16, 33)
    bend = 10.5 * (1 - np.exp(-((x / 8) ** 2)))
    for sign in (-1, 1):
        pen.line(np.stack([x, sign * (2.8 + bend)], axis=-1), "ink", 3.0)


def _closing(pen: _Pen) -> None:
    _towards(pen, 1)


def _opening(pen: _Pen) -> None:
    _towards(pen, -1)


def _towards(pen: _Pen, way: int) -> None:
    for side in (-1, 1):
        y = side * (3.8 if way < 0 else 14.5)
        pen.line([[-15, y], [15, y]], "ink", 3.0)
        tip = side * (3.5 if way > 0 else 15.5)
        pen.head((0.0, tip), (0.0, -side * way), "ink", 6.0)


def _sides(pen: _Pen) -> None:
    pen.bar(0, 8.0, 8.0)
    for side in (-1, 1):
        pen.line([[side * 15, 13], [side * 15, -9]], "ink")
        pen.head((side * 15.0, -12.0), (0.0, -1.0), "ink", 6.0)


def _round(pen: _Pen) -> None:
    pen.ring(10.5, 10.5)


def _spread(pen: _Pen) -> None:
    pen.ring(18.0, 6.5)


def _raised(pen: _Pen) -> None:
    x = np.linspace(-16, 16, 41)
    pen.line(np.stack([x, 10 - 15 * np.exp(-((x / 8) ** 2))], axis=-1), "ink", 3.0)
    pen.line([[-16, -12], [16, -12]], "ink", 3.0)


def _blocked(pen: _Pen) -> None:
    pen.line([[-18, 0], [3, 0]], "air")
    pen.head((4.0, 0.0), (1.0, 0.0), "air")
    pen.line([[11, -13], [11, 13]], "ink", 4.4)


def _rising(pen: _Pen) -> None:
    _blocked(pen)
    pen.dots([[5, -10], [-3, -9], [-12, -10], [5, 10], [-3, 9], [-12, 10]], "air", 1.9)


def _burst(pen: _Pen) -> None:
    _spikes(pen, 24.0, 3.4)


def _weak_burst(pen: _Pen) -> None:
    _spikes(pen, 11.0, 2.2)


def _spikes(pen: _Pen, length: float, half: float) -> None:
    root = np.array([-20.0 + 0.35 * (24.0 - length), 0.0])
    for degrees in (-30, 0, 30):
        angle = np.radians(degrees)
        along, across = np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])
        near, thick = root + 9.0 * along, root + (9.0 + 0.22 * length) * along
        tip = root + (9.0 + length) * along
        path = Path.polygon(pen.at([near, thick + half * across, tip, thick - half * across]))
        pen.ops += [Fill(path, "air"), Stroke(path, "air", 1.0 * pen.scale, join="round")]


def _breath(pen: _Pen) -> None:
    for degrees, y in ((-16, -7.0), (0, 0.0), (16, 7.0)):
        slope = np.tan(np.radians(degrees))
        x = -17.0
        for length in (11.0, 8.0, 5.0, 2.5):
            pen.line([[x, 0.5 * y + slope * (x + 17)], [x + length, 0.5 * y + slope * (x + length + 17)]], "air", 2.4)
            x += length + 3.8


def _hiss(pen: _Pen) -> None:
    for y in (-9.0, 0.0, 9.0):
        x = np.linspace(-17, 17, 9)
        pen.line(np.stack([x, y + 3.2 * (-1.0) ** np.arange(9)], axis=-1), "air", 2.4)


def _flow(pen: _Pen) -> None:
    pen.line([[-18, 0], [16, 0]], "air")
    pen.head((17.0, 0.0), (1.0, 0.0), "air", 9.0)


def _flow_sides(pen: _Pen) -> None:
    for side in (-1, 1):
        x = np.linspace(-17, 14, 32)
        pen.line(np.stack([x, side * (3 + 8 * np.exp(-(((x + 1) / 8) ** 2)))], axis=-1), "air")
        pen.head((16.0, side * 3.4), (1.0, -0.1 * side), "air", 6.0)
    pen.dots([[-1, 0]], "ink", 4.2)


def _nose_path(pen: _Pen) -> None:
    turn = np.radians(np.linspace(180, 350, 21))
    arc = np.stack([2 + 11 * np.cos(turn), -3 + 11 * np.sin(turn)], axis=-1)
    pen.line(np.concatenate([[[-9, 15]], arc, [[13.2, 4]]]), "air")
    pen.head((13.4, 9.5), (0.03, 1.0), "air")


def _nose(pen: _Pen) -> None:
    _nose_path(pen)


def _both_ways(pen: _Pen) -> None:
    _nose_path(pen)
    pen.line([[-9, 15], [15, 15]], "air")
    pen.head((18.0, 15.0), (1.0, 0.0), "air", 6.5)


def _still(pen: _Pen) -> None:
    pen.dots([[-11, 0], [0, 0], [11, 0]], "rule", 2.6)


def _stopped(pen: _Pen) -> None:
    pen.dots([[-15, 0], [-6, 0], [3, 0]], "air", 2.4)
    pen.line([[11, -13], [11, 13]], "ink", 4.4)


def _wave(pen: _Pen) -> None:
    pen.wave("voice")


def _folds_apart(pen: _Pen) -> None:
    pen.line([[-17, -1], [14, -11]], "ink2", 2.8)
    pen.line([[-17, 1], [14, 11]], "ink2", 2.8)


def _folds_together(pen: _Pen) -> None:
    for y in (-2.6, 2.6):
        pen.line([[-17, y], [16, y]], "ink2", 2.8)


_DRAW_BY_KIND: dict[str, Callable[[_Pen], None]] = {
    "together": _together, "both": _both, "apart": _apart, "narrow": _narrow, "closing": _closing,
    "opening": _opening, "sides": _sides, "round": _round, "spread": _spread, "raised": _raised,
    "blocked": _blocked, "rising": _rising, "stopped": _stopped, "burst": _burst, "weak_burst": _weak_burst,
    "breath": _breath, "hiss": _hiss, "flow": _flow, "flow_sides": _flow_sides, "nose": _nose,
    "both_ways": _both_ways, "still": _still, "wave": _wave, "folds_apart": _folds_apart,
    "folds_together": _folds_together,
}  # fmt: skip

_LEFTWARD = ("blocked", "rising", "stopped", "burst", "weak_burst", "breath", "flow", "flow_sides", "nose", "both_ways")

PICTOGRAMS = tuple(_DRAW_BY_KIND)
"""Names of all pictograms."""


def icon(kind: str, box: Box, style: Style) -> tuple[Op, ...]:
    """The pictogram of a state in the middle of a box (x, y, width, height) in px; BadInput for another name."""
    if kind not in _DRAW_BY_KIND:
        raise BadInput(f"pictogram {kind!r} is unknown; allowed: {', '.join(PICTOGRAMS)}{nearest(kind, PICTOGRAMS)}")
    # air leaves to the left, as in the side view
    pen = _Pen(box, style, turned=kind in _LEFTWARD)
    _DRAW_BY_KIND[kind](pen)
    return tuple(pen.ops)
