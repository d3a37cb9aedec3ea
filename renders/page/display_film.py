"""A display list that changes with time, as numbers: what a mark or a small view draws at each frame of a page.

An operation is followed from frame to frame by its name, its look and how many like it came before; where it has fewer
lines than at another frame, its last one stands for them. What drifts (the waves of vibration) does so in the first
harmonic of the drift, so that its points at a phase d are m + c cos(2 pi d) + s sin(2 pi d): three lines stand for all
phases.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from articulators.curves import Array, Indices
from renders.page.display_list import Scale
from renders.page.pack import Table, kept_points
from renders.paper.picture import CLOSE, CURVE, MOVE, Dots, Fill, Group, Op, Path, Stroke

DrawAt: TypeAlias = Callable[[float], Iterable[Op]]
"""What a frame draws at a phase 0..1 of the drift."""
DRIFT_PHASES = (0.0, 0.25, 0.5)
CURVE_STEPS = 8


class OpLook(NamedTuple):
    """What stays of an operation: colour, width in px or None for an area, dashes in px, ends, corners, colour and
    width of its casing."""

    role: str
    width: float | None
    dash: tuple[float, ...] | None = None
    cap: str = "round"
    join: str = "round"
    casing: tuple[str, float] | None = None


@dataclass(frozen=True, eq=False)
class _Seen:
    """An operation at one frame: opacity, its lines (n, 2) at each of `DRIFT_PHASES`, and whether each is closed."""

    opacity: float
    lines: tuple[tuple[Array, ...], ...]
    closed: tuple[bool, ...]


_Key: TypeAlias = tuple[str, OpLook, int]
"""Name, look, and how many of the same came before."""


def display_film(
    name: str, frames: Sequence[DrawAt], scale: Scale, step_mm: float
) -> tuple[dict[str, Any], list[Table]]:
    """What is drawn at each frame: "rows" back to front, the "lines" that they are drawn along, and tables.

    A row is a look and the numbers of its lines; a line is how many values it has, whether it is closed and whether it
    drifts: then m, c and s follow each other. The tables are ``name`` (frames, values) in mm and ``name_opacity``
    (frames, rows), 0 where nothing is drawn.
    """
    seen = [_frame(draw) for draw in frames]
    order = _order(seen)
    rows: list[Any] = []
    kept = _Lines(scale.within_mm)
    opacity = np.zeros((len(frames), max(len(order), 1)))
    for number, key in enumerate(order):
        here = [frame.get(key) for frame in seen]
        opacity[:, number] = [0.0 if one is None else one.opacity for one in here]
        rows.append([*_at_scale(key[1], scale), [kept.number(*line) for line in _followed(here, scale)], key[0]])
    tables = [Table(name, kept.values(len(frames)), step_mm, 2), Table(f"{name}_opacity", opacity, 0.01)]
    return {"rows": rows, "lines": kept.rows}, tables


class _Lines:
    """Lines as they are met; one that is drawn twice, inside and edge, is kept once."""

    def __init__(self, within_mm: float) -> None:
        self._within_mm = within_mm
        self._met: list[Array] = []
        self._columns: list[Array] = []
        self.rows: list[list[int]] = []

    def number(self, line: Array, closed: bool) -> int:
        """The number of a line (phases, frames, points, 2)."""
        for number, other in enumerate(self._met):
            if self.rows[number][1] == closed and np.array_equal(other, line, equal_nan=True):
                return number
        drifts = bool(np.nanmax(np.abs(line - line[:1])) > 1e-9)
        some = line[:, :, _kept(line, self._within_mm)]
        parts = _harmonic(some) if drifts else some[:1]
        self._columns += [lasting(part.reshape(line.shape[1], -1)) for part in parts]
        self._met.append(line)
        self.rows.append([some.shape[2] * 2, int(closed), int(drifts)])
        return len(self.rows) - 1

    def values(self, frames: int) -> Array:
        """All values of all lines (frames, values)."""
        return np.concatenate(self._columns, axis=1) if self._columns else np.zeros((frames, 1))


def lasting(values: Array) -> Array:
    """Numbers (frames, values) with those of the frame before, or of the first one, where there are none: what is not
    drawn costs nothing then. 0 where no frame has any."""
    there = ~np.isnan(values)
    frame = np.where(there, np.arange(len(values))[:, None], -1)
    last = np.maximum.accumulate(frame, axis=0)
    first = np.argmax(there, axis=0)
    filled = np.take_along_axis(values, np.where(last < 0, first, last), axis=0)
    return np.nan_to_num(filled)


def _frame(draw: DrawAt) -> dict[_Key, _Seen]:
    phases = [list(_flat(draw(phase))) for phase in DRIFT_PHASES]
    found: dict[_Key, _Seen] = {}
    for ops in zip(*phases, strict=True):
        op = ops[0]
        lines = [_lines(one) for one in ops]
        points = tuple(tuple(line for line, _ in one) for one in lines)
        kind = op.name, _look(op)
        number = sum(key[:2] == kind for key in found)
        found[*kind, number] = _Seen(op.opacity, points, tuple(closed for _, closed in lines[0]))
    return found


def _flat(ops: Iterable[Op]) -> Iterable[Fill | Stroke | Dots]:
    for op in ops:
        if isinstance(op, Group):
            if op.transform is not None:
                raise ValueError("a group with a transform is not followed")
            yield from _flat(op.ops)
        elif isinstance(op, Fill | Stroke | Dots):
            yield op


def _look(op: Fill | Stroke | Dots) -> OpLook:
    if isinstance(op, Stroke):
        return OpLook(op.colour, round(op.width, 3), op.dash, op.cap, op.join, op.casing)
    return OpLook(op.colour, None)


def _at_scale(look: OpLook, scale: Scale) -> list[Any]:
    """A look as plain values, widths as the page counts them and dashes in mm; the usual ends and corners left out."""
    width = None if look.width is None else round(look.width * scale.width, 3)
    dash = None if look.dash is None else [round(part / scale.per_mm, 3) for part in look.dash]
    casing = None if look.casing is None else [look.casing[0], round(look.casing[1] * scale.width, 3)]
    ends = [end if end != "round" else 0 for end in (look.cap, look.join)]
    return [look.role, width, dash, *ends, casing]


def _lines(op: Fill | Stroke | Dots) -> list[tuple[Array, bool]]:
    """Lines (n, 2) of an operation, curves as corners, and whether each is closed."""
    if isinstance(op, Dots):
        return [(ring, True) for ring in op.corners()]
    path = op.path
    pieces = path.pieces() if path.codes is None or not (path.codes == CURVE).any() else _without_curves(path)
    return [(_ring(points) if closed else points, closed) for points, closed in pieces]


def _ring(points: Array) -> Array:
    """A closed line without the points that close it: it may be told with them and without."""
    while len(points) > 3 and np.array_equal(points[0], points[-1]):
        points = points[:-1]
    return points


def _without_curves(path: Path) -> list[tuple[Array, bool]]:
    assert path.codes is not None
    found: list[tuple[list[Array], bool]] = []
    t = np.linspace(0, 1, CURVE_STEPS + 1)[1:, None]
    at = 0
    while at < len(path.codes):
        code, point = path.codes[at], path.vertices[at]
        if code == MOVE:
            found.append(([point[None]], False))
        elif code == CURVE:
            a, (b, c, d) = found[-1][0][-1][-1], path.vertices[at : at + 3]
            found[-1][0].append((1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d)
            at += 2
        elif code == CLOSE:
            found[-1] = (found[-1][0], True)
        else:
            found[-1][0].append(point[None])
        at += 1
    return [(np.concatenate(points), closed) for points, closed in found]


def _order(seen: Sequence[dict[_Key, _Seen]]) -> list[_Key]:
    """All operations in an order that is that of every frame."""
    order: list[_Key] = []
    for frame in seen:
        at = 0
        for key in frame:
            if key in order:
                at = order.index(key) + 1
            else:
                order.insert(at, key)
                at += 1
    return order


def _followed(here: Sequence[_Seen | None], scale: Scale) -> list[tuple[Array, bool]]:
    """Lines (phases, frames, points, 2) in mm of an operation over all frames, each with whether it is closed. A line
    that has fewer points at a frame stays where it ends, and one that is missing lies on the last that is there."""
    most = max((one for one in here if one is not None), key=lambda one: len(one.closed))
    lines = []
    for number, closed in enumerate(most.closed):
        parts = [None if one is None else [p[min(number, len(p) - 1)] for p in one.lines] for one in here]
        count = max(len(part[0]) for part in parts if part is not None)
        line = np.full((len(DRIFT_PHASES), len(here), count, 2), np.nan)
        for frame, part in enumerate(parts):
            if part is not None:
                for phase, points in enumerate(part):
                    line[phase, frame, : len(points)] = points
                    line[phase, frame, len(points) :] = points[-1]
        lines.append(((line - np.array(scale.middle)) / np.array([scale.per_mm, scale.down_per_mm]), closed))
    return lines


def _kept(line: Array, within_mm: float) -> Indices:
    there = line.reshape(-1, *line.shape[2:])
    there = there[~np.isnan(there[:, 0, 0])]
    return kept_points(there, within_mm) if line.shape[2] > 3 else np.arange(line.shape[2])


def _harmonic(line: Array) -> tuple[Array, Array, Array]:
    """m, c and s of a line (phases, frames, points, 2)."""
    middle = (line[0] + line[2]) / 2
    return middle, (line[0] - line[2]) / 2, line[1] - middle
