"""The side view of the organs as layers of a picture. Draws what a section holds and nothing else."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from articulators import jaw, outlines
from articulators.curves import spline_matrix
from articulators.head import Head
from articulators.section import Section
from renders.picture import Fill, Group, Layer, Op, Path, Stroke
from renders.style import Style
from renders.view import View
from vocaltract.airway.passage import Airway

Points = NDArray[np.floating[Any]]
RIGHT_MM, TOP_MM, BOTTOM_MM = 140.0, 120.0, -118.0
RED_EDGE_MM = 0.15  # points of the red nearer than this lie on the edge of the lip


def card(view: View, radius: float = 14.0) -> Path:
    """The frame that a side view is cut out by."""
    return Path.rectangle(*view.box, radius)


def fixed_layer(head: Head, view: View, style: Style) -> Layer:
    """What never moves and lies behind all else: upper head, skull base, spine."""

    def shape(organ: str) -> Path:
        return Path.polygon(view.px(outlines.fixed(head, organ)))

    skin = outlines.fixed(head, "profile")
    sill = [[-20.6, 23.9], [-16.8, 22.9], [-12, 20]]
    back = [*sill, [6, 13], [50, 18], [76, 8], [78.5, -60], [66, -112], [66, BOTTOM_MM]]
    ring = np.concatenate([skin, back, [[RIGHT_MM, BOTTOM_MM], [RIGHT_MM, TOP_MM], [-13, TOP_MM]]])
    hint = view.line(style.line("bone")) * 0.8
    ops: list[Op] = [Fill(Path.polygon(view.px(ring)), "head", name="head")]
    for organ in ("skull_base", "atlas", "dens"):
        ops += [Fill(shape(organ), "bone", 0.75), Stroke(shape(organ), "rule", hint, opacity=0.45)]
    ops += [
        Fill(shape("sphenoid_sinus"), "head", 0.8),
        Stroke(shape("sphenoid_sinus"), "rule", hint, opacity=0.35),
    ]
    for body in outlines.vertebrae(head):
        path = Path.polygon(view.px(body))
        ops += [Fill(path, "bone", 0.75), Stroke(path, "rule", hint, opacity=0.45)]
    return Layer("fixed parts", (Group(tuple(ops), clip=card(view)),), moves=False)


def moving_layer(section: Section, airway: Airway, view: View, style: Style, name: str = "organs") -> Layer:
    """Every organ of one moment, air spaces included, ready to lie on `fixed_layer`."""
    ops = [*_soft_ground(section, view), *_air(airway, view), *_upper(section, view, style)]
    ops += [*_throat(section, view, style), *_jaw(section, view, style), *_tongue(section, view, style)]
    ops += [*_velum(section, view, style), *_lips(section, view, style), *_skin(section, view, style)]
    return Layer(name, (Group(tuple(ops), clip=card(view)),))


def _polygon(view: View, points: Points) -> Path:
    return Path.polygon(view.px(points))


def _soft_ground(section: Section, view: View) -> list[Op]:
    lower, chin, upper = section["lower_lip"], section["chin_neck"], section["upper_lip"]
    below = np.concatenate([lower, chin, [[46, BOTTOM_MM], [80, BOTTOM_MM], [80, -70], [60, -30], [20, -22]]])
    return [
        Fill(_polygon(view, below), "head", name="lower face"),
        Fill(_polygon(view, np.concatenate([upper, [[4, 16], [2, 24]]])), "head", name="upper lip"),
    ]


def _air(airway: Airway, view: View) -> list[Op]:
    rings = []
    for part in shapely.get_parts(airway.shapes):
        if part.geom_type == "Polygon":
            rings += [shapely.get_coordinates(r) for r in (part.exterior, *part.interiors)]
    return [Fill(Path.polygons([view.px(r) for r in rings]), "airway", name="air spaces")]


def _upper(section: Section, view: View, style: Style) -> list[Op]:
    edge, thin = view.line(style.line("airway")), view.line(style.line("bone"))
    ops: list[Op] = []
    for organ in ("concha_low", "concha_middle", "concha_high"):
        path = _polygon(view, section[organ])
        # hung from the side wall, not floating in the midline: hinted only
        ops += [Fill(path, "head", 0.55), Stroke(path, "rule", edge, opacity=0.35)]
    bone, gum, tooth = (_polygon(view, section[o]) for o in ("maxilla", "upper_gum", "upper_incisor"))
    ops += [
        Fill(gum, "head"),
        Fill(gum, "mover", 0.35),
        Fill(bone, "bone"),
        Stroke(bone, "rule", thin, opacity=0.7, name="hard palate"),
    ]
    lining = section["palate"]
    ops.append(Stroke(Path.line(view.px(lining)), "mover", view.line(4.2), cap="butt", opacity=0.75))
    ops.append(Stroke(Path.line(view.px(lining)), "ink", view.line(style.line("soft_palate")) * 0.8, name="palate"))
    for organ in ("nose_floor", "nose_roof"):
        ops.append(Stroke(Path.line(view.px(section[organ])), "ink2", edge, opacity=0.8, name=organ))
    ops += [Fill(tooth, "tooth"), Stroke(tooth, "ink", view.line(style.line("tooth")), name="upper incisor")]
    return ops


def _throat(section: Section, view: View, style: Style) -> list[Op]:
    edge, thin = view.line(style.line("airway")) * 1.4, view.line(style.line("cartilage"))
    ops: list[Op] = [
        Stroke(Path.line(view.px(section["gullet"])), "mover_line", edge, opacity=0.4),
        Stroke(Path.line(view.px(section["rear_wall"])), "ink2", edge, name="rear wall of the throat"),
    ]
    for organ in ("larynx_front", "larynx_rear"):
        ops.append(Stroke(Path.line(view.px(section[organ])), "ink2", edge, name=organ))
    for organ in ("thyroid", "cricoid_arch", "cricoid_lamina", "arytenoid", "epiglottis"):
        path = _polygon(view, section[organ])
        ops += [Fill(path, "cart"), Stroke(path, "ink2", thin, name=organ)]
    return ops


def _jaw(section: Section, view: View, style: Style) -> list[Op]:
    thin = view.line(style.line("bone"))
    bone, gum, tooth = (_polygon(view, section[o]) for o in ("mandible", "lower_gum", "lower_incisor"))
    floor = Path.line(view.px(section["mouth_floor"]))
    return [
        Fill(gum, "head"),
        Fill(gum, "mover", 0.35),
        Stroke(floor, "mover_line", view.line(style.line("airway")) * 1.4, opacity=0.7),
        Fill(bone, "bone"),
        Stroke(bone, "rule", thin, opacity=0.8, name="jaw"),
        Fill(tooth, "tooth"),
        Stroke(tooth, "ink", view.line(style.line("tooth")), name="lower incisor"),
    ]


def _tongue(section: Section, view: View, style: Style) -> list[Op]:
    outline = section["tongue"]
    path = _polygon(view, outline)
    bone = section["hyoid"]
    root = _genial(section)
    ops: list[Op] = [*_floor_muscle(section, view), Fill(path, "mover", name="tongue")]
    reach = _surface_points(outline)
    fibres = [np.stack([root + share * (p - root) for share in np.linspace(0.14, 0.80, 6)]) for p in reach]
    hint = view.line(style.line("fibre"))
    ops.append(Stroke(Path.lines([view.px(f) for f in fibres]), "mover_line", hint, opacity=0.30))
    ops.append(Stroke(path, "ink", view.line(style.line("tongue")), name="tongue edge"))
    hyoid = _polygon(view, bone)
    ops += [Fill(hyoid, "bone"), Stroke(hyoid, "rule", view.line(style.line("bone")), name="hyoid")]
    return ops


def _genial(section: Section) -> Points:
    """Where the tongue's muscle fans out from the inside of the chin; it rides on the jaw."""
    point = section.head.curve("tongue", "genial_upper")
    return jaw.carry(section.head, point, section.posture["jaw_mm"])[0] + np.array([1.5, 1.0])


def _surface_points(outline: Points) -> Points:
    """Points along the upper and rear surface that the muscle hints point to."""
    tip = int(np.argmin(outline[: 3 * len(outline) // 4, 0]))
    at = np.linspace(0.16, 0.93, 11) * tip
    return outline[at.astype(int)]


def _floor_muscle(section: Section, view: View) -> list[Op]:
    genial, bone = _genial(section), section["hyoid"].mean(axis=0)
    middle = (genial + bone) / 2
    below = np.array([genial + [-0.6, -5.5], middle + [-1.5, -8.5], bone + [-3.0, -3.5]])
    above = np.array([bone + [-3.0, 2.5], middle + [0, -1.0], genial])
    matrix = spline_matrix(below, 6)
    ring = np.concatenate([matrix @ below, above])
    return [Fill(_polygon(view, ring), "mover", 0.5, name="floor of the mouth")]


def _velum(section: Section, view: View, style: Style) -> list[Op]:
    outline = section["velum"]
    path = _polygon(view, outline)
    half = len(outline) // 2
    oral, nasal = outline[4 : int(half * 0.8)], outline[::-1][4 : int(half * 0.8)]
    count = min(len(oral), len(nasal))
    middle = (oral[:count] + nasal[:count]) / 2
    inner = middle[2 : int(count * 0.82)]
    return [
        Fill(path, "mover", name="soft palate"),
        Stroke(Path.line(view.px(inner)), "mover_line", view.line(6.0), opacity=0.16),
        Stroke(Path.line(view.px(outline)), "ink", view.line(style.line("soft_palate")), name="soft palate edge"),
    ]


def _lips(section: Section, view: View, style: Style) -> list[Op]:
    ops: list[Op] = []
    for side in ("upper", "lower"):
        lip, red = section[f"{side}_lip"], section[f"{side}_red"]
        ops += [
            Fill(_polygon(view, lip), "head"),
            Fill(_muscle(lip, red, view), "mover", 0.16),
            Fill(_polygon(view, _tapered(lip, red)), "mover", name=f"{side} lip"),
            Fill(_polygon(view, _tapered(lip, red)), "mover_line", 0.30),
            *_lip_edge(side, lip, view, style),
        ]
    return ops


def _tapered(lip: Points, red: Points) -> Points:
    """The red of a lip, thinning out towards its two ends instead of being cut off square."""
    apart = shapely.distance(shapely.points(red), shapely.LineString(lip))
    ends = np.flatnonzero((apart >= RED_EDGE_MM) & (np.roll(apart, -1) < RED_EDGE_MM))
    if len(ends):
        # the ring may begin in the middle of the outer side
        red, apart = np.roll(red, -ends[0] - 1, axis=0), np.roll(apart, -ends[0] - 1)
    outer, inside = red[apart < RED_EDGE_MM], red[apart >= RED_EDGE_MM]
    if len(outer) < 5 or len(inside) == 0:
        return red
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(outer, axis=0).T))])
    ahead = np.gradient(outer, axis=0)
    across = np.stack([-ahead[:, 1], ahead[:, 0]], axis=-1)
    across = across / np.maximum(np.hypot(*across.T), 1e-9)[:, None]
    across = across * np.sign(((inside.mean(axis=0) - outer) * across).sum(axis=-1).sum())
    full = float(np.median(apart[apart >= RED_EDGE_MM]))
    thick = full * np.clip(np.sin(np.pi * run / run[-1]), 0.0, 1.0) ** 0.4
    return np.concatenate([outer, (outer + thick[:, None] * across)[::-1]])


def _lip_edge(side: str, lip: Points, view: View, style: Style) -> list[Op]:
    """Strong where the lip is seen from outside and meets the other, thin where it lies before the teeth."""
    turn = int(len(lip) * 0.70) if side == "upper" else int(len(lip) * 0.30)
    outside, inside = (lip[:turn], lip[turn - 1 :]) if side == "upper" else (lip[turn - 1 :], lip[:turn])
    return [
        Stroke(Path.line(view.px(inside)), "ink2", view.line(style.line("airway")) * 1.2),
        Stroke(Path.line(view.px(outside)), "ink", view.line(style.line("lips")), name=f"{side} lip edge"),
    ]


def _muscle(lip: Points, red: Points, view: View) -> Path:
    """The ring muscle in the body of the lip, as an oval hint."""
    middle = red.mean(axis=0) * 0.45 + lip.mean(axis=0) * 0.55
    lengthwise = lip.mean(axis=0) - red.mean(axis=0)
    lengthwise = lengthwise / max(np.hypot(*lengthwise), 1e-6)
    across = np.array([-lengthwise[1], lengthwise[0]])
    angle = np.linspace(0, 2 * np.pi, 28, endpoint=False)[:, None]
    return _polygon(view, middle + 4.6 * np.cos(angle) * lengthwise + 2.5 * np.sin(angle) * across)


def _skin(section: Section, view: View, style: Style) -> list[Op]:
    heavy = view.line(style.line("profile"))
    upper, lower = section["upper_lip"], section["lower_lip"]
    nose = np.concatenate([section["profile"], section["nose_roof"][:1]])
    sill = section["nose_floor"][:4]
    upper_skin = np.concatenate([sill[:1], upper[: int(len(upper) * 0.36)]])
    lower_skin = np.concatenate([lower[-int(len(lower) * 0.30) :], section["chin_neck"]])
    return [
        Stroke(Path.line(view.px(nose)), "ink", heavy, name="profile"),
        Stroke(Path.line(view.px(sill)), "ink", heavy * 0.6),
        Stroke(Path.line(view.px(upper_skin)), "ink", heavy),
        Stroke(Path.line(view.px(lower_skin)), "ink", heavy, name="chin and neck"),
    ]
