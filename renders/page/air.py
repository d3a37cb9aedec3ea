"""Air of a timeline as tables: lines of flow, dots and tint of what is held, and the signals that go with them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from articulators.curves import Array, Bools
from articulators.head import Head
from renders.marks.air import UNSEEN, Flow, HeldAir, air_flows, dots_mm, held_air, scatter
from renders.marks.dimensions import dimensions
from renders.marks.drawn_marks import DRAWN_MARKS
from renders.marks.moment import Moment
from renders.page.display_film import lasting
from renders.page.outlines import Sampled
from renders.page.pack import Table, kept_points
from renders.page.settings import settings
from renders.paper.style import load
from vocaltract.airway.channel import gridlines

WAYS = ("held", "nose", "mouth")


def air_tables(item: Sampled, prefix: str) -> tuple[dict[str, Any], list[Table]]:
    """How flows are read back, and tables of one item.

    ways     by way of the air: number of lines, of stations on each, and of stretches; which stations are packed
    Per way "flow_way" holds the stations, "flow_way_drawn" and "flow_way_heads" the stretches that are drawn and
    those with room for arrowheads, from and to as shares of a line, and "flow_way_more" lengths of the lines in mm,
    strength, and 1 where they are broken. "dots" holds 1 for every one of "places" that is dotted.
    """
    found = [air_flows(now) for now in item.moments]
    held = [held_air(now, some) for now, some in zip(item.moments, found, strict=True)]
    ways: dict[str, Any] = {}
    tables: list[Table] = []
    for way in WAYS:
        row = [next((flow for flow in some if flow.way == way), None) for some in found]
        if any(flow is not None for flow in row):
            ways[way], made = _way(row, f"{prefix}flow_{way}")
            tables += made
    return ways, [*tables, *_dots(held, item.head, prefix), *_held(item.moments, held, prefix)]


def _way(row: Sequence[Flow | None], name: str) -> tuple[list[Any], list[Table]]:
    look, drawn_from = settings().flow, next(flow for flow in row if flow is not None)
    count = len(drawn_from.lines.points)
    lines = np.full((len(row), count, look.stations, 2), np.nan)
    more = np.zeros((len(row), count + 2))
    none: Array = np.empty((count, 0, 2))
    drawn, heads = [none] * len(row), [none] * len(row)
    for frame, flow in enumerate(row):
        if flow is None:
            continue
        points = flow.lines.points
        at = np.linspace(0, points.shape[1] - 1, look.stations)
        before = np.minimum(at.astype(int), points.shape[1] - 2)
        rest = (at - before)[:, None]
        lines[frame] = points[:, before] + rest * (points[:, before + 1] - points[:, before])
        more[frame] = [*flow.lines.length_mm, flow.strength, float(flow.breathed)]
        least = [dimensions().flow.least_mm / step for step in flow.lines.step_mm]
        drawn[frame] = _stretches(flow.lines.shown, least)
        fit = flow.room_for_heads() & flow.clear_of_folds(points)
        heads[frame] = _stretches(fit, [0.0] * count)
    flat = lines.reshape(-1, look.stations, 2)
    kept = kept_points(flat[~np.isnan(flat[:, 0, 0])], look.within_mm)
    stretches = [max(one.shape[1] for one in some) for some in (drawn, heads)]
    points = lasting(lines[:, :, kept].reshape(len(row), -1))
    tables = [Table(name, points, look.step_mm, 2), Table(f"{name}_more", more, 0.01)]
    for part, some, most in zip(("drawn", "heads"), (drawn, heads), stretches, strict=True):
        shares = [np.pad(one, ((0, 0), (0, most - one.shape[1]), (0, 0)), constant_values=np.nan) for one in some]
        tables.append(Table(f"{name}_{part}", np.stack(shares).reshape(len(row), -1), look.share_step))
    return [count, look.stations, *stretches, kept.tolist()], tables


def _stretches(on: Bools, least: Sequence[float]) -> Array:
    """Runs (m, k, 2) of points (m, n) that are on, as shares of the line, longer than so many points; nan where a line
    has fewer runs than another."""
    last = on.shape[1] - 1
    runs = []
    for line, shortest in zip(on, least, strict=True):
        turns = np.flatnonzero(np.diff(np.concatenate([[False], line, [False]]).astype(int)))
        both = zip(turns[::2], turns[1::2] - 1, strict=True)
        runs.append([(first / last, end / last) for first, end in both if end - first >= shortest])
    found = np.full((len(on), max(map(len, runs)), 2), np.nan)
    for number, some in enumerate(runs):
        found[number, : len(some)] = np.array(some).reshape(-1, 2)
    return found


def _dots(held: Sequence[HeldAir | None], head: Head, prefix: str) -> list[Table]:
    """The strewn places that are ever dotted, and which of them are at each frame (frames, places)."""
    dotted = [[] if air is None else [tuple(point) for point in dots_mm(air)] for air in held]
    places = [place for place in map(tuple, scatter(head)[0]) if any(place in some for some in dotted)]
    on = np.array([[float(place in some) for place in places] or [0.0] for some in dotted])
    at = np.array(places or [(0.0, 0.0)]).reshape(1, -1)
    return [Table(prefix + "places", at, settings().outlines.wall_step_mm), Table(prefix + "dots", on, 1.0)]


def _held(moments: Sequence[Moment], held: Sequence[HeldAir | None], prefix: str) -> list[Table]:
    """Where a tint of held air lies under the organs, which are drawn over what of it reaches into them.

    "tint" is the share of the full pressure; "held" the walls of the air (frames, points) along the gridlines, moved
    into the tissue on both sides; the corner behind the soft palate is "corner".
    """
    look, lines = settings().held, gridlines(moments[0].section.head)
    level = np.abs(lines.along[:, 1]) < 0.01
    walls = np.full((len(moments), 2, len(level)), np.nan)
    corner = np.full((len(moments), 8), np.nan)
    for frame, (now, air) in enumerate(zip(moments, held, strict=True)):
        if air is None:
            continue
        inner, outer, room = now.channel.inner, now.channel.outer, now.channel.width_mm
        behind = room > look.least_mm
        if now.instant.glottal_catch:
            behind &= inner[:, 1] < air.held_at_mm[1]
        elif now.seam is not None:
            behind &= np.arange(len(room)) <= now.seam
        into = np.where(level, look.into_throat_mm, look.into_tissue_mm)
        at = ((inner - lines.start) * lines.along).sum(axis=1), ((outer - lines.start) * lines.along).sum(axis=1)
        way = np.sign(at[1] - at[0])
        walls[frame] = np.where(behind, [at[0] - way * into, at[1] + way * look.into_tissue_mm], np.nan)
        corner[frame] = _corner(now, level & behind)
    pressure = np.array([[0.0 if air is None else air.pressure] for air in held])
    return [
        Table(prefix + "tint", pressure, 0.002),
        Table(prefix + "held", walls.reshape(len(moments), -1), look.step_mm, 1),
        Table(prefix + "corner", corner, look.step_mm),
    ]


def _corner(now: Moment, throat: Bools) -> Array:
    """Four corners (8,) of the air under the soft palate, where gridlines turn from the throat into the mouth."""
    look = settings().held
    rows, velum, wall = np.flatnonzero(throat), now.section["velum"], now.section["rear_wall"]
    tip = velum[np.argmin(velum[:, 1])]
    if not len(rows) or tip[1] <= now.channel.outer[rows[-1], 1]:
        return np.full(8, np.nan)
    inner, outer, y = now.channel.inner[rows[-1]], now.channel.outer[rows[-1]], tip[1] + look.corner_mm
    rear = float(np.interp(y, wall[::-1, 1], wall[::-1, 0])) + look.beyond_mm
    # clockwise, as the ring is
    return np.array([tip[0], y, rear, y, outer[0] + look.beyond_mm, outer[1], *inner])


def drawn_by() -> dict[str, Any]:
    """What the page's player lays flows, dots, tint and two shapes by: rows of the table of marks, and their order."""
    look, style = dimensions(), load("light")
    rows = {name: getattr(look, name).values() for name in ("flow", "crowd", "pressure", "overlay")}
    head_line = style.line("arrowhead") * look.flow.arrow_line_share
    rows["flow"] |= {"line_px": style.line("air"), "head_line_px": head_line, "unseen": UNSEEN}
    layers = ["leaving", *(mark.name for mark in DRAWN_MARKS)]
    compared = [mark.name for mark in DRAWN_MARKS if mark.compared]
    return rows | {"drift_hz": look.voice.drift_hz, "layers": layers, "compared": compared}


def grid_tables(head: Head) -> list[Table]:
    """Gridlines across the passage: where they start, and their directions."""
    across, look = gridlines(head), settings().outlines
    return [
        Table("grid_start", across.start.reshape(1, -1), look.still_step_mm),
        Table("grid_along", across.along.reshape(1, -1), look.grid_step),
    ]
