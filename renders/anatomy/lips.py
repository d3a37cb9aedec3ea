"""The lips, cut through: flesh, ring muscle, skin, red and lining, and the air between them."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.section import Section
from renders.anatomy.emphasis import Emphasis, focused
from renders.anatomy.pen import PlatePen
from renders.anatomy.plate import plate
from renders.paper.picture import Op
from renders.paper.strokes import Edge, eased


def front_air(pen: PlatePen, section: Section) -> list[Op]:
    """The air between lips and teeth, as far forward as the lips reach: organs are drawn over it."""
    hints = plate().front_air
    upper, lower = section["upper_red"], section["lower_red"]
    top, low = upper[np.argmin(upper[:, 0])], lower[np.argmin(lower[:, 0])]
    t = np.linspace(0.0, 1.0, 13)[:, None]
    back = hints.bows_share * np.hypot(*(low - top)) * np.sin(np.pi * t)
    bow = top + t * (low - top) + back * [1.0, 0.0]
    # it has no end there: it fades into the air before the face
    steps = np.linspace(hints.fades_mm, 0.0, hints.fades_in_steps)
    reach = [np.concatenate([bow + [step, 0.0], section.head.air.behind_lips]) for step in steps]
    fading = [pen.area(ring, "airway", hints.step_opacity_share) for ring in reach[:0:-1]]
    return [*fading, pen.area(reach[0], "airway")]


def flesh(pen: PlatePen, section: Section) -> list[Op]:
    """The body of both lips."""
    ops: list[Op] = []
    for side in ("upper", "lower"):
        lip = section[f"{side}_lip"]
        # reaches into what it grows out of, so that no seam shows
        root = section.head.lips.upper_inside[None] if side == "upper" else section["chin_neck"][:14]
        ops.append(pen.area(np.concatenate([lip, root]), "head", name=f"{side} lip flesh"))
        if pen.style.hatched and side == "upper":
            import shapely

            ops += pen.hatch(shapely.Polygon(lip).buffer(0))
    return ops


def red_range(section: Section, side: str) -> tuple[int, int]:
    """First and last sample of a lip's outline between which its red lies: from the skin to the wet inside."""
    lip, red = section[f"{side}_lip"], section[f"{side}_red"]
    dx, dy = lip[:, :1] - red[:, 0], lip[:, 1:] - red[:, 1]
    at = np.flatnonzero((dx * dx + dy * dy < 0.45**2).any(axis=1))
    return int(at[0]), int(at[-1])


def margins(pen: PlatePen, section: Section, emphasis: Emphasis) -> list[Op]:
    """Skin, red and lining of both lips, and the line along them."""
    hints = plate().lips
    ops: list[Op] = []
    for side in ("upper", "lower"):
        lip = section[f"{side}_lip"]
        first, last = red_range(section, side)
        outward = lip[: first + 1] if side == "upper" else np.concatenate([lip[last:], section["chin_neck"]])
        inward = slice(last, len(lip)) if side == "upper" else slice(0, first + 1)
        red = Edge(lip[first : last + 1])
        run = red.run
        # thick over the middle, thin where it meets the skin, melting into the lining inside
        rim = eased(run, 0.0, 5.0) * eased(run[-1] - run, 0.0, 5.5)
        rim = np.maximum(rim, 0.0) ** 0.7
        ops.append(_ring_muscle(pen, lip, red.line))
        inner, outer = Edge(lip[inward]), Edge(outward)
        ops.append(pen.area(inner.band(1.1 * inner.ends(3.0, 0.4), calm=1.5), "lining", 0.9))
        if emphasis.shows("face"):
            ops.append(pen.area(outer.band(hints.skin_mm * outer.ends(5.0, 0.35), calm=1.0), "skin"))
        colour = "resting" if emphasis.rests("lips") else "lip"
        ops.append(pen.area(red.band(hints.red_mm * rim, calm=2.0), colour, name=f"{side} lip"))
        if pen.style.shading > 0:
            ops.append(pen.area(red.band(1.45 * hints.red_mm * rim, calm=2.5), colour, 0.25 * pen.style.shading))
            ops.append(pen.area(red.band(0.45 * hints.red_mm * rim), "mover_line", 0.10 * pen.style.shading))
        ops.append(_lip_line(pen, section, side, (first, last), emphasis))
    return ops


def _lip_line(pen: PlatePen, section: Section, side: str, red: tuple[int, int], emphasis: Emphasis) -> Op:
    """One line from the skin over the red to the inside: as strong as the profile outside, fine inside."""
    lip, face = section[f"{side}_lip"], emphasis.shows("face")
    sill = section["nose_floor"][:4]
    if side == "upper":
        line = np.concatenate([sill[:1], lip[2:]]) if face else lip
        offset = len(line) - len(lip)
        turn = red[1] + offset
    else:
        chin = section["chin_neck"]
        # from the neck up over the lip, so that both lips are described the same way
        line = np.concatenate([chin[::-1], lip[::-1][2:]]) if face else lip[::-1]
        turn = len(line) - 1 - red[0]
    edge = Edge(line)
    run = edge.run
    inside = eased(run, run[turn] - 4.0, run[turn] + 3.0)
    heavy = pen.style.line("profile") / pen.style.line("lips")
    start = run[max(0, (red[0] if side == "upper" else turn - (red[1] - red[0])))]
    outer = heavy + (1.0 - heavy) * eased(run, start - 8.0, start + 3.0)
    weights = (outer + (0.42 - outer) * inside) * (focused(line, emphasis.focus) * (1 - inside) + inside)
    weights = weights * (0.35 + 0.65 * eased(run[-1] - run, 0.0, 3.0))
    return pen.pressed(edge, "ink", "lips", weights, name=f"{side} lip edge")


def _ring_muscle(pen: PlatePen, lip: Array, red: Array) -> Op:
    """The ring muscle in the body of the lip, as an oval hint."""
    middle = red.mean(axis=0) * 0.42 + lip.mean(axis=0) * 0.58
    lengthwise = lip.mean(axis=0) - red.mean(axis=0)
    lengthwise = lengthwise / max(float(np.hypot(*lengthwise)), 1e-6)
    across = np.array([-lengthwise[1], lengthwise[0]])
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)[:, None]
    oval = middle + 4.4 * np.cos(angle) * lengthwise + 2.3 * np.sin(angle) * across
    return pen.area(oval, "muscle", 0.55)
