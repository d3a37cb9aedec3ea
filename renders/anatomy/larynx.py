"""The larynx that moves: folds and what lies around them, epiglottis, cartilages and hyoid bone, from one section."""

from __future__ import annotations

import numpy as np

from articulators import outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.section import Section
from renders.anatomy.bone import bone
from renders.anatomy.pen import PlatePen
from renders.paper.picture import Fill, Op, Path, Stroke
from renders.paper.strokes import Edge, anticlockwise, calmed, shifted


def folds_height_mm(section: Section) -> float:
    """Height of the vocal folds: on the landmark line, raised or lowered with the larynx."""
    return section.head.larynx.vocal_fold_height + float(section.posture["larynx_mm"])


def fold_ends_mm(section: Section) -> tuple[float, float]:
    """The x of the front and of the rear end of the folds in the side view."""
    return _walls_at(section["larynx_front"], section["larynx_rear"], folds_height_mm(section))


def lifted(section: Section) -> Array:
    """The matrix (2, 3) that carries what is drawn at rest to where the larynx stands."""
    return np.array([[1.0, 0.0, 0.0], [0.0, 1.0, float(section.posture["larynx_mm"])]])


def rear_wall(pen: PlatePen, section: Section) -> list[Op]:
    """Throat wall and larynx behind the air."""
    rear = section["larynx_rear"]
    gullet = outlines.fixed(section.head, "gullet")
    ring = np.concatenate([rear, section.head.larynx.foot, gullet[::-1] + [0.3, 0.0]])

    def lining() -> list[Op]:
        wall = Edge(outlines.at_rest(section.head, "larynx_rear")[:28])
        return [pen.area(wall.band(-1.0 * wall.ends(4.0)), "lining")]

    def muscle() -> list[Op]:
        front = Edge((gullet - np.array([1.6, 0.0]))[::-1])
        return [
            pen.area(front.band(1.6 * front.ends(8.0, 0.2)), "muscle", 0.8),
            pen.line(gullet[3:] - [0.5, 0], "mover_line", "airway", 1.1, opacity=0.35),
        ]

    return [
        pen.area(ring, "head"),
        pen.carried("lining of the larynx", lining, lifted(section)),
        pen.carried("muscle of the gullet", muscle),
    ]


def larynx_inside(pen: PlatePen, section: Section) -> list[Op]:
    """The side wall of the larynx behind the midline: folds, the pocket between them, the edge up to the epiglottis."""
    height = folds_height_mm(section)
    front, rear, leaf = section["larynx_front"], section["larynx_rear"], section["epiglottis"]
    lowest, apex = leaf[np.argmin(leaf[:, 1])], rear[np.argmax(rear[:, 1])]
    tip = leaf[int(np.argmax(leaf[:, 1]))]
    # from the side of the epiglottis, sagging, to the top of the arytenoid
    start = tip + 0.34 * (lowest - tip) + np.array([0.6, 0.0])
    edge = Edge(start + _EDGE_AT * (apex - start) + _EDGE_SAGS)
    (x_front, x_rear), y = _walls_at(front, rear, height + 5.0), height + 5.0
    wall = np.concatenate([edge.line, [[x_rear, y], [x_front, y], lowest]])

    def folds_and_rings() -> list[Op]:
        return [*_folds(pen, section.head), *_rings(pen, section.head)]

    return [
        pen.area(wall, "lining", 0.42),
        pen.pressed(edge, "ink2", "airway", edge.ends(5.0, 0.2), 0.45),
        pen.carried("folds and rings", folds_and_rings, lifted(section)),
    ]


_EDGE_AT = np.linspace(0, 1, 15)[:, None]
_EDGE_SAGS = np.array([-2.6, -1.6]) * np.sin(np.pi * _EDGE_AT)


def _walls_at(front: Array, rear: Array, y: float) -> tuple[float, float]:
    """The x of the walls before and behind the air of the larynx at a height."""
    return float(front[np.argmin(np.abs(front[:, 1] - y)), 0]), float(rear[np.argmin(np.abs(rear[:, 1] - y)), 0])


def _walls(head: Head) -> tuple[Array, Array]:
    return outlines.at_rest(head, "larynx_front"), outlines.at_rest(head, "larynx_rear")


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


def edges(pen: PlatePen, section: Section) -> list[Op]:
    """The lines in front of and behind the air of the larynx."""

    def walls() -> list[Op]:
        front, rear = _walls(section.head)
        edge = Edge(front)
        ops: list[Op] = [pen.area(edge.band(-0.9 * edge.ends(6.0)), "lining")]
        for organ, line in (("larynx_front", front), ("larynx_rear", rear)):
            ops.append(pen.line(line, "ink2", "airway", 1.4, name=organ))
        return ops

    return [pen.carried("edges of the larynx", walls, lifted(section))]


def cartilages(pen: PlatePen, section: Section) -> list[Op]:
    """Thyroid, cricoid and arytenoid, cut through."""

    def at_rest() -> list[Op]:
        ops: list[Op] = []
        for organ in ("thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid"):
            ring = outlines.at_rest(section.head, organ)
            ops += [pen.area(ring, "cart"), *pen.soft_ring(ring, (0.9,), "panel", 0.22)]
            ops.append(pen.outline(ring, "ink2", "cartilage", 0.75, 0.75, name=organ))
        return ops

    return [pen.carried("cartilages", at_rest, lifted(section))]


def epiglottis(pen: PlatePen, section: Section) -> list[Op]:
    """The leaf above the larynx."""
    leaf = anticlockwise(section["epiglottis"])
    leaf = np.concatenate([leaf, leaf[:1]])
    leaf = calmed(np.roll(leaf[:-1], -len(leaf) // 4, axis=0), 1.2)
    core = shifted(leaf, 0.75, closed=True)
    return [
        pen.area(leaf, "lining"),
        pen.area(core, "cart"),
        pen.outline(leaf, "ink2", "airway", 1.3, name="epiglottis"),
    ]


def hyoid(pen: PlatePen, section: Section) -> list[Op]:
    """The hyoid bone, seen end on."""
    middle = section["hyoid"].mean(axis=0)

    def end_on() -> list[Op]:
        angle = np.linspace(0, 2 * np.pi, 36, endpoint=False)
        turn = np.deg2rad(62.0)
        # a plate that leans forward, seen end on
        long, wide = 4.5 * np.cos(angle), 2.5 * np.sin(angle) * (1 - 0.18 * np.cos(angle))
        oval = np.stack([long * np.cos(turn) - wide * np.sin(turn), long * np.sin(turn) + wide * np.cos(turn)], -1)
        return [pen.area(section["hyoid"] - middle, "muscle"), *bone(pen, oval, name="hyoid", edge=1.0)]

    return [pen.carried("hyoid", end_on, np.column_stack([np.eye(2), middle]))]
