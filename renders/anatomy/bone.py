"""What is hard, cut through: bones with rind and spongy inside, front teeth with crown and root, the jaw."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely

from articulators import outlines
from articulators.curves import Array, spline_matrix
from articulators.head import Head
from renders.anatomy.pen import PlatePen
from renders.anatomy.plate import plate
from renders.paper.picture import Op
from renders.paper.strokes import anticlockwise, shifted


@lru_cache(maxsize=8)
def crown(head: Head, organ: str, gum: str) -> tuple[Array, Array]:
    """A front tooth's crown, and its root (n, 2) each: parted where the gum meets it, as in the rest of the head."""
    outline = outlines.fixed if organ in outlines.FIXED else outlines.at_rest
    tooth, margin = outline(head, organ), outline(head, gum)
    whole, flesh = shapely.Polygon(tooth).buffer(0), shapely.Polygon(margin).buffer(0)
    edge = shapely.get_coordinates(shapely.intersection(whole.exterior, flesh.exterior))
    tip = tooth[0]
    far = tooth[np.argmax(np.hypot(*(tooth - tip).T))]
    near = np.hypot(*(edge - tip).T)
    side = (far - tip)[0] * (edge - tip)[:, 1] - (far - tip)[1] * (edge - tip)[:, 0]
    # where the gum begins on either side of the tooth's long axis
    front, rear = (edge[np.argmin(np.where(half, near, np.inf))] for half in (side > 0, side <= 0))
    middle = (front + rear) / 2 + 0.22 * (tip - (front + rear) / 2)
    bow = spline_matrix(np.array([front, middle, rear]), 8) @ np.array([front, middle, rear])
    beyond = tip + 6.0 * ((front + rear) / 2 - tip)
    wide = 12.0 * (rear - front) / np.hypot(*(rear - front))
    ring = [bow[:1] - wide, bow, bow[-1:] + wide, [beyond + wide, beyond - wide]]
    below = shapely.Polygon(np.concatenate(ring)).buffer(0)
    parts = shapely.difference(whole, below), shapely.intersection(whole, below)
    biggest = [max(shapely.get_parts(p), key=lambda g: g.area) for p in parts]
    first, second = (shapely.get_coordinates(g.exterior)[:-1] for g in biggest)
    return first, second


def bone(pen: PlatePen, ring: Array, opacity: float = 1.0, name: str = "", edge: float = 0.8) -> list[Op]:
    """A bone cut through: a firm rind and a spongy inside."""
    ring = anticlockwise(ring)
    ops: list[Op] = [pen.area(ring, "bone", opacity)]
    if pen.style.shading > 0:
        rind = plate().bone.cortex_mm
        inner = shapely.buffer(shapely.Polygon(ring).buffer(0), -rind, quad_segs=3)
        cores = [shapely.get_coordinates(g.exterior)[:-1] for g in shapely.get_parts(inner) if g.area > 2]
        ops += [pen.area(core, "marrow", 0.75 * opacity) for core in cores]
    ops.append(pen.outline(ring, "rule", "bone", edge, opacity=0.75 * opacity, name=name))
    return ops


def tooth(pen: PlatePen, parts: tuple[Array, Array], name: str) -> list[Op]:
    """A tooth cut through: enamel over the gum, root in the bone."""
    top, root = parts
    ops: list[Op] = [pen.area(root, "root"), pen.outline(root, "rule", "bone", 0.8)]
    if pen.style.shading > 0:
        axis = np.stack([top.mean(axis=0), root.mean(axis=0), root[np.argmax(np.hypot(*(root - top.mean(axis=0)).T))]])
        start, end = axis[0] + 0.12 * (axis[1] - axis[0]), axis[1] + 0.72 * (axis[2] - axis[1])
        run = np.linspace(0, 1, 12)[:, None]
        canal = start + run * (end - start)
        width = np.sin(np.pi * np.clip(run[:, 0] * 0.86 + 0.10, 0, 1)) * 1.1
        ops.append(pen.area(np.concatenate([shifted(canal, width / 2), shifted(canal, -width / 2)[::-1]]), "gum", 0.6))
    ops += [pen.area(top, "tooth"), *pen.soft_ring(top, (0.0,), "rule", 0.10)]
    if pen.style.shading > 0:
        core = shapely.buffer(shapely.Polygon(top).buffer(0), -0.8, quad_segs=3)
        ops.append(pen.area(shapely.get_coordinates(core.exterior)[:-1], "tooth"))
    ops.append(pen.outline(top, "ink", "tooth", name=name))
    return ops


def lower_incisor(pen: PlatePen, head: Head) -> list[Op]:
    """The lower front tooth, the jaw closed."""
    return tooth(pen, crown(head, "lower_incisor", "lower_gum"), "lower incisor")


def lower_jaw(pen: PlatePen, head: Head) -> list[Op]:
    """Gum and bone of the jaw, closed."""
    gum, floor = outlines.at_rest(head, "lower_gum"), outlines.at_rest(head, "mouth_floor")
    ring, core = outlines.at_rest(head, "mandible"), lower_marrow(head)
    ops: list[Op] = [pen.area(gum, "gum"), *pen.soft_ring(gum, (0.6,), "lining", 0.35), pen.area(ring, "bone")]
    if pen.style.shading > 0:
        ops.append(pen.area(core, "marrow", 0.75))
    ops.append(pen.outline(ring, "rule", "bone", 0.9, 0.8, name="jaw"))
    ops.append(pen.pressed(floor, "mover_line", "airway", 1.3, 0.7))
    return ops


def lower_marrow(head: Head) -> Array:
    """The spongy inside (n, 2) of the jaw cut through at the chin, as it lies at rest."""
    ring = anticlockwise(outlines.at_rest(head, "mandible"))
    return shifted(ring, 1.5 * plate().bone.cortex_mm, closed=True)
