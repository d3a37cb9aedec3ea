"""What is soft in the mouth: tongue, floor of the mouth and soft palate, with the muscles in them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from articulators import jaw
from articulators.curves import Array
from articulators.section import Section
from renders.anatomy.emphasis import Emphasis, focused
from renders.anatomy.pen import PlatePen
from renders.anatomy.plate import plate
from renders.paper.picture import Fill, Op
from renders.paper.strokes import Edge, calmed, eased, pressed


class TongueShape(NamedTuple):
    """The tongue's outline with a calm lower border (n, 2), the samples of its tip and of its foot on the jaw."""

    outline: Array
    tip: int
    foot: int


def tongue_shape(section: Section) -> TongueShape:
    """The tongue of a section with its lower border calmed."""
    outline = section["tongue"]
    tip = int(section.tip_index())
    genial = _genial(section)
    foot = tip + int(np.argmin(np.hypot(*(outline[tip:] - genial).T)))
    foot = min(foot, len(outline) - 12)
    border = calmed(outline[foot:], 7.0)
    return TongueShape(np.concatenate([outline[:foot], border]), tip, foot)


def floor_muscle(pen: PlatePen, section: Section, tongue: TongueShape) -> list[Op]:
    """The two muscles under the tongue, from the chin to the tongue bone and beneath it from side to side."""
    genial, low, back = _genial(section), _genial(section, low=True), section["hyoid"].mean(axis=0)
    t = np.linspace(0, 1, 22)[:, None]

    def arc(a: Array, b: Array, sag: float) -> Array:
        return a + t * (b - a) + np.array([-0.35, -1.0]) * sag * np.sin(np.pi * t)

    top, middle = arc(genial, back + [0, 2], 1.0), arc(low + [0, 0.5], back + [-2.5, -1.0], 2.4)
    bottom = arc(low + [-1.5, -2.5], back + [-3.0, -4.0], 2.4)
    outline, _, foot = tongue
    # a tongue drawn back rises from the floor: what fills the room between is muscle too
    room = np.concatenate([outline[foot:], middle[::-1]])
    ops: list[Op] = [
        pen.area(room, "muscle", 0.9),
        pen.area(np.concatenate([top, middle[::-1]]), "muscle", 0.9, name="floor of the mouth"),
        pen.area(np.concatenate([middle, bottom[::-1]]), "muscle", 0.55),
    ]
    runs = [top + share * (middle - top) for share in (0.35, 0.6, 0.85)]
    ops.append(pen.lines([run[2:-2] for run in runs], "mover_line", "fibre", 0.7, 0.22))
    between = Edge(middle)
    ops.append(pen.pressed(between, "mover_line", "airway", between.ends(8.0, 0.2), 0.35))
    return ops


def floor_lining(pen: PlatePen, section: Section, tongue: TongueShape) -> list[Op]:
    """The floor of the mouth from the fold behind the lower gum to the tongue, where the tongue leaves it bare."""
    outline, tip, foot = tongue
    fold, under = section["mouth_floor"][-1], outline[tip:foot][::-1]
    bare = float(np.interp(fold[1], under[:, 1], under[:, 0]) - fold[0])
    if bare <= 0.0:
        return []
    hints = plate().floor
    rise = min(hints.rises_mm, hints.rises_share * bare)
    end = np.array([np.interp(fold[1] + rise, under[:, 1], under[:, 0]) + 0.5, fold[1] + rise])
    t = np.linspace(0.0, 1.0, 12)[:, None]
    level = np.array([0.5 * (fold[0] + end[0]), fold[1]])
    edge = Edge((1 - t) ** 2 * fold + 2 * t * (1 - t) * level + t**2 * end)
    beneath = np.array([[end[0] + 1.0, fold[1] - 2.0], [fold[0], fold[1] - 2.0]])
    return [
        pen.area(np.concatenate([edge.line, beneath]), "head"),
        pen.area(edge.band(-1.0 * eased(edge.run, 0.0, 2.0)), "lining"),
        pen.line(edge.line, "ink2", "airway", 1.1, name="floor of the mouth, bare"),
    ]


def tongue(pen: PlatePen, section: Section, shape: TongueShape, emphasis: Emphasis) -> list[Op]:
    """Flesh, lining and muscle of the tongue, and the line around it."""
    hints = plate().tongue
    outline, tip, foot = shape
    rests = emphasis.rests("tongue")
    flesh = "resting" if rests else "mover"
    ops: list[Op] = [*_web(pen, section, outline), pen.area(outline, flesh, name="tongue")]
    surface = Edge(outline[: foot + 1])
    run = surface.run
    if pen.style.shading > 0:
        rear_edge = Edge(outline[: tip + 1 : 2])
        thick = rear_edge.ends(10.0, 0.12)
        soft = 0.055 * pen.style.shading
        ops += [pen.area(rear_edge.band(depth * thick), "mover_line", soft) for depth in (9.0, 6.0, 3.6)]
        thin_at_tip = 0.35 + 0.65 * eased(np.abs(run - run[tip]), 1.0, 9.0)
        ops.append(pen.area(surface.band(hints.lining_mm * thin_at_tip * surface.ends(7.0)), "lining", 0.62))
    ops.append(_fibres(pen, section, outline, tip, foot))
    if pen.style.shading > 0:
        top = Edge(outline[int(0.12 * tip) : int(0.86 * tip)])
        inward = top.ends(14.0, 0.5)[:, None] * top.left
        deep = [top.line + depth * inward for depth in hints.lengthwise_mm]
        ops.append(pen.lines(deep, "mover_line", "fibre", 0.75, 0.26))
    weights = np.clip(focused(surface.line, emphasis.focus), 0.0, None) * (1.0 if not rests else 0.8)
    # strong over the tip and the back, light where the tongue grows out of the jaw and the tongue bone
    weights = weights * (0.55 + 0.45 * eased(run, 0.0, 14.0)) * (0.5 + 0.5 * eased(run[-1] - run, 2.0, 16.0))
    ops.append(pen.pressed(surface, "ink", "tongue", weights, name="tongue edge"))
    border = Edge(outline[foot:])
    ops.append(pen.pressed(border, "mover_line", "tongue", 0.5 * border.ends(8.0, 0.5), 0.6))
    return ops


def _web(pen: PlatePen, section: Section, outline: Array) -> list[Op]:
    """What lies between the tongue's root, the tongue bone and the valley before the epiglottis: no air."""
    front, middle = section["larynx_front"], section["hyoid"].mean(axis=0)
    under = middle - [0.0, section.head.tongue.hyoid_radius_mm]
    ring = np.array([front[0], outline[0], outline[6], middle, outline[-1], under, front[3]])
    return [pen.area(ring, "muscle", 1.0)]


def _fibres(pen: PlatePen, section: Section, outline: Array, tip: int, foot: int) -> Op:
    """The muscle that fans out from the chin, as hairlines that bend with the tongue."""
    hints = plate().tongue
    root = _genial(section) + np.array([1.2, 0.8])
    at = (np.linspace(hints.fibre_from_share, hints.fibre_to_share, hints.fibres) * tip).astype(int)
    towards = outline[at]
    share = np.linspace(0.16, 0.86, 12)[:, None]
    bend = 0.10 * (outline[:tip].mean(axis=0) - root)
    swings = 0.5 - np.arange(len(towards))[:, None, None] / len(towards)
    runs = root + share * (towards[:, None] - root) + np.sin(np.pi * share) * bend * swings
    # every other one is shorter, so that they do not crowd at the chin; none leaves the tongue under its tip
    under = outline[tip:foot][::-1]
    within = runs[..., 0] > np.interp(runs[..., 1], under[:, 1], under[:, 0]) + hints.fibre_within_mm
    some = []
    for number, (run, inside) in enumerate(zip(runs, within, strict=True)):
        end = len(run) if inside[2:].all() else 2 + int(np.argmin(inside[2:]))
        if end > len(run) // 2:
            some.append(run[:end] if number % 2 == 0 else run[2 : min(end, len(run) - 1)])
    return pen.lines(some, "mover_line", "fibre", 0.75, 0.30)


def velum(pen: PlatePen, section: Section, emphasis: Emphasis) -> list[Op]:
    """The soft palate with its muscle."""
    outline, rests = section["velum"], emphasis.rests("velum")
    half = len(outline) // 2
    oral, nasal = outline[4 : int(half * 0.8)], outline[::-1][4 : int(half * 0.8)]
    count = min(len(oral), len(nasal))
    middle = (oral[:count] + nasal[:count]) / 2
    ops: list[Op] = [pen.area(outline, "resting" if rests else "mover", name="soft palate")]
    # the hard palate goes over into it: no seam
    for reach in (2, 5, 8):
        ops.append(pen.area(outline[[0, reach, -1 - reach, -1]], "lining", 0.30))
    edge = Edge(outline)
    if pen.style.shading > 0:
        ops.append(pen.area(edge.band(1.25 * edge.ends(8.0)), "lining", 0.55))
        core = middle[3 : int(count * 0.86)]
        within = Edge(core)
        sheet = 2 * 1.5 * within.ends(10.0)
        ops.append(Fill(pressed(within, sheet), "mover_line", 0.13 * pen.style.shading))
        runs = [core[2:-4] + np.array([0.0, off]) for off in (-0.6, 0.5)]
        ops.append(pen.lines(runs, "mover_line", "fibre", 0.7, 0.25))
    weights = focused(outline, emphasis.focus) * edge.ends(7.0, 0.45) * (0.8 if rests else 1.0)
    ops.append(pen.pressed(edge, "ink", "soft_palate", weights, name="soft palate edge"))
    return ops


def _genial(section: Section, low: bool = False) -> Array:
    """Where the tongue's muscle (low: that of the floor) leaves the inside of the chin; it rides on the jaw."""
    point = section.head.tongue.genial_lower if low else section.head.tongue.genial_upper
    return _on_jaw(section, point[None])[0] + np.array([0.6, 0.3])


def _on_jaw(section: Section, points: Array) -> Array:
    return jaw.carry(section.head, points, section.posture["jaw_mm"])
