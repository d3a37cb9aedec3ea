"""The vocal folds from above, drawn to scale within a box (x, y, width, height) in px.

Shapes carry every state; colour only adds. Proportions: estimated from anatomy texts, from memory; a drawing aid,
not measured data.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.landmarks import FoldsAbove
from renders.insets.lines import Place, read_only
from renders.paper.picture import Box, Dots, Fill, Op, Path, Stroke
from renders.paper.style import Style
from renders.wording import line as wording
from vocaltract.motion.limits import folds_together, vibrates

SHAPES_IN_MM = 26.0  # height of the ring that thicknesses and gaps are told for; in another they are in proportion
ROOM_MM = 2.0  # around the ring, both sides together


def view_mm(sizes: FoldsAbove) -> tuple[float, float]:
    """Width and height that the view takes: the ring and a little room, in mm of `SHAPES_IN_MM`."""
    return sizes.ring_mm[0] * SHAPES_IN_MM / sizes.ring_mm[1] + ROOM_MM, SHAPES_IN_MM + ROOM_MM


def folds_word(gap_mm: float, voice: float) -> wording.Line:
    """What the folds do, vibrating, together or apart: gap in mm between the folds at their back end, voice 0..1."""
    if vibrates(voice):
        return wording.Line("folds.vibrating")
    return wording.Line("folds.together" if folds_together(gap_mm) else "folds.apart")


def folds_view(sizes: FoldsAbove, gap_mm: float, voice: float, wave: float, box: Box, style: Style) -> tuple[Op, ...]:
    """The vocal folds of a head from above, front at the left.

    gap_mm  between the folds at their back end: 0 together, about 3 aspirated, 9 quiet breathing
    voice   0..1; the folds carry waves while they vibrate      wave  0..1, phase of their slow drift
    """
    made = _larynx(sizes, float(gap_mm), box)
    scale = float(made.place.scale[1])
    line = style.line("cartilage", 4.0 * scale / 2.0)
    edge = max(1.0, style.line("tongue") * scale / 2.4)
    waving = bool(vibrates(voice))
    ops: list[Op] = [
        Fill(made.hole, "head"),
        Fill(made.folds, "voicetint" if waving else "mover"),
        Fill(made.glottis, "airway"),
        Stroke(made.medial, "ink", edge),
        Stroke(made.lateral, "mover_line", max(0.8, 0.5 * edge)),
        Fill(made.cartilages, "cart"),
        Stroke(made.cartilages, "ink", line),
    ]
    if waving:
        ops.append(Stroke(_waves(sizes, gap_mm, wave, made.place), "voice", 0.9 * edge))
    elif not folds_together(gap_mm):
        ops.append(_air_dots(sizes, gap_mm, made.place))
    # the ring comes last: it covers what reaches under it, which saves a clip
    return (*ops, Fill(made.ring, "cart"), Stroke(made.ring, "ink", line))


@dataclass(frozen=True)
class _Larynx:
    """What of the folds from above stays while their gap does: left and right of a kind in one path, in px."""

    place: Place
    hole: Path
    ring: Path
    folds: Path
    glottis: Path
    medial: Path
    lateral: Path
    cartilages: Path


@lru_cache(maxsize=8)
def _larynx(sizes: FoldsAbove, gap_mm: float, box: Box) -> _Larynx:
    x, y, w, h = box
    own = sizes.ring_mm[1] / SHAPES_IN_MM
    wide_mm, high_mm = sizes.ring_mm[0] / own, SHAPES_IN_MM
    view_wide, view_high = view_mm(sizes)
    scale = min(w / view_wide, h / view_high)
    wide = min(w / view_wide, 1.25 * scale)
    middle, size = (x + w / 2, y + h / 2), (0.5 * wide_mm, 0.5 * high_mm)
    place = Place(np.array(middle), np.array([wide, scale]))
    rim = Path.ellipse(*middle, size[0] * wide, size[1] * scale)
    # turned over, so that it runs the other way round and leaves a hole in the ring
    hole = Path.ellipse(middle[0] + 0.4 * wide, middle[1], (size[0] - 3.4) * wide, -(size[1] - 3.0) * scale)
    assert rim.codes is not None and hole.codes is not None
    ring = Path(np.concatenate([rim.vertices, hole.vertices]), np.concatenate([rim.codes, hole.codes]))
    parts = _fold_parts(sizes)
    medial, lateral, cartilages = (place.px(_both(part.x, 0.5 * gap_mm * part.share + part.away)) for part in parts)
    return _Larynx(
        place=place, hole=hole, ring=ring,
        folds=Path.bundle(np.concatenate([medial, lateral], axis=1), closed=True),
        glottis=Path.polygon(np.concatenate([medial[0], medial[1, ::-1]])),
        medial=Path.bundle(medial), lateral=Path.bundle(lateral), cartilages=Path.bundle(cartilages, closed=True),
    )  # fmt: skip


def _fold_x(sizes: FoldsAbove, share: Any) -> Any:
    """Where a share of the folds' length lies, from their front end, in mm from the middle of the view."""
    return (sizes.front_mm + sizes.fold_mm * share) * SHAPES_IN_MM / sizes.ring_mm[1]


_SIDES = np.array([[-1.0], [1.0]])


def _both(x: Array, y: Array) -> Array:
    """Points (2, n, 2) of a line and its mirror image, the one with negative y first."""
    points = np.empty((2, len(x), 2))
    points[..., 0], points[..., 1] = x, _SIDES * y
    return points


@dataclass(frozen=True)
class _Part:
    """A line of a fold in mm: x (n,), and how far from the midline: a share (n,) of half the gap and some more (n,)."""

    x: Array
    share: Array
    away: Array


@lru_cache(maxsize=8)
def _fold_parts(sizes: FoldsAbove) -> tuple[_Part, _Part, _Part]:
    """The free edge of a fold from front to back, its outer edge back again, and its cartilage."""
    long = sizes.cartilage_mm * SHAPES_IN_MM / sizes.ring_mm[1]
    t, s = np.linspace(0.0, 1.0, 24), np.linspace(0.0, 1.0, 10)[1:]
    x, end = _fold_x(sizes, 1.0), _fold_x(sizes, 1.0) + long
    # the cartilages swing apart: widest where the fold ends, nearer together behind it
    medial = np.concatenate([_fold_x(sizes, t), x + long * s]), np.concatenate([t, 1 - 0.45 * s**1.6]), np.full(33, 0.3)
    t = t[::-1]
    body = 4.6 * np.sin(np.pi * np.clip(0.08 + 0.84 * t, 0, 1)) ** 0.6 + 0.6
    far = 0.55
    cartilage = np.array([
        [x - 0.6, 1.0, 0.3], [x + 0.4 * long, 1.0, 4.7], [end - 0.6, far, 5.3],
        [end, far, 2.9], [end, far, 0.3],
        [x + 0.5 * long - 0.1, 0.8 + 0.2 * far, 0.3],
    ]).T  # fmt: skip
    one, two, three = (
        _Part(*(read_only(np.array(row)) for row in rows))
        for rows in (medial, (_fold_x(sizes, t), t, 0.3 + body), cartilage)
    )
    return one, two, three


@cache
def _wave_rows() -> tuple[Array, Array, Array]:
    """Of the waves, two on each fold (2 rows, 2 sides, n): place along the fold, phase without drift, height in mm."""
    t = np.linspace(0.08, 0.86, 49)
    row = np.arange(2)[:, None, None]
    phase = 2 * np.pi * (4.0 * t - _SIDES * 0.25) + row * 0.8 * np.pi
    high = np.array([0.62, 0.5])[row] * np.sin(np.pi * (t - 0.08) / 0.78) ** 0.4
    return read_only(t), read_only(phase), read_only(high)


def _waves(sizes: FoldsAbove, gap_mm: float, wave: float, place: Place) -> Path:
    """Two waves on each fold."""
    t, phase, high = _wave_rows()
    points = np.empty((*phase.shape, 2))
    points[..., 0] = _fold_x(sizes, t)
    rest = 0.5 * gap_mm * t + 0.3 + np.array([1.7, 3.7])[:, None, None]
    points[..., 1] = _SIDES * rest + high * np.sin(phase - 2 * np.pi * wave)
    return Path.bundle(place.px(points).reshape(4, -1, 2))


def _air_dots(sizes: FoldsAbove, gap_mm: float, place: Place) -> Op:
    x = np.array([0.45, 0.62, 0.79, 0.95, 1.14])
    room = 0.5 * gap_mm * np.minimum(x, 1.0) * np.where(x > 1.0, 0.8, 1.0) + 0.2
    radius = np.minimum(0.62 * room, 0.85) * place.scale[1]
    keep = radius > 0.55
    points = np.stack([_fold_x(sizes, x), np.zeros(len(x))], axis=-1)
    return Dots(place.px(points)[keep], radius[keep], "air")
