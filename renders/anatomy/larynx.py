"""The larynx: lines of what bends in it, and its rigid pieces at rest: folds, rings, cartilages, hyoid bone."""

from __future__ import annotations

import numpy as np

from articulators import outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.posture import posture_of
from articulators.section import Section
from renders.anatomy.bone import bone
from renders.anatomy.pen import PlatePen
from renders.paper.picture import Fill, Op, Path, Stroke
from renders.paper.strokes import Edge, anticlockwise, calmed


def folds_height_mm(section: Section) -> float:
    """Height of the vocal folds: on the landmark line, raised or lowered with the larynx."""
    return section.head.larynx.vocal_fold_height + float(section.posture["larynx_mm"])


def fold_ends_mm(section: Section) -> tuple[float, float]:
    """The x of the front and of the rear end of the folds in the side view."""
    return _walls_at(section["larynx_front"], section["larynx_rear"], folds_height_mm(section))


def larynx_lines(sections: Section) -> dict[str, Array]:
    """The side wall of the larynx behind the midline, the leaf above it, and the foot of the gullet.

    larynx_side   (m, 18, 2) its upper edge of 15 points, from the side of the epiglottis, sagging, to the top of the
                  arytenoid; then the walls above the folds
    leaf          (m, n, 2) the epiglottis with calm edges
    """
    rear, leaf = sections["larynx_rear"], sections["epiglottis"]
    moment = np.arange(len(leaf))
    lowest, tip = leaf[moment, np.argmin(leaf[..., 1], axis=1)], leaf[moment, np.argmax(leaf[..., 1], axis=1)]
    apex = rear[moment, np.argmax(rear[..., 1], axis=1)]
    start = tip + 0.34 * (lowest - tip) + np.array([0.6, 0.0])
    edge = start[:, None] + _EDGE_AT * (apex - start)[:, None] + _EDGE_SAGS
    height = sections.head.larynx.vocal_fold_height + 5.0
    walls = np.array([[x, height] for x in _walls_at(*_walls(sections.head), height)[::-1]])
    above = walls + sections.posture["larynx_mm"][:, None, None] * [0.0, 1.0]
    calm = calmed(np.roll(np.stack([anticlockwise(one) for one in leaf]), -(leaf.shape[1] // 4 + 1), axis=1), 1.2)
    return {
        "larynx_side": np.concatenate([edge, above, lowest[:, None]], axis=1),
        "leaf": calm,
        "gullet_foot": sections.head.larynx.foot,
        "neck_foot": sections.head.profile.neck_foot,
    }


_EDGE_AT = np.linspace(0, 1, 15)[:, None]
_EDGE_SAGS = np.array([-2.6, -1.6]) * np.sin(np.pi * _EDGE_AT)


def _walls_at(front: Array, rear: Array, y: float) -> tuple[float, float]:
    """The x of the walls before and behind the air of the larynx at a height."""
    return float(front[np.argmin(np.abs(front[:, 1] - y)), 0]), float(rear[np.argmin(np.abs(rear[:, 1] - y)), 0])


def _walls(head: Head) -> tuple[Array, Array]:
    return outlines.at_rest(head, "larynx_front"), outlines.at_rest(head, "larynx_rear")


def lining(pen: PlatePen, head: Head) -> list[Op]:
    """The lining of the rear wall of the larynx at rest."""
    wall = Edge(outlines.at_rest(head, "larynx_rear")[:28])
    return [pen.area(wall.band(-1.0 * wall.ends(4.0)), "lining")]


def gullet_muscle(pen: PlatePen, head: Head) -> list[Op]:
    """The muscle before the gullet, and the line along it."""
    gullet = outlines.fixed(head, "gullet")
    front = Edge((gullet - np.array([1.6, 0.0]))[::-1])
    return [
        pen.area(front.band(1.6 * front.ends(8.0, 0.2)), "muscle", 0.8),
        pen.line(gullet[3:] - [0.5, 0], "mover_line", "airway", 1.1, opacity=0.35),
    ]


def folds_and_rings(pen: PlatePen, head: Head) -> list[Op]:
    """Folds, the pocket between them, and rings of the windpipe at rest."""
    return [*_folds(pen, head), *_rings(pen, head)]


def _folds(pen: PlatePen, head: Head) -> list[Op]:
    """False folds, pocket and vocal folds of the larynx at rest."""
    sizes, height = head.larynx, head.larynx.vocal_fold_height
    x = np.linspace(0, 1, 9)
    bow = 0.5 * np.sin(np.pi * x)

    def fold(between: tuple[float, float], colour: str, opacity: float) -> Op:
        low, high = between
        (a, b), (c, d) = (_walls_at(*_walls(head), height + y) for y in (low, high))
        under = np.stack([a - 0.3 + x * (b - a + 0.6), height + low - bow], axis=-1)
        over = np.stack([c - 0.3 + x * (d - c + 0.6), height + high + 0.6 * bow], axis=-1)
        return pen.area(np.concatenate([under, over[::-1]]), colour, opacity)

    return [
        fold(sizes.vestibular_mm, "lining", 0.75),
        fold(sizes.ventricle_mm, "mover_line", 0.30),
        fold((-sizes.fold_mm[1], sizes.fold_mm[0]), "lining", 0.75),
    ]


def _rings(pen: PlatePen, head: Head) -> list[Op]:
    """Rings of the windpipe of the larynx at rest, cut through in front."""
    sizes, (front, rear) = head.larynx, _walls(head)
    angle = np.linspace(0, 2 * np.pi, 18, endpoint=False)
    half = np.array([sizes.ring_wide_mm, sizes.ring_high_mm]) / 2
    oval = half * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    ovals = []
    for k in range(6):
        y = sizes.ring_first_mm - k * sizes.ring_pitch_mm
        x = _walls_at(front, rear, max(y, front[-1, 1]))[0] - 0.9 - half[0]
        ovals.append(oval + (x, y))
    rings = Path.polygons(ovals)
    return [
        Fill(rings, "cart", 0.9),
        Stroke(rings, "rule", 0.7 * pen.width_mm("cartilage"), opacity=0.6),
    ]


def edges(pen: PlatePen, head: Head) -> list[Op]:
    """The lines in front of and behind the air of the larynx at rest."""
    front, rear = _walls(head)
    edge = Edge(front)
    ops: list[Op] = [pen.area(edge.band(-0.9 * edge.ends(6.0)), "lining")]
    for organ, line in (("larynx_front", front), ("larynx_rear", rear)):
        ops.append(pen.line(line, "ink2", "airway", 1.4, name=organ))
    return ops


def cartilages(pen: PlatePen, head: Head) -> list[Op]:
    """Thyroid, cricoid and arytenoid at rest, cut through."""
    ops: list[Op] = []
    for organ in ("thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid"):
        ring = outlines.at_rest(head, organ)
        ops += [pen.area(ring, "cart"), *pen.soft_ring(ring, (0.9,), "panel", 0.22)]
        ops.append(pen.outline(ring, "ink2", "cartilage", 0.75, 0.75, name=organ))
    return ops


def hyoid(pen: PlatePen, head: Head) -> list[Op]:
    """The hyoid bone about its own middle: a plate that leans forward, seen end on, in the muscle around it."""
    around = outlines.linear(head, posture_of())["hyoid"]
    angle = np.linspace(0, 2 * np.pi, 36, endpoint=False)
    turn = np.deg2rad(62.0)
    long, wide = 4.5 * np.cos(angle), 2.5 * np.sin(angle) * (1 - 0.18 * np.cos(angle))
    oval = np.stack([long * np.cos(turn) - wide * np.sin(turn), long * np.sin(turn) + wide * np.cos(turn)], -1)
    return [pen.area(around - around.mean(axis=0), "muscle"), *bone(pen, oval, name="hyoid", edge=1.0)]
