"""Two shapes of the mouth in one side view: outlines that differ by line, hatched where only one of the two is."""

from __future__ import annotations

import numpy as np
import shapely

from articulators.curves import Array
from articulators.section import Section
from renders.anatomy import layers
from renders.anatomy.pen import PlatePen
from renders.marks.dimensions import dimensions
from renders.marks.moment import Moment
from renders.paper.canvas import Canvas
from renders.paper.picture import Group, Layer, Op, Path, Stroke


def overlay_layers(first: Moment, second: Moment, canvas: Canvas, near_mm: float) -> list[Layer]:
    """The first moment's organs, hatching, and the second's outlines dashed where they are off by `near_mm` or more."""
    view, look = canvas.view, dimensions().overlay
    organs = layers.moving_layer(first.section, first.airway, PlatePen(canvas))
    hatch = _hatching(first.section, second.section)
    ops: list[Op] = []
    if hatch:
        lines = Path.lines([view.px(run) for run in hatch])
        ops.append(Stroke(lines, "ink", view.line(look.hatch_px), opacity=look.hatch_opacity, name="only one"))
    runs = [run for organ in look.lines for run in _apart(second.section[organ], first.section[organ], near_mm)]
    if runs:
        ops.append(second_stroke(Path.lines([view.px(run) for run in runs]), canvas))
    # above the casing of the second, which would cut it where they cross
    ops.append(Stroke(_lines(first.section, canvas), "ink", solid_width(canvas), name="first outline"))
    return [organs, Layer("two outlines", (Group(tuple(ops), clip=layers.card(view)),))]


def solid_width(canvas: Canvas) -> float:
    """Line width in px of the first outline."""
    return canvas.view.line(dimensions().overlay.first_px)


def second_stroke(path: Path, canvas: Canvas) -> Stroke:
    """The second outline: dashed and cased, so that it is told apart without colour."""
    look = dimensions().overlay
    dash = (look.dash_mm[0] * canvas.scale, look.dash_mm[1] * canvas.scale)
    wide = canvas.view.line(look.second_px)
    casing = ("airway", wide + canvas.view.line(look.casing_px))
    return Stroke(path, "mover_line", wide, dash=dash, cap="butt", casing=casing, name="second outline")


def _lines(shown: Section, canvas: Canvas) -> Path:
    return Path.lines([canvas.px(shown[organ]) for organ in dimensions().overlay.lines])


def _apart(line: Array, other: Array, near_mm: float) -> list[Array]:
    """The stretches of a line that keep away from another line; ends are drawn on to where they meet."""
    away = np.asarray(shapely.distance(shapely.points(line), shapely.linestrings(other))) > near_mm
    edges = np.flatnonzero(np.diff(np.concatenate([[False], away, [False]]).astype(int)))
    runs = []
    for start, stop in zip(edges[::2], edges[1::2], strict=True):
        piece = line[max(0, start - 1) : min(len(line), stop + 1)]
        if len(piece) > 3:
            runs.append(piece)
    return runs


def _hatching(first: Section, second: Section) -> list[Array]:
    """Slanted lines over what only one of the two sections holds."""
    one = shapely.union_all([np.atleast_1d(first.polygons(organ))[0] for organ in dimensions().overlay.hatched])
    other = shapely.union_all([np.atleast_1d(second.polygons(organ))[0] for organ in dimensions().overlay.hatched])
    # slivers along shared edges are no difference that anyone can see
    only = shapely.buffer(shapely.buffer(shapely.symmetric_difference(one, other), -0.35), 0.35)
    if only.is_empty:
        return []
    x0, y0, x1, y1 = only.bounds
    height = y1 - y0
    starts = np.arange(x0 - height, x1, dimensions().overlay.hatch_mm)
    slanted = shapely.linestrings([[[x, y0], [x + height, y1]] for x in starts])
    cut = shapely.get_parts(shapely.get_parts(shapely.intersection(slanted, only)))
    return [shapely.get_coordinates(c) for c in cut if c.geom_type == "LineString" and c.length > 0.3]
