"""Where organs touch in a section: the lines along which closures are made."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from articulators import contact as tissue
from articulators.curves import Array, Bools
from articulators.section import Section
from renders.marks.dimensions import dimensions


def contact_line(section: Section, organ: str) -> Array | None:
    """Points (n, 2) in mm along which the organ touches what it shuts against; None where it does not."""
    if organ == "lips":
        lips = _touching(section["upper_lip"], [section.polygons("lower_lip")])
        # a lower lip that shuts against the teeth leaves the upper lip alone
        teeth = shapely.Polygon(section["upper_incisor"])
        return lips if lips is not None else _touching(section["lower_lip"], [teeth])
    line, roof = section["tongue"], [tissue.maxilla_mass(section.head), section.polygons("velum")]
    front = line[:, 0] < section.head.air.front_to_mm
    if organ == "coronal":
        found = _touching(line, roof, front)
        return found if found is not None else _touching(line, [section.polygons("upper_lip")], front)
    found = _touching(line, roof, ~front)
    if found is None:
        rear = [tissue.rear_mass(section.head)]
        leaf = _touching(section["epiglottis"], rear)
        found = leaf if leaf is not None else _touching(line, rear)
    return found


def _touching(line: Array, against: Sequence[shapely.Geometry], among: Bools | None = None) -> Array | None:
    """The longest run of a line (n, 2) that touches one of the shapes; None where it does not."""
    reach = dimensions().contact.seen_within_mm
    touching = np.zeros(len(line), dtype=bool)
    for shape in against:
        bounds = np.array(shape.bounds)
        within = (line > bounds[:2] - reach) & (line < bounds[2:] + reach)
        near = np.flatnonzero(within.all(axis=1) & ~touching & (True if among is None else among))
        touching[near] = shapely.dwithin(shape, shapely.points(line[near]), reach)
    at = np.flatnonzero(touching)
    if len(at) < 2:
        return None
    runs = np.split(at, np.flatnonzero(np.diff(at) > 3) + 1)
    best = max(runs, key=len)
    return line[best] if len(best) > 1 else None
