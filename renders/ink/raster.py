"""Pictures as pixels, frame after frame: only what has changed since the frame before is drawn again."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from articulators.curves import Array
from renders.files.writer import Frame
from renders.ink.pens import NO_CLIP, canvas_matrix, overlap, text_matrix, widening
from renders.ink.raster_pen import RasterPen
from renders.paper import typeface
from renders.paper.picture import Bounds, Dots, Fill, Group, Layer, Op, Picture, Stroke, Text
from renders.paper.style import Style

_NOTHING: Bounds = (math.inf, math.inf, -math.inf, -math.inf)
_SPIKE = 4.0  # the point of a mitred corner reaches further than half the width of its line


def _joined(one: Bounds, other: Bounds) -> Bounds:
    return min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3])


def _meet(one: Bounds, other: Bounds) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _around(vertices: Array, matrix: Array, more: float = 0.0) -> Bounds:
    if len(vertices) == 0:
        return _NOTHING
    # along one axis at a time: over rows of two, the library is many times as slow
    across, up = vertices[:, 0], vertices[:, 1]
    x0, x1, y0, y1 = float(across.min()), float(across.max()), float(up.min()), float(up.max())
    (xx, xy, x), (yx, yy, y) = matrix[0].tolist(), matrix[1].tolist()
    return (
        x + min(xx * x0, xx * x1) + min(xy * y0, xy * y1) - more,
        y + min(yx * x0, yx * x1) + min(yy * y0, yy * y1) - more,
        x + max(xx * x0, xx * x1) + max(xy * y0, xy * y1) + more,
        y + max(yx * x0, yx * x1) + max(yy * y0, yy * y1) + more,
    )


def _half_line(ops: tuple[Op, ...]) -> float:
    """How far the lines of ops reach at most beyond their vertices, in units before the matrix."""
    most = 0.0
    for op in ops:
        if isinstance(op, Stroke):
            width = max(op.width, op.casing[1] if op.casing is not None else 0.0)
            most = max(most, width * (0.5 if op.join == "round" and op.cap == "round" else 0.5 * _SPIKE))
    return most


def reach(ops: tuple[Op, ...], matrix: Array) -> Bounds:
    """A box on the canvas outside which ops draw nothing, apart from the softened edge of a pixel.

    Fills and strokes count together, with the widest line: their number is large.
    """
    plain = [op.path.vertices for op in ops if isinstance(op, (Fill, Stroke)) and len(op.path.vertices)]
    box = _around(np.concatenate(plain), matrix, _half_line(ops) * widening(matrix)) if plain else _NOTHING
    for op in ops:
        if isinstance(op, (Fill, Stroke)):
            continue
        if isinstance(op, Group):
            inner = matrix
            if op.transform is not None:
                inner = matrix @ np.vstack([op.transform, (0.0, 0.0, 1.0)])
            part = _around(op.clip.vertices, inner) if op.clip is not None else reach(op.ops, inner)
        elif isinstance(op, Text):
            whole = matrix @ text_matrix(op)
            more = 0.0 if op.casing is None else op.casing[1] * widening(matrix)
            part = _around(typeface.outline(op.string, op.weight, op.family).vertices, whole, more)
        elif isinstance(op, Dots):
            part = _around(op.points, matrix, float(np.max(op.radius, initial=0.0)) * widening(matrix))
        else:
            raise TypeError(f"{type(op).__name__} is not a drawing op")
        box = _joined(box, part)
    return box


class Raster:
    """Draws frames of one size, keeping the pixels of what does not change.

    Layers are recognised by identity: pass the same ``Layer`` objects again and they are drawn anew only where
    another layer over or under them changed. The leading layers that do not move are kept as a ground. The
    pixels are those of drawing everything. One Raster serves one thread.

    A picture has the shape of the raster and is drawn as large; ``centred`` takes other shapes too, as large as they
    fit, with their background around them.
    """

    def __init__(self, width: int, height: int, style: Style, centred: bool = False) -> None:
        if width < 1 or height < 1:
            raise ValueError(f"a raster needs a size of at least 1 x 1 px, got {width} x {height}")
        self.width, self.height, self.style, self._centred = width, height, style, centred
        self._pen = RasterPen(width, height, style)
        self._pixels = self._pen.pixels
        self._ground = np.zeros_like(self._pixels)
        self._ground_key: tuple[Any, ...] | None = None
        self._shown: dict[Layer, Bounds] = {}

    def frame(self, picture: Picture) -> Frame:
        """The picture as pixels (height, width, 4), red green blue opacity, a new array each time."""
        return self.into(picture, np.empty_like(self._pixels))

    def into(self, picture: Picture, out: Frame) -> Frame:
        """Like `frame`, into an array (height, width, 4) uint8 that is used again: new memory costs a millisecond."""
        matrix = self._placed(picture)
        still = 0
        while still < len(picture.layers) and not picture.layers[still].moves:
            still += 1
        key = (picture.background, picture.width, picture.height, *picture.layers[:still])
        layers = picture.layers[still:]
        if self._ground_key != key:
            self._lay_ground(picture, picture.layers[:still], matrix)
            self._ground_key, self._shown = key, {}
        reaches = {layer: self._shown.get(layer) or self._bounds(layer, matrix) for layer in layers}
        for region in self._changed(layers, reaches):
            self._redraw(region, layers, reaches, matrix)
        self._shown = reaches
        np.copyto(out, self._pixels)
        return out

    def _placed(self, picture: Picture) -> Array:
        """From picture px to the canvas."""
        scale = self.width / picture.width
        if abs(picture.height * scale - self.height) < 1.0:
            return canvas_matrix(picture.height, scale)
        if not self._centred:
            raise ValueError(
                f"a picture of {picture.width:g} x {picture.height:g} does not fit "
                f"{self.width} x {self.height}"
            )
        scale = min(scale, self.height / picture.height)
        matrix = canvas_matrix(picture.height, scale)
        matrix[0, 2] += (self.width - picture.width * scale) / 2
        matrix[1, 2] += (self.height - picture.height * scale) / 2
        return matrix

    def _lay_ground(self, picture: Picture, layers: tuple[Layer, ...], matrix: Array) -> None:
        # codecs that halve the colours' resolution let what is see-through shine into its neighbours
        colour = self.style.rgba("paper", 0.0) if picture.background is None else self.style.rgba(picture.background)
        self._pixels[:] = np.round(np.array(colour) * 255.0).astype(np.uint8)
        for layer in layers:
            self._pen.draw(layer.ops, matrix, NO_CLIP)
        np.copyto(self._ground, self._pixels)

    def _bounds(self, layer: Layer, matrix: Array) -> Bounds:
        """Whole pixels that a layer may touch, y up."""
        x0, y0, x1, y1 = overlap(reach(layer.ops, matrix), (-2.0, -2.0, self.width + 2.0, self.height + 2.0))
        if not (x0 < x1 and y0 < y1):
            return (0.0, 0.0, 0.0, 0.0)
        grown = math.floor(x0) - 1.0, math.floor(y0) - 1.0, math.ceil(x1) + 1.0, math.ceil(y1) + 1.0
        return overlap(grown, (0.0, 0.0, float(self.width), float(self.height)))

    def _changed(self, layers: tuple[Layer, ...], reaches: dict[Layer, Bounds]) -> list[Bounds]:
        """Boxes that do not meet, around all that differs from what is shown and the layers that meet it."""
        kept = [layer for layer in self._shown if layer in reaches]
        if kept != [layer for layer in layers if layer in self._shown]:
            return [(0.0, 0.0, float(self.width), float(self.height))]
        boxes = {box for layer, box in self._shown.items() if layer not in reaches}
        boxes |= {box for layer, box in reaches.items() if layer not in self._shown}
        apart: list[Bounds] = []
        # large ones first: what lies within them is done with
        for box in sorted(boxes, key=lambda box: ((box[0] - box[2]) * (box[3] - box[1]), box)):
            if box[0] >= box[2] or any(_joined(box, other) == other for other in apart):
                continue
            grown = True
            # a box that has grown may meet another; a layer cut at its edge would differ there by a level
            while grown:
                meeting = [other for other in apart if _meet(box, other)]
                apart = [other for other in apart if other not in meeting]
                whole = box
                for other in (*meeting, *(other for other in reaches.values() if _meet(box, other))):
                    whole = _joined(whole, other)
                grown, box = whole != box, whole
            apart.append(box)
        return apart

    def _redraw(self, region: Bounds, layers: tuple[Layer, ...], reaches: dict[Layer, Bounds], matrix: Array) -> None:
        x0, y0, x1, y1 = (int(v) for v in region)
        rows = slice(self.height - y1, self.height - y0)
        self._pixels[rows, x0:x1] = self._ground[rows, x0:x1]
        for layer in layers:
            if _meet(reaches[layer], region):
                self._pen.draw(layer.ops, matrix, NO_CLIP)
