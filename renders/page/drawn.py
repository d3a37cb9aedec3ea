"""Marks and small views of a page, drawn by the same functions as in films, at every frame."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from articulators.head import Head
from renders.insets import folds, lips
from renders.marks.air import air_flows, leaving
from renders.marks.drawn_marks import DRAWN_MARKS, DrawnMark
from renders.marks.moment import Moment
from renders.page.display_film import display_film
from renders.page.display_list import Scale
from renders.page.outlines import Sampled
from renders.page.pack import Table
from renders.page.settings import settings
from renders.paper.canvas import Canvas
from renders.paper.picture import Op
from renders.paper.style import load
from renders.paper.view import View


@dataclass(frozen=True)
class Drawn:
    """What is drawn of a moment, how its px become mm, what these are rounded to, and every how many frames."""

    ops: Callable[[Moment], Iterable[Op]]
    scale: Scale
    step_mm: float
    every: int = 1


def views(head: Head) -> Mapping[str, Drawn]:
    """Marks on the side view, back to front, and the small views, by name."""
    look, style = settings().marks, load("light")
    side = Scale(look.within_mm, 1.0, look.px_per_mm, upwards=True)
    canvas = Canvas(View((0.0, 0.0, 0.0, 0.0), look.px_per_mm, (0.0, 0.0)), style)
    per_mm = look.inset_px_per_mm
    box = {name: (0.0, 0.0, wide * per_mm, high * per_mm) for name, (wide, high) in inset_sizes_mm(head).items()}
    within_mm = look.inset_within_mm
    small = {name: Scale(within_mm, 1 / per_mm, per_mm, (w / 2, h / 2)) for name, (_, _, w, h) in box.items()}

    def lips_ops(now: Moment) -> Iterable[Op]:
        return lips.lips_view(lips.lip_shape(now.section), box["lips"], style)

    def folds_ops(now: Moment) -> Iterable[Op]:
        state = now.instant
        return folds.folds_view(head.folds_above, state.folds_mm, state.voice, now.drift, box["folds"], style)

    def leaving_ops(now: Moment) -> Iterable[Op]:
        return [op for flow in air_flows(now) for op in leaving(flow, now, canvas)]

    return {
        "leaving": Drawn(leaving_ops, side, look.step_mm),
        **{mark.name: Drawn(partial(_mark_ops, mark, canvas), side, look.step_mm) for mark in DRAWN_MARKS},
        "lips": Drawn(lips_ops, small["lips"], look.inset_step_mm, look.inset_every),
        "folds": Drawn(folds_ops, small["folds"], look.inset_step_mm, look.inset_every),
    }


def inset_sizes_mm(head: Head) -> dict[str, tuple[float, float]]:
    """Width and height of the small views."""
    return {"lips": lips.front().size_mm, "folds": folds.view_mm(head.folds_above)}


def drawn_tables(item: Sampled, prefix: str) -> tuple[dict[str, Any], list[Table]]:
    """Rows by view as `display_film` gives them, and tables named by prefix and view."""
    rows: dict[str, Any] = {}
    tables: list[Table] = []
    for name, view in views(item.head).items():
        frames = [partial(_at_phase, view, now) for now in item.moments[:: view.every]]
        rows[name], made = display_film(f"{prefix}drawn_{name}", frames, view.scale, view.step_mm)
        rows[name]["every"] = view.every
        tables += made
    return rows, tables


def _mark_ops(mark: DrawnMark, canvas: Canvas, now: Moment) -> Iterable[Op]:
    return mark.layer(now, canvas).ops


def _at_phase(view: Drawn, now: Moment, phase: float) -> Iterable[Op]:
    return view.ops(replace(now, drift=phase))
