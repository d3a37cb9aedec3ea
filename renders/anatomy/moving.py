"""The plate's player: the rows of ink laid along the lines of a batch of moments, as areas and lines of a picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, partial, reduce

import numpy as np
import shapely

from articulators.curves import Array, Indices
from renders.anatomy.emphasis import Emphasis, focused
from renders.anatomy.ink import Ink, Rise
from renders.anatomy.lines import InkLines, Joined, joined_stretches, names_of
from renders.anatomy.pen import PlatePen
from renders.anatomy.pieces import PIECES, piece_places
from renders.paper.picture import Fill, Op, Path, Stroke
from renders.paper.strokes import Edge, eased, shifted

PALER = 0.8  # of the line around an organ that the sound leaves free


def inked(pen: PlatePen, rows: Sequence[Ink], lines: InkLines, emphasis: Emphasis) -> list[list[Op]]:
    """What the rows draw at each moment, back to front."""
    drawn: list[list[Op]] = [[] for _ in range(lines.count)]
    kept: dict[tuple[tuple[str, ...], bytes], Laid] = {}
    for row in rows:
        if not row.shown(emphasis.shown) or ((row.shaded or row.soft) and pen.style.shading <= 0):
            continue
        if row.draw == "piece":
            piece = PIECES[row.piece]
            draw = partial(piece.draw, pen, lines.sections.head)
            for ops, place in zip(drawn, piece_places(lines.sections, piece.carrier), strict=True):
                ops.append(pen.carried(row.piece, draw, place))
        elif row.draw == "hatch":
            if pen.style.hatched:
                for moment, ops in enumerate(drawn):
                    ops += pen.hatch(_tissue(row, lines, moment))
        else:
            for moments in lines.alike(_cut_at(row)):
                key = row.along, moments.tobytes()
                if key not in kept:
                    kept[key] = Laid(lines, joined_stretches(lines, row.along, moments), moments)
                _lay(pen, row, kept[key], emphasis, drawn)
    return drawn


@dataclass(frozen=True, eq=False)
class Laid:
    """What rows along the same stretches share, for moments (k,) that cut them at the same samples."""

    lines: InkLines
    joined: Joined
    moments: Indices

    @cached_property
    def edge(self) -> Edge:
        """The line with its length and its normals."""
        return Edge(self.joined.points)

    def from_sample(self, sample: str) -> Array:
        """The way (k, n) along the line from a sample such as "tongue tip", negative before it."""
        at = self.joined.at(self.lines, sample, int(self.moments[0]))
        return self.edge.run - self.edge.run[..., [at]]


def _cut_at(row: Ink) -> list[str]:
    """Samples on which a row depends."""
    samples = [rise.at for rise in row.weights if " " in rise.at] + ([row.focus_to] if row.focus_to else [])
    return sorted({*names_of(row.along), *samples})


def _lay(pen: PlatePen, row: Ink, laid: Laid, emphasis: Emphasis, drawn: list[list[Op]]) -> None:
    """One row for moments that cut its lines at the same samples."""
    rests = bool(row.rests) and emphasis.rests(row.rests)
    role = "resting" if rests and row.draw != "pressed" else row.role
    opacity = row.opacity * (pen.style.shading if row.soft else 1.0)
    width = pen.width_mm(row.line) * row.share if row.line else row.wide_mm
    shapes = laid.joined.points
    if row.draw == "core":
        shapes = shifted(shapes, row.depth_mm, closed=True)
    elif row.draw == "pressed":
        pressure = _weights(pen, row, laid) * (_focus(row, laid, emphasis) * (PALER if rests else 1.0))
        shapes = laid.edge.pressed(width * pressure)
    elif row.draw == "band":
        shapes = laid.edge.band(row.depth_mm * _weights(pen, row, laid), row.calm)
    elif row.draw == "inset" and row.depth_mm:
        shapes = shapes + (row.depth_mm * _weights(pen, row, laid))[..., None] * laid.edge.left
    for moment, shape in zip(laid.moments, shapes, strict=True):
        if row.draw == "lines":
            runs = [run[~np.isnan(run[:, 0])] for run in shape]
            drawn[moment].append(Stroke(Path.lines(runs), role, width, opacity=opacity, cap="butt"))
        elif not np.isnan(shape[0, 0]):
            drawn[moment].append(_op(row, shape, role, width, opacity))


def _op(row: Ink, shape: Array, role: str, width: float, opacity: float) -> Op:
    if row.draw in ("line", "ring", "inset"):
        path = Path.polygon(shape) if row.draw == "ring" else Path.line(shape)
        return Stroke(path, role, width, opacity=opacity, cap="butt" if row.draw == "inset" else "round", name=row.name)
    return Fill(Path.polygon(shape), role, opacity, row.name)


def _weights(pen: PlatePen, row: Ink, laid: Laid) -> Array:
    """The weights (k, n) of a row along its line."""
    if not row.weights:
        return np.ones(laid.edge.line.shape[:-1])
    weights = reduce(np.multiply, (_rise(pen, row, rise, laid) for rise in row.weights))
    return weights if row.power == 1.0 else np.maximum(weights, 0.0) ** row.power


def _rise(pen: PlatePen, row: Ink, rise: Rise, laid: Laid) -> Array:
    run = laid.edge.run
    if rise.at == "start":
        away = run
    elif rise.at == "end":
        away = run[..., -1:] - run
    elif rise.at == "ends":
        away = np.minimum(run, run[..., -1:] - run)
    else:
        away = np.abs(laid.from_sample(rise.at)) if rise.around else laid.from_sample(rise.at)
    least = pen.width_mm(rise.least_line) / pen.width_mm(row.line) if rise.least_line else rise.least
    return least + (rise.most - least) * eased(away, rise.low, rise.high)


def _focus(row: Ink, laid: Laid, emphasis: Emphasis) -> Array | float:
    """Weights (1, n) of the places that act, of the one moment of a still; as far as `focus_to`."""
    if not row.focus or emphasis.focus is None or len(emphasis.focus) == 0:
        return 1.0
    near = focused(laid.edge.line[0], emphasis.focus)[None]
    if not row.focus_to:
        return near
    fade = next(rise for rise in row.weights if rise.at == row.focus_to)
    beyond = eased(laid.from_sample(row.focus_to), fade.low, fade.high)
    return near * (1 - beyond) + beyond


def _tissue(row: Ink, lines: InkLines, moment: int) -> shapely.Geometry:
    """The inside of a line at one moment, without the organs that are spared."""
    found = shapely.Polygon(joined_stretches(lines, row.along, np.array([moment])).points[0]).buffer(0)
    section = lines.sections.at(moment)
    for organ in row.spared:
        found = shapely.difference(found, section.polygons(organ))
    return found
