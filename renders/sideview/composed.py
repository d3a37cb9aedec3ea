"""A moment composed: organs and marks as the layers of a side view, what a sound works with strong."""

from __future__ import annotations

from dataclasses import dataclass, replace

from articulators.section import Section
from renders.anatomy import layers as anatomy
from renders.anatomy.emphasis import Emphasis
from renders.anatomy.pen import PlatePen
from renders.marks.air import air_layer, tint_of
from renders.marks.drawn_marks import DRAWN_MARKS
from renders.marks.moment import Moment
from renders.paper.canvas import Canvas
from renders.paper.picture import Layer
from renders.sideview.acting import focus

WHOLE = anatomy.parts_to_draw(None)


@dataclass(frozen=True)
class Scope:
    """What of a moment is drawn: parts of `anatomy.ORGANS` and `anatomy.MARKS`.

    at_rest   organs that the sound leaves free, see `acting.resting`: drawn paler, and lines stronger where it is made;
              None draws all organs alike
    """

    parts: frozenset[str] = WHOLE
    at_rest: frozenset[str] | None = None


EVERYTHING = Scope()


def side_view(now: Moment, canvas: Canvas, scope: Scope = EVERYTHING) -> list[Layer]:
    """The whole side view of a moment: what never moves, and the layers that do."""
    fixed = anatomy.fixed_layer(now.section.head, canvas, scope.parts)
    return [fixed, *side_layers(now, canvas, scope)]


class Organs:
    """The organs drawn last, for films: the moments of a batch are drawn together, and equal ones share the drawing."""

    def __init__(self) -> None:
        self._batch: Section | None = None
        self._drawn: list[anatomy.OrganOps] = []
        self._made_for: tuple[int, float] | None = None
        self._layer = Layer("organs", ())
        self._pen: PlatePen | None = None

    def layer(self, now: Moment, canvas: Canvas, tint: float) -> Layer:
        """`anatomy.moving_layer` of a moment."""
        if self._pen is None or self._pen.canvas != canvas:
            self._pen, self._batch = PlatePen(canvas), None
        if self._batch is not now.batch:
            self._batch, self._drawn, self._made_for = now.batch, anatomy.organs_of(now.batch, self._pen), None
        if self._made_for != (now.number, tint):
            emphasis = replace(anatomy.EVEN, tint=tint)
            over = anatomy.tinted(self._pen, now.section, now.airway, emphasis)
            self._layer = anatomy.organs_layer(self._pen, now.section.head, self._drawn[now.number], over)
            self._made_for = now.number, tint
        return self._layer


def side_layers(now: Moment, canvas: Canvas, scope: Scope = EVERYTHING, organs: Organs | None = None) -> list[Layer]:
    """The moving layers of a side view; `anatomy.fixed_layer` goes beneath them.

    organs   the same for all frames of a film, which draw everything; None draws one picture
    """
    parts, tint = scope.parts, tint_of(now) if "air" in scope.parts else 0.0
    if organs is not None and scope == EVERYTHING:
        layers = [organs.layer(now, canvas, tint)]
    else:
        acts = None if scope.at_rest is None else focus(now, scope.at_rest)
        emphasis = Emphasis(parts, scope.at_rest or frozenset(), tint, acts)
        layers = [anatomy.moving_layer(now.section, now.airway, PlatePen(canvas), emphasis)]
    if "air" in parts:
        layers.append(air_layer(now, canvas, tinted=True))
    return [*layers, *(mark.layer(now, canvas) for mark in DRAWN_MARKS if mark.shown(parts))]
