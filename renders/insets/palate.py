"""Where the tongue touches the roof of the mouth, seen from below: computed from a section, drawn as a linguogram."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import shapely

from articulators.curves import Array, Bools, spline_matrix
from articulators.landmarks import ArchLandmarks
from articulators.records import Record, Row, table
from articulators.section import Section
from renders.paper.picture import Box, Dots, Fill, Group, Op, Path, Stroke
from renders.paper.style import Style
from renders.wording.line import Line
from vocaltract.airway.limits import sides_open

# widths of lines by that around a tooth: around what is touched; on the front teeth, beneath and over it
TOUCH_EDGE, RIM_EDGES = 1.1, (4.4, 2.6)
DEPTH_STEP_MM = 0.75
NO_TOUCH = Line("palate.no_touch")


class Spread(Row, frozen=True):
    """The rule by which a posture's contact is spread sideways."""

    half_width_mm: float
    power: float
    far_mm: float
    touches_mm: float
    lateral_share: float
    teeth_mm: float
    least_rail_mm: float
    narrow_groove_mm: float
    wide_groove_mm: float


class PalateView(Record, frozen=True):
    """data/palate.toml."""

    contact: Spread


def spread() -> Spread:
    """The rule, with its source."""
    return table("renders.insets", "palate.toml", PalateView).contact


@dataclass(frozen=True)
class PalateContact:
    """What of the roof the tongue touches.

    depth_mm  (n,) behind the incisors' edge          half_mm  (n,) half the width of the roof there
    gap_mm    (n,) below the roof in the midline      from_mm  (n,) contact from this far beside the midline ...
    to_mm     (n,) ... to this far; none where from >= to
    teeth     whether the tongue touches the upper front teeth
    """

    depth_mm: Array
    half_mm: Array
    gap_mm: Array
    from_mm: Array
    to_mm: Array
    teeth: bool

    @property
    def across(self) -> Bools:
        """Where (n,) contact reaches over the midline."""
        return (self.from_mm <= 0) & (self.to_mm > 0)

    def sealed(self) -> bool:
        """Contact over the midline with both sides shut behind it, or shut from edge to edge."""
        full = self.across & (self.to_mm >= 0.97 * self.half_mm)
        return bool(full.any())

    def word(self) -> Line:
        """What of the roof is touched, as a row of the languages' table of the palate."""
        if self.across.any():
            return Line("palate.shut_all_round" if self.sealed() else "palate.sides_open")
        rule = spread()
        rails = self.to_mm - self.from_mm > rule.least_rail_mm
        if not rails.any():
            return Line("palate.at_the_teeth") if self.teeth else NO_TOUCH
        narrow = float(np.min(np.where(rails, 2 * self.from_mm, np.inf)))
        if self.teeth:
            return Line("palate.at_the_teeth")
        if narrow < rule.narrow_groove_mm:
            return Line("palate.narrow_groove")
        return Line("palate.wide_groove" if narrow < rule.wide_groove_mm else "palate.sides_touch")


@lru_cache(maxsize=8)
def _inside(arch: ArchLandmarks) -> tuple[Array, Array]:
    line = spline_matrix(arch.inside, 8) @ arch.inside
    return line[:, 0], line[:, 1]


def palate_contact(section: Section) -> PalateContact:
    """The contact of one section's tongue with the roof of its mouth."""
    rule, arch = spread(), section.head.arch
    depth = np.arange(arch.contact_from_mm, arch.seen_to_mm, DEPTH_STEP_MM)
    gap = _gaps(section, depth)
    half = np.interp(depth, *_inside(arch))
    wide = half / np.interp(arch.ridge_mm, *_inside(arch))
    start = rule.half_width_mm * np.maximum(gap, 0.0) ** rule.power * wide
    touching = gap <= rule.touches_mm
    start = np.where(touching, 0.0, np.minimum(start, half))
    start = np.where(gap > rule.far_mm, half, start)
    end = half.copy()
    if sides_open(section.posture["sides_open"]):
        end = np.where(touching, rule.lateral_share * half, 0.0)
    # the soft palate hangs free at its sides: what touches there does so over the midline
    near = depth <= arch.hard_to_mm + 1.0
    behind = ~near & bool(touching[~near].any())
    rail = (near | behind) & ((end - start > rule.least_rail_mm) | (touching & (end > 0)))
    end = np.where(rail, end, start)
    tooth = shapely.Polygon(section["upper_incisor"])
    teeth = bool(shapely.distance(shapely.LineString(section["tongue"]), tooth) < rule.teeth_mm)
    return PalateContact(depth, half, gap, start, end, teeth and not touching[depth > 7].any())


def _gaps(section: Section, depth: Array) -> Array:
    """How far the tongue stands below the roof in the midline (n,), inf where there is no tongue."""
    palate, velum = section["palate"], section["velum"]
    oral = velum[: int(np.argmin(velum[:, 1]))]
    oral = oral[np.concatenate([[True], np.diff(np.maximum.accumulate(oral[:, 0])) > 0])]
    roof_x, roof_y = np.concatenate([palate[:, 0], oral[1:, 0]]), np.concatenate([palate[:, 1], oral[1:, 1]])
    roof = np.interp(depth, roof_x, roof_y)
    line = section["tongue"]
    a, b = line[:-1], line[1:]
    low, high = np.minimum(a[:, 0], b[:, 0]), np.maximum(a[:, 0], b[:, 0])
    wide = np.where(b[:, 0] == a[:, 0], 1.0, b[:, 0] - a[:, 0])
    y = a[:, 1] + (depth[:, None] - a[:, 0]) / wide * (b[:, 1] - a[:, 1])
    y = np.where((depth[:, None] >= low) & (depth[:, None] <= high), y, -np.inf)
    return roof - y.max(axis=1)


def palate_word(section: Section) -> Line:
    """What the view shows, in two or three words."""
    return palate_contact(section).word()


def contact_view(section: Section, box: Box, style: Style, flow: bool = False) -> tuple[Op, ...]:
    """The roof of the mouth from below, front teeth at the top, with what the tongue touches.

    `box` (x, y, width, height) in px; `flow`: arrows where air passes through the contact.
    """
    x, y, w, h = box
    arch = section.head.arch
    top, bottom = arch.seen_from_mm, arch.seen_to_mm + 1.5
    scale = min(w / 66.0, h / (bottom - top))

    def px(points: object) -> Array:
        """From (depth, aside) in mm."""
        mm = np.asarray(points, dtype=float)
        return np.stack(
            [x + w / 2 + scale * mm[..., 1], y + h / 2 + scale * (mm[..., 0] - (top + bottom) / 2)], axis=-1
        )

    edge = edge_px(scale, style)
    found = palate_contact(section)
    return (*_roof(arch, px, edge), *_touched(found, px, style, edge, scale), *_row(arch, found, px, edge),
            *(_through(found, px, style, edge, scale) if flow else ()))  # fmt: skip


def edge_px(scale: float, style: Style) -> float:
    """Width of the line around a tooth at a scale in px per mm."""
    return max(1.0, style.line("tooth") * scale / 2.0)


def _roof(arch: ArchLandmarks, px: Any, edge: float) -> list[Op]:
    depth, half = _inside(arch)
    depth, half = depth[depth <= arch.hard_to_mm], half[depth <= arch.hard_to_mm]
    both = np.concatenate([np.stack([depth, half], -1), np.stack([depth, -half], -1)[::-1]])
    edge_of = spline_matrix(arch.soft_edge, 8) @ arch.soft_edge
    soft = np.concatenate([edge_of, edge_of[::-1] * [1.0, -1.0]])
    seam = np.array([[arch.seam_from_mm, 0.0], [arch.soft_edge[0, 0], 0.0]])
    ops: list[Op] = [
        Fill(Path.polygon(px(soft)), "mover", 0.75),
        Fill(Path.polygon(px(both)), "lining", name="roof of the mouth"),
        Stroke(Path.polygon(px(both)), "mover_line", 0.6 * edge, opacity=0.6),
    ]
    ridges = []
    for at, wide in arch.rugae:
        z = np.linspace(1.2, wide, 9)
        for side in (-1, 1):
            ridges.append(px(np.stack([at + 0.05 * (z - 1) ** 2 - 0.5 * np.sin(z), side * z], -1)))
    ops.append(Stroke(Path.lines([px(seam), *ridges]), "mover_line", 0.5 * edge, opacity=0.32))
    return ops


def _teeth(arch: ArchLandmarks) -> list[tuple[Array, bool]]:
    """Outlines (n, 2) of the teeth of both sides, and whether each is a front tooth."""
    line = spline_matrix(arch.row, 16) @ arch.row
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    made = []
    at = 0.0
    angle = np.linspace(0, 2 * np.pi, 28, endpoint=False)
    # a rounded square: between an ellipse and a rectangle
    shape = np.stack([np.sign(np.cos(angle)) * np.abs(np.cos(angle)) ** 0.7,
                      np.sign(np.sin(angle)) * np.abs(np.sin(angle)) ** 0.7], -1)  # fmt: skip
    for number, (along, across) in enumerate(zip(arch.tooth_along_mm, arch.tooth_across_mm, strict=True)):
        s = at + along / 2
        centre = np.array([np.interp(s, run, line[:, 0]), np.interp(s, run, line[:, 1])])
        ahead = np.array([np.interp(s + 1, run, line[:, 0]), np.interp(s + 1, run, line[:, 1])]) - centre
        ahead = ahead / np.hypot(*ahead)
        aside = np.array([-ahead[1], ahead[0]])
        tooth = centre + shape[:, :1] * along / 2 * 0.97 * ahead + shape[:, 1:] * across / 2 * aside
        made += [(tooth, number < 3), (tooth * [1.0, -1.0], number < 3)]
        at += along
    return made


def rim(arch: ArchLandmarks) -> Array:
    """Where the tongue touches the upper front teeth (n, 2): behind their edge, and aside, in mm."""
    return spline_matrix(arch.incisor_rim, 8) @ arch.incisor_rim


def _row(arch: ArchLandmarks, found: PalateContact, px: Any, edge: float) -> list[Op]:
    ops: list[Op] = []
    for tooth, front in _teeth(arch):
        path = Path.polygon(px(tooth))
        ops += [Fill(path, "tooth"), Stroke(path, "ink", edge)]
        centre = tooth.mean(axis=0)
        inner = centre + 0.52 * (tooth - centre)
        if not front:
            ops.append(Stroke(Path.polygon(px(inner)), "rule", 0.6 * edge, opacity=0.6))
    if found.teeth:
        path, (under, over) = Path.line(px(rim(arch))), RIM_EDGES
        ops += [Stroke(path, "contact_edge", under * edge), Stroke(path, "contact", over * edge)]
    return ops


def _shape(found: PalateContact) -> shapely.Geometry:
    """The area that is touched, in (depth, aside) mm."""
    parts = []
    on = found.to_mm > found.from_mm
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(int)))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        if last - first < 2:
            continue
        d, near, far = (v[first:last] for v in (found.depth_mm, found.from_mm, found.to_mm))
        rail = np.concatenate([np.stack([d, near], -1), np.stack([d, far], -1)[::-1]])
        parts += [shapely.Polygon(rail).buffer(0.25), shapely.Polygon(rail * [1.0, -1.0]).buffer(0.25)]
    whole = shapely.union_all(parts) if parts else shapely.Polygon()
    return shapely.buffer(shapely.buffer(whole, -0.9), 0.9) if not whole.is_empty else whole


def _touched(found: PalateContact, px: Any, style: Style, edge: float, scale: float) -> list[Op]:
    shape = _shape(found)
    if shape.is_empty:  # an empty polygon still has a ring, of no points
        return []
    rings = [shapely.get_coordinates(r) for g in shapely.get_parts(shape) if g.geom_type == "Polygon"
             for r in (g.exterior, *g.interiors)]  # fmt: skip
    path = Path.polygons([px(ring) for ring in rings])
    ops: list[Op] = [Fill(path, "contact", name="touched by the tongue")]
    if style.hex("contact") == style.hex("airway"):
        # without a colour of its own contact is dotted
        x0, _, x1, y1 = shape.bounds
        grid = np.stack(np.meshgrid(np.arange(x0, x1, 1.7), np.arange(-y1, y1, 1.7)), -1).reshape(-1, 2)
        inside = shapely.contains_xy(shapely.buffer(shape, -0.5), grid[:, 0], grid[:, 1])
        if inside.any():
            ops.append(Dots(px(grid[inside]), 0.42 * scale, "ink"))
    ops.append(Stroke(path, "contact_edge", TOUCH_EDGE * edge))
    return ops


def _through(found: PalateContact, px: Any, style: Style, edge: float, scale: float) -> list[Op]:
    """Arrows of air where it passes: through the groove, or beside the tongue."""
    runs: list[Array] = []
    if found.across.any():
        if found.sealed():
            return []
        at = found.depth_mm[found.across]
        d = np.linspace(at.max() + 16, max(at.min() - 0.5, 6.0), 20)
        for side in (-1, 1):
            share = np.linspace(0.92, 0.84, 20)
            edge_mm = share * np.interp(d, found.depth_mm, found.half_mm)
            runs.append(np.stack([d, side * edge_mm], -1))
    else:
        on = found.to_mm > found.from_mm
        if not on.any():
            return []
        d = np.linspace(min(found.depth_mm[on].max(), 44.0), max(found.depth_mm[on].min() - 2.0, 3.0), 20)
        runs.append(np.stack([d, np.zeros(20)], -1))
    heads = []
    for run in runs:
        tip, back = run[-1], run[-3]
        along = (tip - back) / np.hypot(*(tip - back))
        aside = np.array([-along[1], along[0]])
        heads.append(np.stack([tip - 3.0 * along + 1.9 * aside, tip, tip - 3.0 * along - 1.9 * aside]))
    wide = max(1.6, style.line("air") * scale / 2.2)
    casing = ("panel", wide + 2.0 * edge)
    path = Path.lines([px(r) for r in (*runs, *heads)])
    return [Group((Stroke(path, "air", wide, casing=casing, name="air passes"),))]
