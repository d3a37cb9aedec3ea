"""The larynx that moves: folds and what lies around them, epiglottis, cartilages and hyoid bone, from one section."""

from __future__ import annotations

import numpy as np

from articulators import outlines
from articulators.section import Section
from renders.anatomy_fixed import BOTTOM_MM, Pen, anticlockwise, bone, hints
from renders.penline import band, calmed, ends, shifted
from renders.picture import Op


def folds_height_mm(section: Section) -> float:
    """Height of the vocal folds: on the landmark line, raised or lowered with the larynx."""
    return section.head.number("larynx", "vocal_fold_height") + float(section.posture["larynx_mm"])


def rear_wall(pen: Pen, section: Section) -> list[Op]:
    """Throat wall and larynx behind the air."""
    rear = section["larynx_rear"]
    gullet = outlines.fixed(section.head, "gullet")
    ring = np.concatenate([rear, [[76.6, BOTTOM_MM], [84.6, BOTTOM_MM]], gullet[::-1] + [0.3, 0.0]])
    ops: list[Op] = [pen.area(ring, "head"), pen.area(band(rear[:28], -1.0 * ends(rear[:28], 4.0)), "lining")]
    front = gullet - np.array([1.6, 0.0])
    ops.append(pen.area(band(front[::-1], 1.6 * ends(front, 8.0, 0.2)), "muscle", 0.8))
    ops.append(pen.line(gullet[3:] - [0.5, 0], "mover_line", "airway", 1.1, opacity=0.35))
    return ops


def inside(pen: Pen, section: Section) -> list[Op]:
    """The side wall of the larynx behind the midline: folds, the pocket between them, the edge up to the epiglottis."""
    table = hints()["larynx"]
    height = folds_height_mm(section)
    front, rear, leaf = section["larynx_front"], section["larynx_rear"], section["epiglottis"]
    lift = height - section.head.number("larynx", "vocal_fold_height")

    def ends_at(y: float) -> tuple[float, float]:
        return (float(front[np.argmin(np.abs(front[:, 1] - y)), 0]), float(rear[np.argmin(np.abs(rear[:, 1] - y)), 0]))

    def fold(between: tuple[float, float], colour: str, opacity: float) -> Op:
        low, high = between
        (a, b), (c, d) = ends_at(height + low), ends_at(height + high)
        x = np.linspace(0, 1, 9)
        bow = 0.5 * np.sin(np.pi * x)
        under = np.stack([a - 0.3 + x * (b - a + 0.6), height + low - bow], axis=-1)
        over = np.stack([c - 0.3 + x * (d - c + 0.6), height + high + 0.6 * bow], axis=-1)
        return pen.area(np.concatenate([under, over[::-1]]), colour, opacity)

    apex = rear[np.argmax(rear[:, 1])]
    tip = leaf[int(np.argmax(leaf[:, 1]))]
    # from the side of the epiglottis, sagging, to the top of the arytenoid
    start = tip + 0.34 * (leaf[np.argmin(leaf[:, 1])] - tip) + np.array([0.6, 0.0])
    t = np.linspace(0, 1, 15)[:, None]
    edge = start + t * (apex - start) + np.array([-2.6, -1.6]) * (np.sin(np.pi * t))
    root = np.array([[ends_at(height + 5.0)[1], height + 5.0], [ends_at(height + 5.0)[0], height + 5.0]])
    base = leaf[np.argmin(leaf[:, 1])][None]
    wall = np.concatenate([edge, root, base])
    ops: list[Op] = [pen.area(wall, "lining", 0.42), pen.pressed(edge, "ink2", "airway", ends(edge, 5.0, 0.2), 0.45)]
    ops.append(fold(table["vestibular_mm"], "lining", 0.75))
    ops.append(fold(table["ventricle_mm"], "mover_line", 0.30))
    ops.append(fold((-table["fold_mm"][1], table["fold_mm"][0]), "lining", 0.75))
    # rings of the windpipe, cut through in front
    first, pitch = table["ring_first_mm"] + lift, table["ring_pitch_mm"]
    for k in range(6):
        y = first - k * pitch
        x = ends_at(max(y, front[-1, 1]))[0] - 0.9 - table["ring_wide_mm"] / 2
        angle = np.linspace(0, 2 * np.pi, 18, endpoint=False)
        half_wide, half_high = table["ring_wide_mm"] / 2, table["ring_high_mm"] / 2
        oval = np.stack([x + half_wide * np.cos(angle), y + half_high * np.sin(angle)], -1)
        ops += [pen.area(oval, "cart", 0.9), pen.line(oval, "rule", "cartilage", 0.7, 0.6, closed=True)]
    return ops


def edges(pen: Pen, section: Section) -> list[Op]:
    """The lines in front of and behind the air of the larynx."""
    front, rear = section["larynx_front"], section["larynx_rear"]
    ops: list[Op] = [pen.area(band(front, -0.9 * ends(front, 6.0)), "lining")]
    for organ, line in (("larynx_front", front), ("larynx_rear", rear)):
        ops.append(pen.line(line, "ink2", "airway", 1.4, name=organ))
    return ops


def cartilages(pen: Pen, section: Section) -> list[Op]:
    """Thyroid, cricoid and arytenoid, cut through."""
    ops: list[Op] = []
    for organ in ("thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid"):
        ring = section[organ]
        ops += [pen.area(ring, "cart"), *pen.soft_ring(ring, (0.9,), "panel", 0.22)]
        ops.append(pen.line(ring, "ink2", "cartilage", 0.75, 0.75, name=organ, closed=True))
    return ops


def epiglottis(pen: Pen, section: Section) -> list[Op]:
    """The leaf above the larynx."""
    leaf = anticlockwise(section["epiglottis"])
    leaf = np.concatenate([leaf, leaf[:1]])
    leaf = calmed(np.roll(leaf[:-1], -len(leaf) // 4, axis=0), 1.2)
    core = shifted(leaf, 0.75, closed=True)
    return [
        pen.area(leaf, "lining"),
        pen.area(core, "cart"),
        pen.line(leaf, "ink2", "airway", 1.3, name="epiglottis", closed=True),
    ]


def hyoid(pen: Pen, section: Section) -> list[Op]:
    """The hyoid bone, seen end on."""
    ring = section["hyoid"]
    middle = ring.mean(axis=0)
    angle = np.linspace(0, 2 * np.pi, 36, endpoint=False)
    turn = np.deg2rad(62.0)
    # a plate that leans forward, seen end on
    long, wide = 4.5 * np.cos(angle), 2.5 * np.sin(angle) * (1 - 0.18 * np.cos(angle))
    oval = middle + np.stack([long * np.cos(turn) - wide * np.sin(turn), long * np.sin(turn) + wide * np.cos(turn)], -1)
    return [pen.area(ring, "muscle"), *bone(pen, oval, name="hyoid", edge=1.0)]
