"""From a display list to pen strokes: walks the ops of a picture and hands paths to a pen.

A `Pen` knows the ops; what it draws on is told by its two methods `fill` and `line`. `CanvasPen` draws on any
matplotlib renderer (SVG, PDF, recording). The pen of films is in `raster`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from articulators.curves import Array
from renders.paper import typeface
from renders.paper.picture import CLOSE, LINE, MOVE, Bounds, Codes, Dots, Fill, Group, Op, Path, Stroke, Text
from renders.paper.style import Style

_SHIFT = {"start": 0.0, "middle": -0.5, "end": -1.0}


def upright_rectangle(path: Path, matrix: Array) -> Bounds | None:
    """Bounds of the path on the canvas where it is an upright rectangle there, else None."""
    if path.codes is not None or len(path.vertices) != 4 or matrix[0, 1] != 0.0 or matrix[1, 0] != 0.0:
        return None
    x0, y0, x1, y1 = path.bounds()
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    turns = (np.roll(ring, -k, axis=0) for ring in (corners, corners[::-1]) for k in range(4))
    if not any(np.array_equal(path.vertices, turn) for turn in turns):
        return None
    (ax, bx), (ay, by) = (
        matrix[0, 0] * np.array([x0, x1]) + matrix[0, 2],
        (matrix[1, 1] * np.array([y0, y1]) + matrix[1, 2]),
    )
    return float(min(ax, bx)), float(min(ay, by)), float(max(ax, bx)), float(max(ay, by))


def overlap(one: Bounds, other: Bounds) -> Bounds:
    """What two boxes both cover; of no width or height where they do not meet."""
    x0, y0 = max(one[0], other[0]), max(one[1], other[1])
    return x0, y0, max(x0, min(one[2], other[2])), max(y0, min(one[3], other[3]))


def ring(path: Path) -> tuple[Array, Codes | None]:
    """Vertices and codes of a path, a closed one with its closing vertex."""
    if not path.closed or path.codes is not None:
        return path.vertices, path.codes
    count = len(path.vertices)
    vertices = np.empty((count + 1, 2))
    vertices[:count], vertices[count:] = path.vertices, path.vertices[:1]
    return vertices, _closed(count + 1)


@lru_cache(maxsize=512)
def _closed(count: int) -> Codes:
    codes = np.full(count, LINE, dtype=np.uint8)
    codes[0], codes[-1] = MOVE, CLOSE
    codes.flags.writeable = False
    return codes


@dataclass(frozen=True, eq=False)
class Clip:
    """What may be drawn on: a box on the canvas, and a path with the matrix that puts it there."""

    box: Bounds | None = None
    path: Path | None = None
    matrix: Array | None = None

    def within(self, path: Path, matrix: Array) -> Clip:
        """This clip and another; only one of all may be other than an upright rectangle."""
        box = upright_rectangle(path, matrix)
        if box is None:
            if self.path is not None:
                raise ValueError("two clips that are not upright rectangles cannot be nested")
            return Clip(self.box, path, matrix)
        return Clip(box if self.box is None else overlap(box, self.box), self.path, self.matrix)


NO_CLIP = Clip()


class Nib(NamedTuple):
    """What a line is drawn with: width and dashes are in units before the matrix."""

    colour: str
    width: float
    opacity: float
    dash: tuple[float, ...] | None = None
    cap: str = "round"
    join: str = "round"


class Pen:
    """Draws ops in order; lives for one picture or longer."""

    def __init__(self, style: Style) -> None:
        self.style = style

    def shape(self, path: Path) -> Any:
        """A path in the form that `line` takes."""
        raise NotImplementedError

    def inside(self, path: Path) -> Any:
        """A path in the form that `fill` takes."""
        return self.shape(path)

    def fill(self, shape: Any, colour: str, opacity: float, matrix: Array, clip: Clip) -> None:
        """The inside of a shape."""
        raise NotImplementedError

    def line(self, shape: Any, nib: Nib, matrix: Array, clip: Clip) -> None:
        """A line along a shape."""
        raise NotImplementedError

    def note(self, string: str) -> None:
        """The next shapes stand for this text."""

    def open(self, name: str) -> None:
        """What follows belongs to a layer or an op of this name."""

    def close(self, name: str) -> None:
        """The end of `open`."""

    def within(self, clip: Clip, path: Path, matrix: Array) -> Clip:
        """A clip inside another."""
        return clip.within(path, matrix)

    def draw(self, ops: Iterable[Op], matrix: Array, clip: Clip) -> None:
        """Ops through a matrix (3, 3) to the canvas and a clip."""
        for op in ops:
            if op.name:
                self.open(op.name)
            if isinstance(op, Fill):
                self.fill(self.inside(op.path), op.colour, op.opacity, matrix, clip)
            elif isinstance(op, Stroke):
                shape = self.shape(op.path)
                if op.casing is not None:
                    self.line(shape, Nib(*op.casing, op.opacity, None, op.cap, op.join), matrix, clip)
                self.line(shape, Nib(op.colour, op.width, op.opacity, op.dash, op.cap, op.join), matrix, clip)
            elif isinstance(op, Text):
                self._text(op, matrix, clip)
            elif isinstance(op, Group):
                inner = matrix
                if op.transform is not None:
                    inner = matrix @ np.vstack([op.transform, (0.0, 0.0, 1.0)])
                self.draw(op.ops, inner, clip if op.clip is None else self.within(clip, op.clip, inner))
            elif isinstance(op, Dots):
                self.fill(self.inside(op.path()), op.colour, op.opacity, matrix, clip)
            else:
                raise TypeError(f"{type(op).__name__} is not a drawing op")
            if op.name:
                self.close(op.name)

    def _text(self, op: Text, matrix: Array, clip: Clip) -> None:
        shape = typeface.outline(op.string, op.weight, op.family)
        self.note(op.string)
        whole = matrix @ text_matrix(op)
        if op.casing is not None:
            self.line(shape, Nib(op.casing[0], 2.0 * op.casing[1] / op.size, op.opacity), whole, clip)
        self.fill(shape, op.colour, op.opacity, whole, clip)


def text_matrix(op: Text) -> Array:
    """From the outline of a text at size 1, y up, to where it stands in the picture."""
    shift = _SHIFT[op.anchor]
    dx = shift * typeface.width(op.string, op.size, op.weight, op.family) if shift else 0.0
    dy = typeface.capital_height(op.size, op.weight) / 2.0 if op.baseline == "middle" else 0.0
    angle = math.radians(op.rotation)
    cos, sin, size = math.cos(angle), math.sin(angle), op.size
    return np.array(
        [
            [size * cos, size * sin, op.x + cos * dx - sin * dy],
            [size * sin, -size * cos, op.y + sin * dx + cos * dy],
            [0.0, 0.0, 1.0],
        ]
    )


def canvas_matrix(height: float, scale: float) -> Array:
    """From picture px to a canvas ``scale`` times as large whose y goes up."""
    return np.array([[scale, 0.0, 0.0], [0.0, -scale, height * scale], [0.0, 0.0, 1.0]])


def widening(matrix: Array) -> float:
    """How much wider lines become through a matrix."""
    return math.sqrt(abs(matrix[0, 0] * matrix[1, 1] - matrix[0, 1] * matrix[1, 0]))


class CanvasPen(Pen):
    """Draws on any matplotlib renderer of 72 px to the inch."""

    def __init__(self, renderer: Any, style: Style) -> None:
        from matplotlib.transforms import Affine2D, Bbox

        super().__init__(style)
        self.renderer = renderer
        self._affine, self._bbox = Affine2D, Bbox.from_extents
        self.clips: list[Any] = []
        self._kept: dict[int, tuple[Clip, Any]] = {}

    def shape(self, path: Path) -> Any:
        from matplotlib.path import Path as Outline

        shape = Outline(*ring(path))
        shape.should_simplify = False
        return shape

    def note(self, string: str) -> None:
        note = getattr(self.renderer, "note", None)
        if note is not None:
            note(string)

    def open(self, name: str) -> None:
        self.renderer.open_group(re.sub(r"[^A-Za-z0-9_.-]+", "-", name))

    def close(self, name: str) -> None:
        self.renderer.close_group(name)

    def _context(self, clip: Clip) -> Any:
        context = self.renderer.new_gc()
        context.set_snap(False)
        context.set_antialiased(True)
        if clip.box is not None:
            context.set_clip_rectangle(self._bbox(*clip.box))
        if clip.path is not None:
            # the same clip is the same object: a renderer tells clips apart by address, and an SVG holds each once
            kept = self._kept.get(id(clip))
            if kept is None or kept[0] is not clip:
                from matplotlib.transforms import TransformedPath

                kept = self._kept[id(clip)] = (clip, TransformedPath(self.shape(clip.path), self._affine(clip.matrix)))
                self.clips.append(kept[1])
            context.set_clip_path(kept[1])
        return context

    def fill(self, shape: Any, colour: str, opacity: float, matrix: Array, clip: Clip) -> None:
        if len(shape.vertices) < 2 or opacity <= 0.0:
            return
        context = self._context(clip)
        context.set_linewidth(0.0)
        rgba = self.style.rgba(colour, opacity)
        context.set_foreground(rgba, isRGBA=True)
        self.renderer.draw_path(context, shape, self._affine(matrix), rgba)
        context.restore()

    def line(self, shape: Any, nib: Nib, matrix: Array, clip: Clip) -> None:
        if len(shape.vertices) < 2 or nib.opacity <= 0.0 or nib.width <= 0.0:
            return
        scale = widening(matrix)
        context = self._context(clip)
        context.set_linewidth(nib.width * scale)
        context.set_capstyle(nib.cap)
        context.set_joinstyle(nib.join)
        if nib.dash:
            context.set_dashes(0.0, [length * scale for length in nib.dash])
        context.set_foreground(self.style.rgba(nib.colour, nib.opacity), isRGBA=True)
        self.renderer.draw_path(context, shape, self._affine(matrix), None)
        context.restore()
