"""The airway of a section: the air between the organs, as polygons, and whether it is really closed.

Reads nothing but the outlines of a section: what is drawn is what is measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from articulators import contact
from articulators.contact import Shapes
from articulators.curves import Array, Bools
from articulators.head import Head
from articulators.section import Section
from vocaltract.airway.limits import airway_limits

TISSUES = (  # that move
    "tongue",
    "upper_lip",
    "lower_lip",
    "velum",
    "epiglottis",
    "lower_incisor",
    "lower_gum",
    "mandible",
    "hyoid",
)


@dataclass(frozen=True)
class Airway:
    """Air of one moment or of a batch.

    shapes   polygons of the air inside the lips, the nostrils and the throat, one (multi)polygon per moment
    mouth    True (...) where air can pass from the throat to the lips
    nose     True (...) where air can pass from the throat to the nostrils
    """

    shapes: Shapes
    mouth: np.ndarray
    nose: np.ndarray


def airway(section: Section) -> Airway:
    """The air between the organs of a section, cut in two where the passage is shut."""
    air = air_between(section)
    mouth, nose = passages(section, air)
    return Airway(air, mouth, nose)


def air_between(section: Section) -> Shapes:
    """Polygons (...) of the air between the organs, one (multi)polygon per moment; gaps that are shut hold none."""
    inside = shapely.difference(contact.polygons(hull(section)), _fixed_mass(section.head))
    air = shapely.difference(inside, _moving_mass(section))
    # hairlines of air vanish when its edge is drawn in, and do not come back when it is let out again
    return np.asarray(shapely.buffer(_narrowed(air), airway_limits().seam.width_mm / 2, quad_segs=2), dtype=object)[()]


def _narrowed(air: Shapes) -> Shapes:
    return np.asarray(shapely.buffer(air, -airway_limits().seam.width_mm / 2, quad_segs=2), dtype=object)


def passages(section: Section, air: Shapes) -> tuple[Bools, Bools]:
    """Whether the throat's part of the air (...) reaches the lips and the nostrils, each (...)."""
    throat = shapely.Point(section.head.air.throat)
    shape = section.posture.shape
    lips = np.reshape(_lip_gate(section), (-1, 2, 2))
    roof = section["nose_roof"][0]
    sill = section["nose_floor"][0]
    shapes = np.atleast_1d(np.asarray(air, dtype=object)).ravel()
    mouth = np.zeros(len(shapes), dtype=bool)
    nose = np.zeros(len(shapes), dtype=bool)
    for i, pieces in enumerate(shapes):
        parts = shapely.get_parts(pieces)
        inner = parts[int(np.argmin(shapely.distance(parts, throat)))]
        mouth[i] = _reaches(inner, lips[i, 0], lips[i, 1])
        nose[i] = _reaches(inner, roof, sill)
    return mouth.reshape(shape), nose.reshape(shape)


def _reaches(air: shapely.Geometry, a: Array, b: Array) -> bool:
    gate = shapely.LineString([a, b])
    return bool(
        shapely.length(shapely.intersection(shapely.buffer(gate, 0.05), air.boundary)) > 0
        and shapely.distance(gate, air) < 0.1
    )


def _lip_gate(section: Section) -> Array:
    """The two foremost points (..., 2, 2) of the lips: upper, lower; the tract ends between them."""
    ends = []
    for organ in ("upper_red", "lower_red"):
        line = section[organ]
        i = np.argmin(line[..., 0], axis=-1)
        ends.append(np.take_along_axis(line, i[..., None, None], -2)[..., 0, :])
    return np.stack(ends, axis=-2)


@lru_cache(maxsize=8)
def _fixed_mass(head: Head) -> shapely.Geometry:
    return contact.prepared(shapely.union(contact.maxilla_mass(head), contact.rear_mass(head)))


def _moving_mass(section: Section) -> Shapes:
    organs = [section.polygons(organ) for organ in TISSUES] + [_lower_mass(section), _larynx_mass(section)]
    moving = np.empty((len(organs), *section.posture.shape), dtype=object)
    for i, shapes in enumerate(organs):
        moving[i] = shapes
    return np.asarray(shapely.union_all(moving, axis=0), dtype=object)


def walls(section: Section) -> Iterator[Array]:
    """Closed outlines (n, 2) of the moving tissue around the airway of one section, overlapping where tissue hangs
    together; with `contact.maxilla_mass` and `contact.rear_mass` all that is not air inside `hull`."""
    for organ in ("tongue", "velum", "upper_lip", "lower_lip", "epiglottis", "lower_gum", "lower_incisor"):
        yield section[organ]
    yield _lower_ring(section)
    yield _larynx_ring(section)


def _lower_mass(section: Section) -> Shapes:
    return contact.polygons(_lower_ring(section))


def _lower_ring(section: Section) -> Array:
    """Chin, floor of the mouth and front of the neck, below the tongue."""
    floor, front = section["mouth_floor"], section["larynx_front"]
    lip, chin, bone = (
        section["lower_lip"],
        section["chin_neck"],
        section["hyoid"].mean(axis=-2, keepdims=True),
    )
    # by way of the middle of the tongue, so that a raised floor of the mouth leaves no air beneath it
    inside = section["tongue"].mean(axis=-2, keepdims=True)
    bottom = np.broadcast_to(section.head.tissue.neck_foot, (*section.posture.shape, 1, 2))
    ring = [
        lip[..., -1:, :],
        chin,
        bottom,
        front[..., ::-1, :],
        bone,
        inside,
        floor[..., ::-1, :],
        lip[..., :1, :],
    ]
    return np.concatenate(ring, axis=-2)


def _larynx_mass(section: Section) -> Shapes:
    return contact.polygons(_larynx_ring(section))


def _larynx_ring(section: Section) -> Array:
    rear = section["larynx_rear"]
    behind = section.head.tissue.behind_larynx
    back = np.broadcast_to(behind, (*section.posture.shape, *behind.shape))
    return np.concatenate([rear, back], axis=-2)


def hull(section: Section) -> Array:
    """A ring (..., n, 2) that holds the whole airway and runs inside tissue but for lips, nostril and windpipe."""
    gate, tissue = _lip_gate(section), section.head.tissue
    front = [tissue.under_sill, section["nose_floor"][0], section["nose_roof"][0]]
    still = np.concatenate([front, tissue.around_air])

    inner_upper = (
        section["upper_lip"].mean(axis=-2, keepdims=True) * 0.5
        + section["upper_red"].mean(axis=-2, keepdims=True) * 0.5
    )
    inner_lower = (
        section["lower_lip"].mean(axis=-2, keepdims=True) * 0.5
        + section["lower_red"].mean(axis=-2, keepdims=True) * 0.5
    )
    ring = [
        gate[..., :1, :],
        inner_upper,
        np.broadcast_to(still, (*section.posture.shape, *still.shape)),
        section["hyoid"].mean(axis=-2, keepdims=True),
        section["mandible"].mean(axis=-2, keepdims=True),
        section["lower_lip"][..., -1:, :] * 0.5 + section["lower_lip"][..., :1, :] * 0.5,
        inner_lower,
        gate[..., 1:, :],
    ]
    return np.concatenate(ring, axis=-2)
