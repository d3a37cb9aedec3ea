"""The organs that move, drawn from one section: lower face, tongue, soft palate, lips, jaw, throat and larynx."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from articulators import jaw, outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.section import Section
from renders.anatomy import larynx
from renders.anatomy.fixed import BOTTOM_MM, crown, hints, tooth
from renders.anatomy.plate_pen import PlatePen
from renders.paper.picture import Dots, Fill, Op
from renders.paper.strokes import Edge, anticlockwise, calmed, eased, pressed, shifted


class Tongue(NamedTuple):
    """The tongue's outline with a calm lower border (n, 2), the samples of its tip and of its foot on the jaw."""

    outline: Array
    tip: int
    foot: int


FOCUS_MM = 7.0  # how far around a place that acts lines are stronger


def organs(
    pen: PlatePen, section: Section, shown: frozenset[str], resting: frozenset[str], focus: Array | None
) -> list[Op]:
    """Ops of everything that moves, back to front."""
    ops: list[Op] = []
    tongue = drawn_tongue(section)
    if "face" in shown:
        ops += _lower_face(pen, section)
    if "throat" in shown or "larynx" in shown:
        ops += larynx.rear_wall(pen, section)
    if "larynx" in shown:
        ops += larynx.inside(pen, section)
    if "tongue" in shown:
        ops += [*_floor_muscle(pen, section, tongue), *_floor_lining(pen, section, tongue)]
    if "lips" in shown:
        ops += _lip_flesh(pen, section)
    if "tongue" in shown:
        ops += _tongue(pen, section, tongue, "tongue" in resting, focus)
    if "epiglottis" in shown:
        ops += larynx.epiglottis(pen, section)
    if "jaw" in shown or "teeth" in shown:
        ops += _jaw(pen, section, shown)
    if "velum" in shown:
        ops += _velum(pen, section, "velum" in resting, focus)
    if "hyoid" in shown:
        ops += larynx.hyoid(pen, section)
    if "larynx" in shown:
        ops += larynx.cartilages(pen, section)
    if "throat" in shown or "larynx" in shown:
        ops += larynx.edges(pen, section)
    if "lips" in shown:
        ops += _lips(pen, section, "lips" in resting, focus, "face" in shown)
    elif "face" in shown:
        ops += [_skin_line(pen, section["chin_neck"])]
    if "face" in shown:
        ops.append(pen.carried("nose line", lambda: _nose_line(pen, section.head)))
    return ops


def front_air(pen: PlatePen, section: Section) -> list[Op]:
    """The air between lips and teeth, as far forward as the lips reach: organs are drawn over it."""
    table = hints()["front_air"]
    upper, lower = section["upper_red"], section["lower_red"]
    top, low = upper[np.argmin(upper[:, 0])], lower[np.argmin(lower[:, 0])]
    t = np.linspace(0.0, 1.0, 13)[:, None]
    back = table["bows_share"] * np.hypot(*(low - top)) * np.sin(np.pi * t)
    bow = top + t * (low - top) + back * [1.0, 0.0]
    rest = np.array([[3.0, -18.0], [3.0, -0.5], [-0.8, -0.4], [-1.9, 2.2], [-5.0, 8.0]])
    # it has no end there: it fades into the air before the face
    steps = np.linspace(table["fades_mm"], 0.0, table["fades_in"])
    reach = [np.concatenate([bow + [step, 0.0], rest]) for step in steps]
    return [*(pen.area(ring, "airway", table["each"]) for ring in reach[:0:-1]), pen.area(reach[0], "airway")]


def focused(line: Array, focus: Array | None) -> Array:
    """Weights (n,) of a line: 1, and up to a half more near the places that act."""
    if focus is None or len(focus) == 0:
        return np.ones(len(line))
    apart = np.min(np.hypot(*np.moveaxis(line[:, None] - focus[None], -1, 0)), axis=1)
    return 0.88 + 0.55 * np.exp(-((apart / FOCUS_MM) ** 2))


def _on_jaw(section: Section, points: Array) -> Array:
    return jaw.carry(section.head, points, section.posture["jaw_mm"])


def _genial(section: Section, low: bool = False) -> Array:
    """Where the tongue's muscle (low: that of the floor) leaves the inside of the chin; it rides on the jaw."""
    point = section.head.curve("tongue", "genial_lower" if low else "genial_upper")
    return _on_jaw(section, point)[0] + np.array([0.6, 0.3])


def _lower_face(pen: PlatePen, section: Section) -> list[Op]:
    lip, chin, front = section["lower_lip"], section["chin_neck"], section["larynx_front"]
    inside, middle = section["tongue"].mean(axis=0), section["hyoid"].mean(axis=0)
    ring = np.concatenate(
        [lip[-1:], chin, [[46.0, BOTTOM_MM], [64.0, BOTTOM_MM]], front[::-1], [middle, inside],
         section["mouth_floor"][::-1], lip[:1]]
    )  # fmt: skip
    ops: list[Op] = [pen.area(ring, "head", name="lower face")]
    if pen.style.hatched:
        import shapely

        flesh = shapely.Polygon(np.concatenate([ring, lip])).buffer(0)
        for organ in ("tongue", "mandible", "lower_gum", "thyroid", "cricoid_arch"):
            flesh = shapely.difference(flesh, section.polygons(organ))
        ops += pen.hatch(flesh)
        return ops
    return ops


def _floor_muscle(pen: PlatePen, section: Section, tongue: Tongue) -> list[Op]:
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


def _floor_lining(pen: PlatePen, section: Section, tongue: Tongue) -> list[Op]:
    """The floor of the mouth from the fold behind the lower gum to the tongue, where the tongue leaves it bare."""
    outline, tip, foot = tongue
    fold, under = section["mouth_floor"][-1], outline[tip:foot][::-1]
    bare = float(np.interp(fold[1], under[:, 1], under[:, 0]) - fold[0])
    if bare <= 0.0:
        return []
    table = hints()["floor"]
    rise = min(table["rises_mm"], table["rises_share"] * bare)
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


def drawn_tongue(section: Section) -> Tongue:
    """The tongue as it is drawn."""
    outline = section["tongue"]
    tip = int(np.argmin(outline[: 3 * len(outline) // 4, 0] - 0.15 * outline[: 3 * len(outline) // 4, 1]))
    genial = _genial(section)
    foot = tip + int(np.argmin(np.hypot(*(outline[tip:] - genial).T)))
    foot = min(foot, len(outline) - 12)
    border = calmed(outline[foot:], 7.0)
    return Tongue(np.concatenate([outline[:foot], border]), tip, foot)


def _tongue(pen: PlatePen, section: Section, tongue: Tongue, rests: bool, focus: Array | None) -> list[Op]:
    table = hints()["tongue"]
    outline, tip, foot = tongue
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
        ops.append(pen.area(surface.band(table["lining_mm"] * thin_at_tip * surface.ends(7.0)), "lining", 0.62))
    ops.append(_fibres(pen, section, outline, tip, foot))
    if pen.style.shading > 0:
        top = Edge(outline[int(0.12 * tip) : int(0.86 * tip)])
        inward = top.ends(14.0, 0.5)[:, None] * top.left
        deep = [top.line + depth * inward for depth in table["lengthwise_mm"]]
        ops.append(pen.lines(deep, "mover_line", "fibre", 0.75, 0.26))
    weights = np.clip(focused(surface.line, focus), 0.0, None) * (1.0 if not rests else 0.8)
    # strong over the tip and the back, light where the tongue grows out of the jaw and the tongue bone
    weights = weights * (0.55 + 0.45 * eased(run, 0.0, 14.0)) * (0.5 + 0.5 * eased(run[-1] - run, 2.0, 16.0))
    ops.append(pen.pressed(surface, "ink", "tongue", weights, name="tongue edge"))
    border = Edge(outline[foot:])
    ops.append(pen.pressed(border, "mover_line", "tongue", 0.5 * border.ends(8.0, 0.5), 0.6))
    return ops


def _web(pen: PlatePen, section: Section, outline: Array) -> list[Op]:
    """What lies between the tongue's root, the tongue bone and the valley before the epiglottis: no air."""
    front, middle = section["larynx_front"], section["hyoid"].mean(axis=0)
    first = outline[0]
    ring = np.array([front[0], first, outline[6], middle, outline[-1], middle + [0.0, -4.6], front[3]])
    return [pen.area(ring, "muscle", 1.0)]


def _fibres(pen: PlatePen, section: Section, outline: Array, tip: int, foot: int) -> Op:
    """The muscle that fans out from the chin, as hairlines that bend with the tongue."""
    table = hints()["tongue"]
    root = _genial(section) + np.array([1.2, 0.8])
    at = (np.linspace(table["fibre_from"], table["fibre_to"], int(table["fibres"])) * tip).astype(int)
    towards = outline[at]
    share = np.linspace(0.16, 0.86, 12)[:, None]
    bend = 0.10 * (outline[:tip].mean(axis=0) - root)
    swings = 0.5 - np.arange(len(towards))[:, None, None] / len(towards)
    runs = root + share * (towards[:, None] - root) + np.sin(np.pi * share) * bend * swings
    # every other one is shorter, so that they do not crowd at the chin; none leaves the tongue under its tip
    under = outline[tip:foot][::-1]
    within = runs[..., 0] > np.interp(runs[..., 1], under[:, 1], under[:, 0]) + table["fibre_within_mm"]
    some = []
    for number, (run, inside) in enumerate(zip(runs, within, strict=True)):
        end = len(run) if inside[2:].all() else 2 + int(np.argmin(inside[2:]))
        if end > len(run) // 2:
            some.append(run[:end] if number % 2 == 0 else run[2 : min(end, len(run) - 1)])
    return pen.lines(some, "mover_line", "fibre", 0.75, 0.30)


def _velum(pen: PlatePen, section: Section, rests: bool, focus: Array | None) -> list[Op]:
    outline = section["velum"]
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
    weights = focused(outline, focus) * edge.ends(7.0, 0.45) * (0.8 if rests else 1.0)
    ops.append(pen.pressed(edge, "ink", "soft_palate", weights, name="soft palate edge"))
    return ops


def _jaw(pen: PlatePen, section: Section, shown: frozenset[str]) -> list[Op]:
    """Gum, bone and tooth of the jaw: one piece, carried to where the jaw stands."""
    head = section.head
    place = jaw.motion(head, float(section.posture["jaw_mm"]))
    ops: list[Op] = []
    if "jaw" in shown:
        ops.append(pen.carried("jaw", lambda: _bone_and_gum(pen, head), place))
    if "teeth" in shown:
        parts = crown(head, "lower_incisor", "lower_gum")
        ops.append(pen.carried("lower incisor", lambda: tooth(pen, parts, "lower incisor"), place))
    return ops


def _bone_and_gum(pen: PlatePen, head: Head) -> list[Op]:
    gum, floor = outlines.at_rest(head, "lower_gum"), outlines.at_rest(head, "mouth_floor")
    ring, core = _symphysis(head)
    ops: list[Op] = [pen.area(gum, "gum"), *pen.soft_ring(gum, (0.6,), "lining", 0.35), pen.area(ring, "bone")]
    if pen.style.shading > 0:
        ops.append(pen.area(core, "marrow", 0.75))
    ops.append(pen.line(ring, "rule", "bone", 0.9, 0.8, name="jaw", closed=True))
    ops.append(pen.pressed(floor, "mover_line", "airway", 1.3, 0.7))
    return ops


def _symphysis(head: Head) -> tuple[Array, Array]:
    ring = outlines.at_rest(head, "mandible")
    return ring, shifted(anticlockwise(ring), hints()["bone"]["cortex_mm"] * 1.5, closed=True)


def _lip_flesh(pen: PlatePen, section: Section) -> list[Op]:
    ops: list[Op] = []
    for side in ("upper", "lower"):
        lip = section[f"{side}_lip"]
        # reaches into what it grows out of, so that no seam shows
        root = [[-4.0, 21.6]] if side == "upper" else section["chin_neck"][:14]
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


def _lips(pen: PlatePen, section: Section, rest: bool, focus: Array | None, face: bool) -> list[Op]:
    table = hints()["lips"]
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
        if face:
            ops.append(pen.area(outer.band(table["skin_mm"] * outer.ends(5.0, 0.35), calm=1.0), "skin"))
        colour = "resting" if rest else "lip"
        ops.append(pen.area(red.band(table["red_mm"] * rim, calm=2.0), colour, name=f"{side} lip"))
        if pen.style.shading > 0:
            ops.append(pen.area(red.band(1.45 * table["red_mm"] * rim, calm=2.5), colour, 0.25 * pen.style.shading))
            ops.append(pen.area(red.band(0.45 * table["red_mm"] * rim), "mover_line", 0.10 * pen.style.shading))
        ops.append(_lip_line(pen, section, side, (first, last), focus, face))
    return ops


def _lip_line(pen: PlatePen, section: Section, side: str, red: tuple[int, int], focus: Array | None, face: bool) -> Op:
    """One line from the skin over the red to the inside: as strong as the profile outside, fine inside."""
    lip = section[f"{side}_lip"]
    sill = section["nose_floor"][:4]
    if side == "upper":
        line = np.concatenate([sill[:1], lip[2:]]) if face else lip
        offset = len(line) - len(lip)
        turn = red[1] + offset
    else:
        chin = section["chin_neck"]
        # from the neck up over the lip, so that both lips are described alike
        line = np.concatenate([chin[::-1], lip[::-1][2:]]) if face else lip[::-1]
        turn = len(line) - 1 - red[0]
    edge = Edge(line)
    run = edge.run
    inside = eased(run, run[turn] - 4.0, run[turn] + 3.0)
    heavy = pen.style.line("profile") / pen.style.line("lips")
    start = run[max(0, (red[0] if side == "upper" else turn - (red[1] - red[0])))]
    outer = heavy + (1.0 - heavy) * eased(run, start - 8.0, start + 3.0)
    weights = (outer + (0.42 - outer) * inside) * (focused(line, focus) * (1 - inside) + inside)
    weights = weights * (0.35 + 0.65 * eased(run[-1] - run, 0.0, 3.0))
    return pen.pressed(edge, "ink", "lips", weights, name=f"{side} lip edge")


def _skin_line(pen: PlatePen, line: Array) -> Op:
    return pen.pressed(line, "ink", "profile", 1.0, name="chin and neck")


def _nose_line(pen: PlatePen, head: Head) -> list[Op]:
    """The nose from the bridge round its tip into the nostril, and the nostril's sill: one pressure, no step."""
    profile, roof = outlines.fixed(head, "profile"), outlines.fixed(head, "nose_roof")
    line, sill = Edge(np.concatenate([profile, roof[1:7]])), Edge(outlines.fixed(head, "nose_floor")[:7])
    fade = 1.0 - 0.75 * eased(line.run, line.run[len(profile) - 1] - 1.5, line.run[-1])
    return [
        pen.pressed(line, "ink", "profile", fade, name="profile"),
        pen.pressed(sill, "ink", "profile", 0.95 - 0.7 * eased(sill.run, 0.0, sill.run[-1])),
        # where the line of the lip meets it
        Dots(sill.line[:1].astype(np.float64), pen.width_mm("profile") / 2, "ink"),
    ]


def _ring_muscle(pen: PlatePen, lip: Array, red: Array) -> Op:
    """The ring muscle in the body of the lip, as an oval hint."""
    middle = red.mean(axis=0) * 0.42 + lip.mean(axis=0) * 0.58
    lengthwise = lip.mean(axis=0) - red.mean(axis=0)
    lengthwise = lengthwise / max(float(np.hypot(*lengthwise)), 1e-6)
    across = np.array([-lengthwise[1], lengthwise[0]])
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)[:, None]
    oval = middle + 4.4 * np.cos(angle) * lengthwise + 2.3 * np.sin(angle) * across
    return pen.area(oval, "muscle", 0.55)
