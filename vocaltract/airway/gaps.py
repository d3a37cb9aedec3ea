"""How far apart the organs are, measured on the outlines of a section: lips, front and back of the tongue, port.

A gap is 0 where tissue touches. These are the numbers that closures, air and marks are made from.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from articulators import contact
from articulators.curves import Array, Bools
from articulators.head import Head
from articulators.lips import UNTUCKED_ALLOWANCE_MM
from articulators.outlines import fixed
from articulators.section import Section
from vocaltract.airway.limits import sealed, sides_open

FACES_TEETH = 0.9  # a lip drawn in by this share faces the teeth
NEAR_MM = 12.0  # gaps of speech seldom are wider


@dataclass(frozen=True)
class Gaps:
    """Least distances in mm, each (...).

    lips      lower to upper lip            teeth     lower lip to upper incisor
    coronal   tip or blade to teeth, ridge (or upper lip, where the tip is put out)
    dorsal    rest of the tongue to hard or soft palate
    port      soft palate to throat wall    throat    tongue root to throat wall
    leaf      epiglottis to throat wall

    `teeth` counts as far as the lip is drawn in: a lip that only slides past the teeth narrows nothing.
    `sides` (0..1) is how far the sides of the tongue are open: once air passes there a midline contact shuts nothing.
    """

    lips: Array
    teeth: Array
    coronal: Array
    dorsal: Array
    port: Array
    throat: Array
    sides: Array
    leaf: Array

    def shut(self, organ: str) -> Bools:
        """Where (...) mouth or throat is closed by "lips", "coronal" or "dorsal".

        Lips shut against each other or, the lower one, against the upper teeth; what lies behind the front of the
        tongue also against the throat wall, with root or epiglottis.
        """
        if organ == "lips":
            return np.asarray(np.minimum(self.lips, self.teeth) <= 0)
        gap = self.coronal if organ == "coronal" else np.minimum.reduce([self.dorsal, self.throat, self.leaf])
        return np.asarray(gap <= 0) & ~sides_open(self.sides)


@lru_cache(maxsize=8)
def roofs(head: Head) -> tuple[shapely.Geometry, shapely.Geometry]:
    """What tip and blade can meet above them, and what front and back of the tongue can."""
    mass = contact.maxilla_mass(head)
    left, low, right, high = mass.bounds
    return (
        shapely.intersection(mass, shapely.box(left, low, head.air.front_to_mm, high)),
        shapely.intersection(mass, shapely.box(head.air.front_to_mm, low, right, high)),
    )


@lru_cache(maxsize=8)
def _throat_wall(head: Head) -> tuple[shapely.Geometry, shapely.Geometry]:
    """What root and epiglottis can come near, and what the soft palate can: few points, so that distances are quick."""
    mass, air = contact.rear_mass(head), head.air
    _, low, right, _ = mass.bounds
    root, palate = (shapely.box(x, low, right, y) for x, y in (air.root_meets, air.palate_meets))
    return shapely.intersection(mass, root), shapely.intersection(mass, palate)


@lru_cache(maxsize=8)
def _upper_incisor(head: Head) -> shapely.Geometry:
    return contact.prepared(shapely.Polygon(fixed(head, "upper_incisor")))


def least(a: object, b: object) -> Array:
    """Least distance (...) of shapes in mm, 0 where they touch; soonest where `a` is prepared."""
    distance = np.asarray(shapely.distance(a, b))
    return np.where(sealed(distance), 0.0, distance)


def least_near(a: object, b: object) -> Array:
    """As `least`, quicker where the shapes `a` (...) mostly come near `b`, which takes less room than they do.

    Only what lies within NEAR_MM of the bounds of all `b` is measured at first: a least distance up to that is the
    least of all, since a point so near to `b` cannot lie outside. Only where nothing comes so near is all measured.
    """
    left, low, right, high = shapely.total_bounds(b)
    near = shapely.clip_by_rect(a, left - NEAR_MM, low - NEAR_MM, right + NEAR_MM, high + NEAR_MM)
    distance = np.asarray(shapely.distance(near, b))
    far = ~(distance <= NEAR_MM)  # where nothing is left, the distance is nan
    if far.any():
        shapes, others = (np.broadcast_to(np.asarray(g, dtype=object), far.shape) for g in (a, b))
        distance = distance.copy()
        distance[far] = shapely.distance(shapes[far], others[far])
    return np.where(sealed(distance), 0.0, distance)


def gaps(section: Section) -> Gaps:
    """Gaps of every moment of a section."""
    front, back = roofs(section.head)
    wall, behind_palate = _throat_wall(section.head)
    tongue, velum = section.polygons("tongue"), section.polygons("velum")
    lower = section.polygons("lower_lip")

    return Gaps(
        lips=least_near(section.polygons("upper_lip"), lower),
        teeth=least(_upper_incisor(section.head), lower)
        + UNTUCKED_ALLOWANCE_MM * np.maximum(FACES_TEETH - section.posture["tucked"], 0),
        coronal=np.minimum(least_near(tongue, front), tip_to_lip_mm(section)),
        dorsal=np.minimum(least_near(tongue, back), least_near(tongue, velum)),
        port=least_near(velum, behind_palate),
        throat=least(tongue, wall),
        sides=section.posture["sides_open"],
        leaf=least(section.polygons("epiglottis"), wall),
    )


def tip_to_lip_mm(section: Section) -> Array:
    """From a tongue that is put out to the upper lip (...); inf where the tip stays behind the teeth."""
    out = np.asarray(section.tip_mm()[..., 0] < section.head.air.put_out_mm)
    if not out.any():
        return np.full(out.shape, np.inf)
    return np.where(out, least(section.polygons("tongue"), section.polygons("upper_lip")), np.inf)
