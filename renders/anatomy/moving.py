"""The organs that move, back to front, from one section; lower face and profile."""

from __future__ import annotations

import numpy as np

from articulators import outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.section import Section
from renders.anatomy import bone, larynx, lips, mouth
from renders.anatomy.emphasis import Emphasis
from renders.anatomy.pen import PlatePen
from renders.paper.picture import Dots, Op
from renders.paper.strokes import Edge, eased


def moving_organs(pen: PlatePen, section: Section, emphasis: Emphasis) -> list[Op]:
    """Ops of everything that moves, back to front."""
    ops: list[Op] = []
    shows = emphasis.shows
    tongue = mouth.tongue_shape(section)
    if shows("face"):
        ops += _lower_face(pen, section)
    if shows("throat", "larynx"):
        ops += larynx.rear_wall(pen, section)
    if shows("larynx"):
        ops += larynx.larynx_inside(pen, section)
    if shows("tongue"):
        ops += [*mouth.floor_muscle(pen, section, tongue), *mouth.floor_lining(pen, section, tongue)]
    if shows("lips"):
        ops += lips.flesh(pen, section)
    if shows("tongue"):
        ops += mouth.tongue(pen, section, tongue, emphasis)
    if shows("epiglottis"):
        ops += larynx.epiglottis(pen, section)
    if shows("jaw", "teeth"):
        ops += bone.lower_jaw(pen, section, emphasis)
    if shows("velum"):
        ops += mouth.velum(pen, section, emphasis)
    if shows("hyoid"):
        ops += larynx.hyoid(pen, section)
    if shows("larynx"):
        ops += larynx.cartilages(pen, section)
    if shows("throat", "larynx"):
        ops += larynx.edges(pen, section)
    if shows("lips"):
        ops += lips.margins(pen, section, emphasis)
    elif shows("face"):
        ops += [_skin_line(pen, section["chin_neck"])]
    if shows("face"):
        ops.append(pen.carried("nose line", lambda: _nose_line(pen, section.head)))
    return ops


def _lower_face(pen: PlatePen, section: Section) -> list[Op]:
    lip, chin, front = section["lower_lip"], section["chin_neck"], section["larynx_front"]
    inside, middle = section["tongue"].mean(axis=0), section["hyoid"].mean(axis=0)
    ring = np.concatenate(
        [lip[-1:], chin, section.head.profile.neck_foot, front[::-1], [middle, inside],
         section["mouth_floor"][::-1], lip[:1]]
    )  # fmt: skip
    ops: list[Op] = [pen.area(ring, "head", name="lower face")]
    if pen.style.hatched:
        import shapely

        flesh = shapely.Polygon(np.concatenate([ring, lip])).buffer(0)
        for organ in ("tongue", "mandible", "lower_gum", "thyroid", "cricoid_arch"):
            flesh = shapely.difference(flesh, section.polygons(organ))
        ops += pen.hatch(flesh)
    return ops


def _skin_line(pen: PlatePen, line: Array) -> Op:
    return pen.pressed(line, "ink", "profile", 1.0, name="chin and neck")


def _nose_line(pen: PlatePen, head: Head) -> list[Op]:
    """The nose from the bridge round its tip into the nostril, and the nostril's sill: one pressure, no step."""
    profile, roof = outlines.fixed(head, "profile"), outlines.fixed(head, "nose_roof")
    line, sill = Edge(np.concatenate([profile, roof[1:7]])), Edge(outlines.fixed(head, "nose_floor")[:7])
    fade = 1.0 - 0.75 * eased(line.run, line.run[len(profile) - 1] - 1.5, line.run[-1])
    return [
        pen.pressed(line, "ink", "profile", fade, name="profile"),
        pen.pressed(sill, "ink", "profile", 0.95 - 0.7 * eased(sill.run, 0.0, sill.run[-1])),
        # where the line of the lip meets it
        Dots(sill.line[:1].astype(np.float64), pen.width_mm("profile") / 2, "ink"),
    ]
