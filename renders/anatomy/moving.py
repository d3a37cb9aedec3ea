"""The plate's player: the rows of ink laid along the lines of a batch of moments, as areas and lines of a picture."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce

import numpy as np
import shapely

from articulators.curves import Array, Indices
from renders.anatomy.emphasis import Emphasis, focused
from renders.anatomy.ink import Ink, Rise
from renders.anatomy.lines import Joined, Lines, joined, names_of
from renders.anatomy.pen import PlatePen
from renders.anatomy.pieces import PIECES, places
from renders.paper.picture import Fill, Op, Path, Stroke
from renders.paper.strokes import Edge, eased, shifted

PALER = 0.8  # of the line around an organ that the sound leaves free


def inked(pen: PlatePen, rows: Sequence[Ink], lines: Lines, emphasis: Emphasis) -> list[list[Op]]:
    """What the rows draw at each moment, back to front."""
    drawn: list[list[Op]] = [[] for _ in range(lines.count)]
    for row in rows:
        if not row.shown(emphasis.shown) or ((row.shaded or row.soft) and pen.style.shading <= 0):
            continue
        if row.draw == "piece":
            piece = PIECES[row.piece]
            for ops, place in zip(drawn, places(lines.sections, piece.carrier), strict=True):
                ops.append(pen.carried(row.piece, lambda: piece.draw(pen, lines.sections.head), place))
        elif row.draw == "hatch":
            if pen.style.hatched:
                for moment, ops in enumerate(drawn):
                    ops += pen.hatch(_tissue(row, lines, moment))
        else:
            for moments in lines.alike(_cut_at(row)):
                _lay(pen, row, lines, moments, emphasis, drawn)
    return drawn


def _cut_at(row: Ink) -> list[str]:
    """Samples on which a row depends."""
    samples = [rise.at for rise in row.weights if " " in rise.at] + ([row.focus_to] if row.focus_to else [])
    return sorted({*names_of(row.along), *samples})


def _lay(
    pen: PlatePen, row: Ink, lines: Lines, moments: Indices, emphasis: Emphasis, drawn: list[list[Op]]
) -> None:
    """One row for moments that cut its lines at the same samples."""
    laid = joined(lines, row.along, moments)
    rests = bool(row.rests) and emphasis.rests(row.rests)
    role = "resting" if rests and row.draw != "pressed" and row.role != "mover_line" else row.role
    opacity = row.opacity * (pen.style.shading if row.soft else 1.0)
    width = pen.width_mm(row.line) * row.share if row.line else row.wide_mm
    if row.draw in ("band", "pressed", "inset"):
        edge = Edge(laid.points)
        weights = _weights(pen, row, lines, laid, edge, int(moments[0]))
        if row.draw == "pressed":
            if row.focus:
                weights = weights * _focus(row, lines, laid, edge, emphasis) * (PALER if rests else 1.0)
            shapes = edge.pressed(width * weights)
        elif row.draw == "band":
            shapes = edge.band(row.depth_mm * weights, row.calm)
        else:
            shapes = edge.line + (row.depth_mm * weights)[..., None] * edge.left if row.depth_mm else edge.line
    else:
        shapes = shifted(laid.points, row.depth_mm, closed=True) if row.draw == "core" else laid.points
    for moment, shape in zip(moments, shapes, strict=True):
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


def _weights(pen: PlatePen, row: Ink, lines: Lines, laid: Joined, edge: Edge, moment: int) -> Array:
    """The weights (k, n) of a row along its line."""
    rises = [_rise(pen, row, rise, lines, laid, edge, moment) for rise in row.weights]
    if not rises:
        return np.ones(edge.line.shape[:-1])
    weights = reduce(np.multiply, rises)
    return weights if row.power == 1.0 else np.maximum(weights, 0.0) ** row.power


def _rise(pen: PlatePen, row: Ink, rise: Rise, lines: Lines, laid: Joined, edge: Edge, moment: int) -> Array:
    run = edge.run
    if rise.at == "start":
        away = run
    elif rise.at == "end":
        away = run[..., -1:] - run
    elif rise.at == "ends":
        away = np.minimum(run, run[..., -1:] - run)
    else:
        away = run - run[..., [laid.at(lines, rise.at, moment)]]
        if rise.around:
            away = np.abs(away)
    least = pen.width_mm(rise.least_line) / pen.width_mm(row.line) if rise.least_line else rise.least
    return least + (rise.most - least) * eased(away, rise.low, rise.high)


def _focus(row: Ink, lines: Lines, laid: Joined, edge: Edge, emphasis: Emphasis) -> Array | float:
    """Weights (1, n) of the places that act, of the one moment of a still; as far as `focus_to`."""
    if emphasis.focus is None or len(emphasis.focus) == 0:
        return 1.0
    near = focused(edge.line[0], emphasis.focus)[None]
    if not row.focus_to:
        return near
    fade = next(rise for rise in row.weights if rise.at == row.focus_to)
    at = laid.at(lines, row.focus_to, 0)
    beyond = eased(edge.run - edge.run[..., [at]], fade.low, fade.high)
    return near * (1 - beyond) + beyond


def _tissue(row: Ink, lines: Lines, moment: int) -> shapely.Geometry:
    """The inside of a line at one moment, without the organs that are spared."""
    found = shapely.Polygon(joined(lines, row.along, np.array([moment])).points[0]).buffer(0)
    section = lines.sections.at(moment)
    for organ in row.spared:
        found = shapely.difference(found, section.polygons(organ))
    return found
