"""What never moves in a side view: head, nose, palate and upper teeth, throat wall, spine, and the air before it."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely

from articulators import contact, outlines
from articulators.curves import Array, spline_matrix
from articulators.head import Head
from renders.anatomy.bone import bone, crown, tooth
from renders.anatomy.pen import PlatePen
from renders.anatomy.plate import plate
from renders.paper.picture import Op
from renders.paper.strokes import band, calmed, eased, ends, length, shifted


def _curve(points: Array, closed: bool) -> Array:
    return spline_matrix(points, 8, closed) @ points


def ground(pen: PlatePen, head: Head, shown: frozenset[str]) -> list[Op]:
    """Ops of the whole fixed part in mm, back to front."""
    ops: list[Op] = []
    if "face" in shown:
        ops += _head(pen, head)
    ops += [pen.area(_air(head), "airway", name="air spaces")]
    if "spine" in shown:
        ops += _spine(pen, head)
    if "throat" in shown:
        ops += _throat(pen, head)
    if "nose" in shown:
        ops += _nose(pen, head)
    if "palate" in shown:
        ops += _palate(pen, head)
    if "teeth" in shown:
        ops += tooth(pen, crown(head, "upper_incisor", "upper_gum"), "upper incisor")
    return ops


def _head(pen: PlatePen, head: Head) -> list[Op]:
    skin = outlines.fixed(head, "profile")
    ring = np.concatenate([skin, head.profile.behind_skin])
    ops: list[Op] = [pen.area(ring, "head", name="head")]
    if pen.style.hatched:
        air = shapely.union(shapely.Polygon(_air(head)).buffer(0), shapely.Polygon(contact.upper_block(head)).buffer(0))
        ops += pen.hatch(shapely.difference(shapely.Polygon(ring).buffer(0), air))
    weights = eased(length(skin), 0, 4) * (1 - eased(length(skin), length(skin)[-1] - 5.0, length(skin)[-1]))
    ops.append(pen.area(band(skin, plate().lips.skin_mm * weights), "skin"))
    return ops


@lru_cache(maxsize=8)
def _air(head: Head) -> Array:
    """Air of nose, mouth and throat with nothing in it (n, 2): what moves is drawn on top."""
    roof, wall, gullet = (outlines.fixed(head, k) for k in ("nose_roof", "rear_wall", "gullet"))
    floor = outlines.fixed(head, "nose_floor")
    # nothing is drawn on what would stand out before the skin of chin and neck
    return np.concatenate([roof, wall[1:], gullet[1:], head.air.empty_front, floor[3::-1]])


def _spine(pen: PlatePen, head: Head) -> list[Op]:
    ops: list[Op] = []
    for organ in ("skull_base", "atlas", "dens"):
        ops += bone(pen, outlines.fixed(head, organ), 0.8, edge=0.7)
    sinus = outlines.fixed(head, "sphenoid_sinus")
    ops += [pen.area(sinus, "head"), pen.area(sinus, "airway", 0.35)]
    ops += [pen.outline(sinus, "rule", "bone", 0.7, opacity=0.5)]
    bodies = outlines.vertebrae(head)
    for upper, lower in pairwise(bodies):
        foot, top = upper[upper[:, 1] < np.median(upper[:, 1])], lower[lower[:, 1] > np.median(lower[:, 1])]
        foot, top = foot[np.argsort(foot[:, 0])], top[np.argsort(-top[:, 0])]
        disc = np.concatenate([foot[1:-1], top[1:-1]])
        ops.append(pen.area(disc, "cart", 0.6))
    for body in bodies:
        ops += bone(pen, body, 0.8, edge=0.7)
    return ops


def _throat(pen: PlatePen, head: Head) -> list[Op]:
    depths = plate().throat
    wall, gullet = outlines.fixed(head, "rear_wall"), outlines.fixed(head, "gullet")
    # the wall runs on as the rear side of the gullet
    whole = calmed(np.concatenate([wall[8:-6], gullet[9:] + [0.4, 0.0]])[::2], 2.0)
    deep = band(whole, (depths.lining_mm + depths.constrictor_mm) * ends(whole, 16.0))
    ops: list[Op] = [pen.area(deep, "muscle", 0.8)]
    if pen.style.shading > 0:
        ops.append(pen.line(shifted(whole, depths.lining_mm + 0.55 * depths.constrictor_mm)[6:-6], "mover_line",
                            "fibre", 0.8, opacity=0.22))  # fmt: skip
    ops.append(pen.area(band(wall, depths.lining_mm * ends(wall, 6.0, 0.5)), "lining"))
    return ops


def _nose(pen: PlatePen, head: Head) -> list[Op]:
    roof, floor = outlines.fixed(head, "nose_roof"), outlines.fixed(head, "nose_floor")
    choana, shell = _curve(head.nose.choana, False), _curve(head.nose.bone, True)
    rooms = []
    for shift in (-6.0, -3.5, -1.0, 1.5, 4.0, 6.5):
        way_out = choana + [shift, 0.0]
        top = roof[roof[:, 0] < way_out[-1, 0]][::-1]
        rooms.append(np.concatenate([floor, way_out, top]))
    ops: list[Op] = [
        pen.area(shell, "bone", 0.8),
        pen.outline(shell, "rule", "bone", 0.7, opacity=0.5),
        pen.area(_curve(head.nose.cartilage, True), "cart", 0.55),
    ]
    # the way out at the back: a soft edge, for the wall goes on
    ops += [pen.area(room, "nasal", 0.28) for room in rooms]
    for organ in ("concha_low", "concha_middle", "concha_high"):
        ops += _turbinate(pen, outlines.fixed(head, organ))
    lining = 1.0
    wing = _curve(head.nose.wing, False)
    ops += [
        pen.area(band(roof, lining * ends(roof, 5.0)), "lining"),
        pen.pressed(wing, "ink2", "airway", ends(wing, 6.0, 0.25), 0.6),
    ]
    ops += _edges(pen, head, ("nose_roof",))
    return ops


def _turbinate(pen: PlatePen, ring: Array) -> list[Op]:
    """One turbinate: it hangs from the side wall, so its upper edge melts into it and its lower one is free."""
    drop = np.array([0.0, plate().nose.turbinate_shadow_mm])
    left, right = int(np.argmin(ring[:, 0])), int(np.argmax(ring[:, 0]))
    free = np.roll(ring, -right, axis=0)[: (left - right) % len(ring) + 1]
    upper = np.roll(ring, -left, axis=0)[: (right - left) % len(ring) + 1]
    if free[:, 1].mean() > upper[:, 1].mean():
        free, upper = upper, free
    ops: list[Op] = []
    if pen.style.shading > 0:
        ops += [pen.area(ring - share * drop, "mover_line", 0.07 * pen.style.shading) for share in (0.5, 1.0)]
        melts = [np.concatenate([upper, (upper + share * 2.2 * drop)[::-1]]) for share in (0.5, 1)]
        ops += [pen.area(ring_of, "lining", 0.25) for ring_of in melts]
    ops.append(pen.area(ring, "lining", 0.9))
    ops.append(pen.pressed(free, "ink2", "airway", ends(free, 7.0, 0.15), 0.55))
    return ops


def _palate(pen: PlatePen, head: Head) -> list[Op]:
    palate, gum = outlines.fixed(head, "palate"), outlines.fixed(head, "upper_gum")
    ops: list[Op] = [pen.area(contact.upper_block(head), "lining")]
    # in front of the bone lies the root of the lip
    lip_root = np.concatenate([head.lips.upper_root, outlines.fixed(head, "nose_floor")[24::-1]])
    ops.append(pen.area(lip_root, "head"))
    if pen.style.hatched:
        ops += pen.hatch(shapely.Polygon(lip_root).buffer(0))
    ops += [pen.area(gum, "gum"), *pen.soft_ring(gum, (0.6,), "lining", 0.35)]
    ops += bone(pen, outlines.fixed(head, "maxilla"), name="hard palate")
    under = palate[::-1]
    ops += pen.soft(under, (0.9, 1.8), "mover_line", 0.06, reach=8.0)
    ops += _edges(pen, head, ("nose_floor", "palate"))
    return ops


def _edges(pen: PlatePen, head: Head, organs: tuple[str, ...]) -> list[Op]:
    ops: list[Op] = []
    for organ in organs:
        line = outlines.fixed(head, organ)
        if organ == "palate":
            line = line[5:]  # the first stretch lies on the tooth
            ops.append(pen.pressed(line, "ink", "soft_palate", ends(line, 8.0, 0.5) * 0.75, name="palate"))
        else:
            line = line[3:] if organ == "nose_floor" else line
            ops.append(pen.line(line, "ink2", "airway", opacity=0.85, name=organ))
    return ops


def air_edges(pen: PlatePen, head: Head, shown: frozenset[str]) -> list[Op]:
    """The lines along which fixed tissue meets air: drawn last, over a tint of the air."""
    ops: list[Op] = []
    if "throat" in shown:
        wall = outlines.fixed(head, "rear_wall")
        ops.append(pen.line(wall, "ink2", "airway", 1.4, name="rear wall of the throat"))
    if "palate" in shown:
        ops += _edges(pen, head, ("palate",))
    return ops
