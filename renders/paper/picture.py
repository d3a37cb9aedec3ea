"""The display list: what a picture consists of, with no knowledge of what it shows or how it is drawn.

Picture units are px at design size, origin at the top left, x to the right, y DOWN. A colour is a role name
that a style resolves ("mover") or "#RRGGBB". Everything is frozen and every array read-only, so that layers
may be shared between pictures and threads.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from articulators.curves import Array

Codes: TypeAlias = NDArray[np.uint8]
Box: TypeAlias = tuple[float, float, float, float]
"""x, y, width, height in px, y down."""
Bounds: TypeAlias = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y."""

MOVE, LINE, CURVE, CLOSE = 1, 2, 4, 79
"""Vertex codes: start, straight to, cubic Bezier (three vertices each), back to the start."""

_CIRCLE_HANDLE = 4.0 / 3.0 * (np.sqrt(2.0) - 1.0)


def _frozen(values: ArrayLike, dtype: type = np.float64) -> NDArray:
    array: NDArray = np.array(values, dtype=dtype)
    array.flags.writeable = False
    return array


def _points(values: ArrayLike) -> Array:
    array = _frozen(values)
    if array.ndim == 2 and array.shape[1] == 2:
        return array
    if array.size == 0:
        array = _frozen(np.empty((0, 2)))
    if array.ndim != 2 or array.shape[1] != 2:
        raise ValueError(f"points must have the shape (n, 2), got {array.shape}")
    return array


@dataclass(frozen=True, eq=False)
class Path:
    """Vertices (n, 2) joined by straight lines, or as ``codes`` (n,) say; ``closed`` joins last to first."""

    vertices: Array
    codes: Codes | None = None
    closed: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "vertices", _points(self.vertices))
        if self.codes is not None:
            codes = _frozen(self.codes, np.uint8)
            if codes.shape != (len(self.vertices),):
                raise ValueError(f"{len(self.vertices)} vertices need as many codes, got {codes.shape}")
            object.__setattr__(self, "codes", codes)

    @classmethod
    def line(cls, points: ArrayLike) -> Path:
        """An open line through points (n, 2)."""
        return cls(np.asarray(points, dtype=np.float64))

    @classmethod
    def polygon(cls, points: ArrayLike) -> Path:
        """One closed ring of points (n, 2)."""
        return cls(np.asarray(points, dtype=np.float64), closed=True)

    @classmethod
    def polygons(cls, rings: Iterable[ArrayLike]) -> Path:
        """Several closed rings; a ring inside another is a hole, one inside a hole is filled (even-odd).

        Rings must not cross each other. Rings of fewer than three points are left out.
        """
        arrays = [np.asarray(ring, dtype=np.float64).reshape(-1, 2) for ring in rings]
        arrays = [ring for ring in arrays if len(ring) >= 3]
        turned = []
        for i, ring in enumerate(arrays):
            depth = sum(_inside(ring[0], other) for j, other in enumerate(arrays) if j != i)
            positive = _signed_area(ring) > 0.0
            turned.append(ring if positive == (depth % 2 == 0) else ring[::-1])
        return cls._joined(turned, closed=True)

    @classmethod
    def lines(cls, runs: Iterable[ArrayLike]) -> Path:
        """Several open lines, drawn as one; runs of fewer than two points are left out."""
        arrays = [np.asarray(run, dtype=np.float64).reshape(-1, 2) for run in runs]
        return cls._joined([run for run in arrays if len(run) >= 2], closed=False)

    @classmethod
    def bundle(cls, lines: ArrayLike, closed: bool = False) -> Path:
        """Lines of one length (k, n, 2), drawn as one; closed ones are areas that lie apart."""
        lines = np.asarray(lines, dtype=np.float64)
        if closed:
            lines = np.concatenate([lines, lines[:, :1]], axis=1)
        codes = np.full(lines.shape[:2], LINE, dtype=np.uint8)
        codes[:, 0] = MOVE
        if closed:
            codes[:, -1] = CLOSE
        return cls(lines.reshape(-1, 2), codes.ravel())

    @classmethod
    def _joined(cls, parts: Sequence[Array], closed: bool) -> Path:
        if not parts:
            return cls(np.empty((0, 2)), np.empty(0, dtype=np.uint8))
        extra = 1 if closed else 0
        vertices = np.empty((sum(len(part) + extra for part in parts), 2))
        codes = np.full(len(vertices), LINE, dtype=np.uint8)
        at = 0
        for part in parts:
            vertices[at : at + len(part)] = part
            codes[at] = MOVE
            at += len(part)
            if closed:
                vertices[at], codes[at] = part[0], CLOSE
                at += 1
        return cls(vertices, codes)

    @classmethod
    def rectangle(cls, x: float, y: float, width: float, height: float, radius: float = 0.0) -> Path:
        """A rectangle from its top left corner, with round corners where ``radius`` is above 0."""
        x1, y1 = x + width, y + height
        r = min(radius, width / 2.0, height / 2.0)
        if r <= 0.0:
            return cls.polygon([(x, y), (x1, y), (x1, y1), (x, y1)])
        k = r * (1.0 - _CIRCLE_HANDLE)
        vertices = [
            (x + r, y), (x1 - r, y), (x1 - k, y), (x1, y + k), (x1, y + r),
            (x1, y1 - r), (x1, y1 - k), (x1 - k, y1), (x1 - r, y1),
            (x + r, y1), (x + k, y1), (x, y1 - k), (x, y1 - r),
            (x, y + r), (x, y + k), (x + k, y), (x + r, y), (x + r, y),
        ]  # fmt: skip
        codes = [MOVE, *[LINE, CURVE, CURVE, CURVE] * 4, CLOSE]
        return cls(np.array(vertices), np.array(codes, dtype=np.uint8))

    @classmethod
    def ellipse(cls, x: float, y: float, x_radius: float, y_radius: float | None = None) -> Path:
        """An ellipse about (x, y); a circle where only one radius is given."""
        size = np.array([x_radius, x_radius if y_radius is None else y_radius])
        return cls(UNIT_CIRCLE.vertices * size + (x, y), UNIT_CIRCLE.codes)

    def pieces(self) -> list[tuple[Array, bool]]:
        """Vertices (n, 2) of each line of a path without curves, and whether it is closed."""
        if self.codes is None:
            return [(self.vertices, self.closed)]
        parts = np.split(np.arange(len(self.vertices)), np.flatnonzero(self.codes == MOVE)[1:])
        return [(self.vertices[part], bool(self.codes[part[-1]] == CLOSE)) for part in parts]

    def bounds(self) -> Bounds:
        """Least x, least y, greatest x, greatest y of the vertices; nan where there are none."""
        if len(self.vertices) == 0:
            return (float("nan"),) * 4
        low, high = self.vertices.min(axis=0), self.vertices.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _signed_area(ring: Array) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


def _inside(point: Array, ring: Array) -> bool:
    if (point < ring.min(axis=0)).any() or (point > ring.max(axis=0)).any():
        return False
    end = np.roll(ring, -1, axis=0)
    crosses = (ring[:, 1] > point[1]) != (end[:, 1] > point[1])
    rise = np.where(crosses, end[:, 1] - ring[:, 1], 1.0)
    x_at = ring[:, 0] + (point[1] - ring[:, 1]) / rise * (end[:, 0] - ring[:, 0])
    return bool(np.count_nonzero(crosses & (x_at > point[0])) % 2)


def _unit_circle() -> Path:
    h = _CIRCLE_HANDLE
    vertices = [
        (1, 0), (1, h), (h, 1), (0, 1), (-h, 1), (-1, h), (-1, 0),
        (-1, -h), (-h, -1), (0, -1), (h, -1), (1, -h), (1, 0), (1, 0),
    ]  # fmt: skip
    codes = np.array([MOVE, *[CURVE] * 12, CLOSE], dtype=np.uint8)
    return Path(np.array(vertices, dtype=np.float64), codes)


UNIT_CIRCLE = _unit_circle()


@dataclass(frozen=True, eq=False)
class Fill:
    """The inside of a path in one colour. ``opacity`` 0 to 1."""

    path: Path
    colour: str
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, eq=False)
class Stroke:
    """A line along a path. ``dash``: px on, off, ... ``casing``: colour and whole width beneath."""

    path: Path
    colour: str
    width: float
    dash: tuple[float, ...] | None = None
    cap: Literal["round", "butt", "projecting"] = "round"
    join: Literal["round", "miter", "bevel"] = "round"
    casing: tuple[str, float] | None = None
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, eq=False)
class Text:
    """One line of text with its anchor point at (x, y).

    ``family`` "figures" sets digits at equal widths, so that a running clock keeps still. ``baseline``
    "middle" centres capital letters on y. ``rotation`` in degrees, clockwise as seen. ``casing``: colour
    and the width by which it stands out on each side.
    """

    string: str
    x: float
    y: float
    size: float
    colour: str
    weight: Literal["regular", "bold"] = "regular"
    family: Literal["text", "figures"] = "text"
    anchor: Literal["start", "middle", "end"] = "start"
    baseline: Literal["alphabetic", "middle"] = "alphabetic"
    rotation: float = 0.0
    casing: tuple[str, float] | None = None
    opacity: float = 1.0
    name: str = ""


@dataclass(frozen=True, eq=False)
class Dots:
    """Filled circles at points (n, 2); ``radius`` in px, one for all or one each."""

    points: Array
    radius: float | Array
    colour: str
    opacity: float = 1.0
    name: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", _points(self.points))
        if not np.isscalar(self.radius):
            radius = _frozen(self.radius)
            if radius.shape != (len(self.points),):
                raise ValueError(f"{len(self.points)} dots need one radius or as many, got {radius.shape}")
            object.__setattr__(self, "radius", radius)

    def path(self) -> Path:
        """All circles as one path (overlaps fill once)."""
        count, per = len(self.points), len(UNIT_CIRCLE.vertices)
        radius = np.broadcast_to(np.asarray(self.radius, dtype=np.float64), (count,))
        vertices = self.points[:, None, :] + radius[:, None, None] * UNIT_CIRCLE.vertices[None]
        return Path(vertices.reshape(count * per, 2), np.tile(UNIT_CIRCLE.codes, count))  # type: ignore[arg-type]


    def corners(self, count: int = 16) -> Array:
        """All circles as rings (n, count, 2) of corners, for what draws no curves."""
        angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
        radius = np.broadcast_to(np.asarray(self.radius, dtype=np.float64), (len(self.points),))
        return self.points[:, None] + radius[:, None, None] * np.stack([np.cos(angle), np.sin(angle)], axis=-1)


@dataclass(frozen=True, eq=False)
class Group:
    """Ops drawn through a clip and a transform.

    ``transform`` (2, 3) maps inner x, y to outer: out = m[:, :2] @ in + m[:, 2]. ``clip`` is in inner
    units. Clips may be nested where at most one of them is not an upright rectangle. Line widths and text
    sizes of ``ops`` are scaled by the square root of the transform's determinant.
    """

    ops: tuple[Op, ...]
    clip: Path | None = None
    transform: Array | None = None
    name: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "ops", tuple(self.ops))
        if self.transform is not None:
            matrix = _frozen(self.transform)
            if matrix.shape != (2, 3):
                raise ValueError(f"a transform has the shape (2, 3), got {matrix.shape}")
            object.__setattr__(self, "transform", matrix)


Op: TypeAlias = Fill | Stroke | Text | Dots | Group


@dataclass(frozen=True, eq=False)
class Layer:
    """A named run of ops. ``moves`` False: its pixels are kept while the same object comes back."""

    name: str
    ops: tuple[Op, ...]
    moves: bool = True

    def __post_init__(self) -> None:
        object.__setattr__(self, "ops", tuple(self.ops))


@dataclass(frozen=True, eq=False)
class Picture:
    """A whole picture of width x height px. Layers are drawn in order; title and description are for readers
    who do not see it."""

    width: float
    height: float
    background: str | None
    layers: tuple[Layer, ...]
    title: str = ""
    description: str = ""

    def __post_init__(self) -> None:
        if not (self.width > 0 and self.height > 0):
            raise ValueError(f"a picture needs a size above 0, got {self.width} x {self.height}")
        object.__setattr__(self, "layers", tuple(self.layers))

    def frame(self, layers: Iterable[Layer]) -> Picture:
        """The same picture with other layers: one frame of a film."""
        return replace(self, layers=tuple(layers))

    def scaled(self, factor: float) -> Picture:
        """The same picture ``factor`` times as large, lines and text included."""
        matrix = np.array([[factor, 0.0, 0.0], [0.0, factor, 0.0]])
        layers = tuple(replace(layer, ops=(Group(layer.ops, transform=matrix),)) for layer in self.layers)
        return replace(self, width=self.width * factor, height=self.height * factor, layers=layers)
