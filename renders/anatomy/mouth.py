"""InkLines of what is soft in the mouth: tongue, floor of the mouth and soft palate, with the muscles in them."""

from __future__ import annotations

import numpy as np

from articulators import jaw
from articulators.curves import Array, Indices
from articulators.section import Section
from renders.anatomy.plate import plate
from renders.paper.strokes import calmed

ARC = np.linspace(0, 1, 22)[:, None]


def tongue_lines(sections: Section) -> tuple[dict[str, Array], dict[str, Indices]]:
    """Tongue and floor of the mouth of a batch (m,): lines by name (m, ...), samples by line and name (m,).

    tongue          its outline, the lower border calmed        tongue_fibres  the muscle that fans out from the chin
    floor_top, floor_middle, floor_bottom   edges of the two muscles under it        floor_fibres   lines between them
    floor_edge      the floor from the fold behind the gum to the tongue and what lies under it; nan where it is hidden
    """
    outline, tip = sections["tongue"].copy(), sections.tip_index()
    genial = _genial(sections, sections.head.tongue.genial_upper)
    far = np.hypot(*np.moveaxis(outline - genial[:, None], -1, 0))
    sample = np.arange(outline.shape[1])
    foot = np.minimum(np.argmin(np.where(sample < tip[:, None], np.inf, far), axis=1), outline.shape[1] - 12)
    for at in np.unique(foot):
        outline[foot == at, at:] = calmed(outline[foot == at, at:], 7.0)
    lines = {"tongue": outline, "tongue_middle": sections["tongue"].mean(axis=1)[:, None]}
    lines |= _floor(sections, genial)
    floor = zip(sections["mouth_floor"], outline, tip, foot, strict=True)
    lines["floor_edge"] = np.stack([_floor_edge(*one) for one in floor])
    lines["tongue_fibres"] = np.stack([_fibres(*one) for one in zip(outline, genial, tip, foot, strict=True)])
    grain = (0.12 * tip).astype(np.intp), (0.86 * tip).astype(np.intp) - 1
    return lines, {"tongue tip": tip, "tongue foot": foot, "tongue grain_from": grain[0], "tongue grain_to": grain[1]}


def _floor(sections: Section, genial: Array) -> dict[str, Array]:
    """The two muscles under the tongue, from the chin to the tongue bone and beneath it from side to side."""
    low, back = _genial(sections, sections.head.tongue.genial_lower), sections["hyoid"].mean(axis=1)

    def arc(a: Array, b: Array, sag: float) -> Array:
        return a[:, None] + ARC * (b - a)[:, None] + np.array([-0.35, -1.0]) * sag * np.sin(np.pi * ARC)

    top, middle = arc(genial, back + [0, 2], 1.0), arc(low + [0, 0.5], back + [-2.5, -1.0], 2.4)
    fibres = [(top + share * (middle - top))[:, 2:-2] for share in (0.35, 0.6, 0.85)]
    return {
        "floor_top": top,
        "floor_middle": middle,
        "floor_bottom": arc(low + [-1.5, -2.5], back + [-3.0, -4.0], 2.4),
        "floor_fibres": np.stack(fibres, axis=1),
        "hyoid_middle": back[:, None],
        "hyoid_under": back[:, None] - [0.0, sections.head.tongue.hyoid_radius_mm],
    }


def _floor_edge(floor: Array, outline: Array, tip: int, foot: int) -> Array:
    """The bare floor of the mouth and two points beneath it (14, 2); nan where the tongue covers it."""
    fold, under = floor[-1], outline[tip:foot][::-1]
    bare = float(np.interp(fold[1], under[:, 1], under[:, 0]) - fold[0])
    if bare <= 0.0:
        return np.full((14, 2), np.nan)
    hints = plate().floor
    rise = min(hints.rises_mm, hints.rises_share * bare)
    end = np.array([np.interp(fold[1] + rise, under[:, 1], under[:, 0]) + 0.5, fold[1] + rise])
    t = np.linspace(0.0, 1.0, 12)[:, None]
    level = np.array([0.5 * (fold[0] + end[0]), fold[1]])
    edge = (1 - t) ** 2 * fold + 2 * t * (1 - t) * level + t**2 * end
    return np.concatenate([edge, [[end[0] + 1.0, fold[1] - 2.0], [fold[0], fold[1] - 2.0]]])


def _fibres(outline: Array, genial: Array, tip: int, foot: int) -> Array:
    """Hairlines (fibres, 12, 2) that bend with the tongue; nan where one is left out or ends sooner."""
    hints = plate().tongue
    root = genial + np.array(hints.fibre_root_mm)
    at = (np.linspace(hints.fibre_from_share, hints.fibre_to_share, hints.fibres) * tip).astype(int)
    towards = outline[at]
    share = np.linspace(*hints.fibre_between_share, hints.fibre_points)[:, None]
    bend = hints.fibre_bend_share * (outline[:tip].mean(axis=0) - root)
    swings = 0.5 - np.arange(len(towards))[:, None, None] / len(towards)
    runs = root + share * (towards[:, None] - root) + np.sin(np.pi * share) * bend * swings
    # every other one is shorter, so that they do not crowd at the chin; none leaves the tongue under its tip
    under = outline[tip:foot][::-1]
    within = runs[..., 0] > np.interp(runs[..., 1], under[:, 1], under[:, 0]) + hints.fibre_within_mm
    within[:, :2] = True
    inside = np.logical_and.accumulate(within, axis=1)
    inside[inside.sum(axis=1) <= len(share) // 2] = False
    inside[1::2, :2] = False
    inside[1::2, -1] = False
    return np.where(inside[..., None], runs, np.nan)


def palate_lines(sections: Section) -> dict[str, Array]:
    """The middle of the soft palate, between its two sides (m, n, 2)."""
    outline = sections["velum"]
    side = slice(4, int(outline.shape[1] // 2 * 0.8))
    middle = (outline[:, side] + outline[:, ::-1][:, side]) / 2
    return {"velum_middle": middle[:, 3 : int(middle.shape[1] * 0.86)]}


def _genial(sections: Section, point: Array) -> Array:
    """Where a muscle of tongue or floor leaves the inside of the chin (m, 2): it rides on the jaw."""
    carried = jaw.carry(sections.head, point[None], sections.posture["jaw_mm"])[:, 0]
    return np.asarray(carried + np.array(plate().tongue.genial_off_mm))
