"""The side view of the organs as layers of a picture. Draws what a section holds and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import shapely

from articulators.curves import Array
from articulators.errors import BadInput, nearest
from articulators.head import Head
from articulators.section import Section
from renders.anatomy import fixed
from renders.anatomy.emphasis import Emphasis
from renders.anatomy.enlarged import drawn_head
from renders.anatomy.ink import ink
from renders.anatomy.lines import ink_lines
from renders.anatomy.moving import inked
from renders.anatomy.pen import PlatePen
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Layer, Op, Path
from renders.paper.view import View
from vocaltract.airway.passage import Airway

DRAWN_ORGANS = (
    "face", "nose", "palate", "teeth", "lips", "jaw", "tongue", "velum", "throat", "epiglottis", "hyoid", "larynx",
    "spine",
)  # fmt: skip
MARKS = ("air", "voice", "contact")
EVERY_ORGAN = frozenset(DRAWN_ORGANS)
EVEN = Emphasis(EVERY_ORGAN)
"""Every organ, none stronger than another."""
CARD_RADIUS_PX = 14.0


def parts_to_draw(show: Iterable[str] | None, hide: Iterable[str] = ()) -> frozenset[str]:
    """The organs and marks to draw; BadInput for a name that is none, with the nearest match.

    `show` None stands for all of them.
    """
    names = (*DRAWN_ORGANS, *MARKS)
    for word in (*(show or ()), *hide):
        if word not in names:
            raise BadInput(f"part {word!r} is unknown; allowed: {', '.join(names)}{nearest(word, names)}")
    wanted = frozenset(names if show is None else show) - frozenset(hide)
    if not wanted & EVERY_ORGAN:
        raise BadInput(f"no organ is left to draw; show at least one of {', '.join(DRAWN_ORGANS)}")
    return wanted


def card(view: View) -> Path:
    """The frame that a side view is cut out by."""
    return Path.rectangle(*view.box, CARD_RADIUS_PX)


def fixed_layer(head: Head, canvas: Canvas, shown: frozenset[str] = EVERY_ORGAN) -> Layer:
    """What never moves and lies behind all else: upper head, palate, throat wall, spine, and the air."""
    pen = PlatePen(canvas)
    ground = fixed.ground(pen, drawn_head(head), shown)
    return Layer("fixed parts", (pen.placed(ground, card(canvas.view)),), moves=False)


def moving_layer(section: Section, airway: Airway, pen: PlatePen, emphasis: Emphasis = EVEN) -> Layer:
    """Every organ of one moment, ready to lie on `fixed_layer`. `pen`: the same for every frame of a film."""
    tint = tinted(pen, section, airway, emphasis)
    return organs_layer(pen, section.head, organs_of(section, pen, emphasis)[0], tint)


class OrganOps(NamedTuple):
    """Ops of a moment: the air between the lips, over which held air is tinted, and the organs that lie on it."""

    front_air: Sequence[Op]
    tissue: Sequence[Op]


def organs_of(sections: Section, pen: PlatePen, emphasis: Emphasis = EVEN) -> list[OrganOps]:
    """The organs of a section, or of each of a batch of them, which costs little more; without a tint."""
    lines, rows = ink_lines(sections), ink()
    front_air = inked(pen, rows.front_air, lines, emphasis)
    return list(map(OrganOps, front_air, inked(pen, rows.organs, lines, emphasis)))


def tinted(pen: PlatePen, section: Section, airway: Airway, emphasis: Emphasis) -> list[Op]:
    """The tint of the air that is held, and the edges of fixed tissue over it; none where no air is."""
    if emphasis.tint <= 0:
        return []
    parts = [g for g in shapely.get_parts(inner_air(airway, section.head)) if g.geom_type == "Polygon"]
    rings: Sequence[Array] = [shapely.get_coordinates(r) for g in parts for r in (g.exterior, *g.interiors)]
    edges = pen.carried("surfaces", lambda: fixed.air_edges(pen, section.head, emphasis.shown))
    return [Fill(Path.polygons(rings), "airtint", emphasis.tint, name="pressure"), edges]


def organs_layer(pen: PlatePen, head: Head, organs: OrganOps, tint: Sequence[Op] = ()) -> Layer:
    """OrganOps of one moment, ready to lie on `fixed_layer`."""
    ops = [*organs.front_air, *tint, *organs.tissue]
    return Layer("organs", (pen.placed(ops, _clip(pen.canvas.view, head)),))


def inner_air(airway: Airway, head: Head) -> shapely.Geometry:
    """The part of the air that the throat belongs to."""
    throat = shapely.Point(head.air.throat)
    parts = [g for g in shapely.get_parts(airway.shapes) if g.geom_type == "Polygon"]
    return min(parts, key=lambda g: shapely.distance(g, throat))


def _clip(view: View, head: Head) -> Path:
    """The view's box; with round corners only where an organ that moves could reach into them."""
    x, y, w, h = view.box
    half_w, half_h = w / 2 / view.scale, h / 2 / view.scale
    left, right = view.centre_mm[0] - half_w, view.centre_mm[0] + half_w
    low, high = view.centre_mm[1] - half_h, view.centre_mm[1] + half_h
    (x0, y0), (x1, y1) = head.air.moves_within
    free = all(not (x0 < cx < x1 and y0 < cy < y1) for cx in (left, right) for cy in (low, high))
    return Path.rectangle(x, y, w, h) if free else card(view)
