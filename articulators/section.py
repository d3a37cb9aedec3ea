"""The section of a moment: every outline after contact, as one frozen value.

Drawing, airway and page all read this value, so that what is drawn is what is measured.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

import numpy as np
import shapely
from numpy.typing import NDArray

from articulators import contact, jaw, outlines
from articulators.contact import Shapes
from articulators.curves import Array
from articulators.head import Head
from articulators.lips import vermilion
from articulators.posture import Posture

TONGUE_POINTS = 400
LIP_POINTS = 150
VELUM_POINTS = 150
RED_POINTS = 90
EPIGLOTTIS_POINTS = 80
TIP_RISE = 0.15  # how much 1 mm up counts beside 1 mm forward in what is called the tip


@dataclass(frozen=True)
class Section:
    """Outlines of one moment or of a batch of moments.

    head      whose section it is
    posture   the posture it was made from, batch shape (...)
    moving    organ -> outline (..., n, 2) in mm, read-only; the number of points of an organ never changes.
              Closed by joining the last point to the first; for tongue, upper_lip, lower_lip and velum that
              closing edge is the organ's root, not a surface.
    """

    head: Head
    posture: Posture
    moving: Mapping[str, Array]

    def __getitem__(self, organ: str) -> Array:
        """Outline of an organ: (..., n, 2) if it moves, (n, 2) if it is fixed."""
        found = self.moving.get(organ)
        return outlines.fixed(self.head, organ) if found is None else found

    def at(self, index: int) -> Section:
        """One moment of a batch."""
        return Section(
            self.head,
            self.posture.at(index),
            MappingProxyType({k: v[index] for k, v in self.moving.items()}),
        )

    def polygons(self, organ: str) -> Shapes:
        """The organ as valid polygons, one per moment."""
        return contact.polygons(self[organ])

    def tip_index(self) -> NDArray[np.intp]:
        """Which sample (...) of the tongue's outline is its tip: the foremost, of two as far forward the higher one.

        The last quarter of the outline is the underside behind the frenulum, which may lie before a tip drawn back.
        """
        tongue = self["tongue"]
        above = tongue[..., : 3 * tongue.shape[-2] // 4, :]
        return np.asarray(np.argmin(above[..., 0] - TIP_RISE * above[..., 1], axis=-1))

    def tip_mm(self) -> Array:
        """The tip of the tongue (..., 2) in mm."""
        at = self.tip_index()[..., None, None]
        return np.take_along_axis(self["tongue"], at, axis=-2)[..., 0, :]

    def tongue_area_mm2(self) -> Array:
        """Area (...) of the tongue's midsagittal section."""
        return np.asarray(shapely.area(self.polygons("tongue")))


def section(head: Head, posture: Posture, red: bool = True) -> Section:
    """Outlines after contact for a posture or a batch of postures of any shape.

    A batch gives the same numbers as its postures one by one. red: with the red margins of the lips, which drawings
    and areas need and gaps do not.
    """
    shape = posture.shape
    flat = Posture(posture.values.reshape(-1, posture.values.shape[-1]))
    lines = dict(outlines.linear(head, flat))
    lines.update(_pressed(head, flat["jaw_mm"], lines, red))
    del lines["tongue_surface"]
    frozen: dict[str, Array] = {}
    for name, line in lines.items():
        line = np.array(line).reshape(*shape, *line.shape[-2:])
        line.setflags(write=False)
        frozen[name] = line
    return Section(head, posture, MappingProxyType(frozen))


def _pressed(head: Head, opening_mm: Array, lines: Mapping[str, Array], red: bool) -> dict[str, Array]:
    maxilla, rear = contact.maxilla_mass(head), contact.rear_mass(head)
    teeth_below, jaw_bone = (
        contact.rigid(mass, jaw.carry(head, shapely.get_coordinates(mass), opening_mm)) for mass in _jaw_masses(head)
    )

    upper = contact.less(contact.polygons(lines["upper_lip"]), _upper_teeth(head))
    lower = contact.less(contact.less(contact.polygons(lines["lower_lip"]), teeth_below), maxilla)
    upper, lower = contact.split(contact.largest(upper), contact.largest(lower))

    velum = contact.largest(contact.less(contact.polygons(lines["velum"]), rear))
    body = contact.rounded(contact.polygons(lines["tongue"]), head.tongue.fill_mm, head.tongue.round_mm)
    hyoid = shapely.polygons(np.ascontiguousarray(lines["hyoid"]))
    for harder in (maxilla, rear, velum, jaw_bone, lower, upper, hyoid):
        body = contact.less(body, harder)
    body = contact.largest(body)
    leaf = contact.largest(contact.less(contact.less(contact.polygons(lines["epiglottis"]), rear), body))

    def traced(shapes: Shapes, organ: str, count: int, ends: Array | None = None) -> Array:
        raw = lines[organ]
        return contact.open_lines(shapes, raw[:, 0], raw[:, -1] if ends is None else ends, count)

    pressed = {
        "upper_lip": traced(upper, "upper_lip", LIP_POINTS),
        "lower_lip": traced(lower, "lower_lip", LIP_POINTS),
        "velum": traced(velum, "velum", VELUM_POINTS),
        "tongue": traced(body, "tongue", TONGUE_POINTS, _root_end(lines)),
        "epiglottis": traced(leaf, "epiglottis", EPIGLOTTIS_POINTS),
    }
    margins = zip(("upper_lip", "lower_lip"), vermilion(head), (upper, lower), strict=True)
    for organ, (first, last), shapes in margins if red else ():
        pressed[organ.replace("lip", "red")] = _red(lines[organ][:, first : last + 1], shapes, head.lips.red_mm)
    return pressed


@lru_cache(maxsize=8)
def _jaw_masses(head: Head) -> tuple[shapely.Geometry, shapely.Geometry]:
    """Lower incisor with its gum, and both with the bone of the jaw, at an opening of 0: they move as one piece."""
    incisor, gum, bone = (
        contact.polygons(outlines.at_rest(head, organ)) for organ in ("lower_incisor", "lower_gum", "mandible")
    )
    teeth = shapely.union(incisor, gum)
    return teeth, shapely.union(teeth, bone)


@lru_cache(maxsize=8)
def _upper_teeth(head: Head) -> shapely.Geometry:
    """Upper incisor and its gum."""
    both = (shapely.Polygon(outlines.fixed(head, organ)) for organ in ("upper_incisor", "upper_gum"))
    return contact.prepared(shapely.union(*both))


def _root_end(lines: Mapping[str, Array]) -> Array:
    """Where the tongue's root meets the hyoid (..., 2): on its side to the vallecula, or it would cut the bone."""
    centre, vallecula = lines["tongue"][..., -1, :], lines["tongue"][..., 0, :]
    return centre + 0.6 * (vallecula - centre)


def _red(margin: Array, lip: Shapes, thick_mm: float) -> Array:
    band = shapely.buffer(shapely.linestrings(margin), thick_mm, quad_segs=contact.QUARTER, cap_style="flat")
    red = contact.largest(shapely.intersection(band, lip))
    red = np.where(shapely.is_empty(red), band, red)  # a lip that is pressed away where its red would be
    return contact.open_lines(red, margin[:, 0], None, RED_POINTS)


def rest_tongue_area_mm2(head: Head) -> float:
    """Area of the tongue in the landmark rest line: what every posture is held to within 5 %."""
    from articulators.posture import posture_of

    neutral = posture_of(jaw_mm=head.tongue.rest_jaw_mm, aperture_mm=8.0)
    return float(section(head, neutral).tongue_area_mm2())
