"""Landmarks of a head, one record for each table of its data file: organs, air, and what is drawn beside the organs.

Units are millimetres in the frame stated in the package docstring. The arrays are read-only.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from articulators.curves import Array
from articulators.records import Pair, Record, Row


def _numbers(value: Any, dimensions: int) -> Array:
    try:
        array = np.array(value, dtype=float)
    except (TypeError, ValueError):
        raise ValueError(f"{value!r} holds what is not a number") from None
    if array.ndim != dimensions:
        raise ValueError(f"{value!r} has {array.ndim} dimensions, not {dimensions}")
    if not np.all(np.isfinite(array)):
        raise ValueError(f"{value!r} holds a number that is not finite")
    array.setflags(write=False)
    return array


def _row(value: Any) -> Array:
    return _numbers(value, 1)


def _point(value: Any) -> Array:
    found = _numbers(value, 1)
    if len(found) != 2:
        raise ValueError(f"{value!r} is no point [x, y]")
    return found


def _line(value: Any) -> Array:
    found = _numbers(value, 2)
    if found.shape[1] != 2 or len(found) < 2:
        raise ValueError(f"{value!r} has shape {found.shape}; a curve is two or more [x, y] points")
    return found


SIZE_RANGE = (0.4, 1.4)
"""Of a head beside the adult man's: from a child of a year to the tallest of men, with some room."""
Numbers = Annotated[Array, _row]
"""A row of numbers (n,), read-only."""
Point = Annotated[Array, _point]
"""One point (2,) in mm, read-only."""
CurvePoints = Annotated[Array, _line]
"""Points (n, 2) in mm that a curve goes through, n at least 2, read-only."""


class Landmarks(Row, frozen=True, eq=False):
    """One table of a head, in mm. Compared by identity, like the head that it belongs to."""

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.unit != "mm":
            raise ValueError(f"unit {self.unit!r} is not mm")

    def _of_one_length(self, curve: str, *rows: str) -> None:
        """ValueError where rows, of shares or of points, do not have as many entries as a curve has points."""
        count = len(getattr(self, curve))
        for row in rows:
            if len(getattr(self, row)) != count:
                raise ValueError(f"{row!r} has {len(getattr(self, row))} entries for the {count} points of {curve!r}")


class HeadName(Landmarks, frozen=True, eq=False):
    """Whose head it is, and how large.

    size    of the mouth beside the adult man's: what is said of his mouth in mm is multiplied by it
    throat  the same of heights in the throat, which grows more than the mouth
    """

    name: str
    title: str
    size: float
    throat: float

    def __post_init__(self) -> None:
        super().__post_init__()
        low, high = SIZE_RANGE
        for name in ("size", "throat"):
            if not low <= getattr(self, name) <= high:
                raise ValueError(f"{name} {getattr(self, name):g} is out of range; allowed: {low:g} to {high:g}")


class TongueMode(Record, frozen=True):
    """One shape mode: weight(u) * direction, u = normalised arc length from vallecula (0) to tip (1).

    bell   (centre, width): exp(-((u - centre) / width)^2 / 2)
    ramp   (from, power): clip((u - from) / (1 - from), 0, 1)^power
    """

    name: str
    direction: tuple[float, float]
    bell: tuple[float, float] | None = None
    ramp: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if (self.bell is None) == (self.ramp is None):
            raise ValueError(f"tongue mode {self.name!r} needs one of bell or ramp")
        at, width = self.bell or self.ramp or (0.0, 0.0)
        if not 0 <= at < 1 or width <= 0:
            raise ValueError(f"tongue mode {self.name!r}: place must be in 0..1 and width above 0, got {at}, {width}")

    def weight(self, u: Array) -> Array:
        """Weight (n,) of the mode at u (n,) in 0..1."""
        if self.bell is not None:
            return np.exp(-(((u - self.bell[0]) / self.bell[1]) ** 2) / 2)
        start, power = self.ramp or (0.0, 1.0)
        return np.clip((u - start) / (1 - start), 0, 1) ** power


class TongueLandmarks(Landmarks, frozen=True, eq=False):
    """The tongue at rest, its shape modes, tip, underside and root."""

    rest_jaw_mm: float
    rest: CurvePoints
    root_share: float
    modes: tuple[TongueMode, ...]
    curl_from: float
    curl_power: float
    strip_mm: Pair
    strip_grows: float
    strip_length_mm: float
    strip_to_foot: float
    frenulum_foot: Point
    foot_follows_tip: float
    lean: float
    foot_arrival: Pair
    hermite: Numbers
    fill_mm: float
    round_mm: float
    genial_upper: Point
    genial_lower: Point
    belly_share: Numbers
    belly_sag_mm: Numbers
    floor_gives: Numbers
    hyoid: Point
    hyoid_radius_mm: float
    hyoid_follows_larynx: float
    hyoid_follows_jaw: float

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("belly_share", "belly_sag_mm")
        if not self.modes:
            raise ValueError("a tongue without modes has no shapes")


class JawLandmarks(Landmarks, frozen=True, eq=False):
    """The lower jaw with its teeth, gum and floor of the mouth, at an opening of 0."""

    hinge: Point
    lower_incisor: CurvePoints
    symphysis: CurvePoints
    gum: CurvePoints
    floor: CurvePoints


class PalateLandmarks(Landmarks, frozen=True, eq=False):
    """Hard palate, upper incisor with its rear face, bone and gum."""

    surface: CurvePoints
    incisor_behind: CurvePoints
    upper_incisor: CurvePoints
    bone: CurvePoints
    gum: CurvePoints


class NoseLandmarks(Landmarks, frozen=True, eq=False):
    """Floor, roof and conchae of the nose, its shell, and the way of the air along its floor from the port."""

    floor: CurvePoints
    roof: CurvePoints
    concha_low: CurvePoints
    concha_middle: CurvePoints
    concha_high: CurvePoints
    wing: CurvePoints
    bone: CurvePoints
    cartilage: CurvePoints
    choana: CurvePoints
    air_way: CurvePoints
    port_top_mm: float


class VelumLandmarks(Landmarks, frozen=True, eq=False):
    """The soft palate raised and lowered."""

    raised: CurvePoints
    lowered: CurvePoints

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("raised", "lowered")


class PharynxLandmarks(Landmarks, frozen=True, eq=False):
    """Throat wall and epiglottis."""

    rear_wall: CurvePoints
    epiglottis: CurvePoints
    epiglottis_leans_mm: float
    epiglottis_folds_mm: float
    epiglottis_share: Numbers

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("epiglottis", "epiglottis_share")


class LarynxLandmarks(Landmarks, frozen=True, eq=False):
    """Gullet, larynx and windpipe; all but the gullet and the foot move with the larynx's height."""

    gullet: CurvePoints
    foot: CurvePoints
    front: CurvePoints
    rear: CurvePoints
    vocal_fold_height: float
    thyroid: CurvePoints
    cricoid_arch: CurvePoints
    cricoid_lamina: CurvePoints
    arytenoid: CurvePoints
    ring_first_mm: float
    ring_pitch_mm: float
    ring_high_mm: float
    ring_wide_mm: float
    fold_mm: Pair
    ventricle_mm: Pair
    vestibular_mm: Pair


class LipsLandmarks(Landmarks, frozen=True, eq=False):
    """States of both lips and how they close."""

    upper_rest: CurvePoints
    upper_rounded: CurvePoints
    upper_spread: CurvePoints
    lower_rest: CurvePoints
    lower_rounded: CurvePoints
    lower_spread: CurvePoints
    lower_tucked: CurvePoints
    upper_moves: Numbers
    lower_moves: Numbers
    upper_share: float
    upper_limit_mm: float
    vermilion_upper: tuple[int, int]
    vermilion_lower: tuple[int, int]
    red_mm: float
    upper_root: CurvePoints
    upper_inside: Point

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("upper_rest", "upper_rounded", "upper_spread", "upper_moves")
        self._of_one_length("lower_rest", "lower_rounded", "lower_spread", "lower_tucked", "lower_moves")


class ProfileLandmarks(Landmarks, frozen=True, eq=False):
    """Skin in front, chin and neck, what closes them behind; hints of spine and skull."""

    skin: CurvePoints
    chin_neck: CurvePoints
    chin_neck_follows_jaw: Numbers
    chin_neck_follows_lip: Numbers
    chin_neck_follows_larynx: Numbers
    vertebrae_front: CurvePoints
    vertebra_size: Numbers
    axis_and_dens: CurvePoints
    atlas_arch: CurvePoints
    skull_base: CurvePoints
    sphenoid_sinus: CurvePoints
    behind_skin: CurvePoints
    neck_foot: CurvePoints

    def __post_init__(self) -> None:
        super().__post_init__()
        follows = (f"chin_neck_follows_{what}" for what in ("jaw", "lip", "larynx"))
        self._of_one_length("chin_neck", *follows)


class TissueLandmarks(Landmarks, frozen=True, eq=False):
    """Points inside tissue by which outlines that end are closed to rings."""

    gum_front: Point
    lip_root: CurvePoints
    behind_throat: CurvePoints
    behind_larynx: CurvePoints
    neck_foot: Point
    under_sill: Point
    around_air: CurvePoints


class AirLandmarks(Landmarks, frozen=True, eq=False):
    """Points in the air, borders between its regions, and where the gridlines across it lie."""

    throat: Point
    bend: Point
    level_from: Point
    level_step_mm: float
    upright_from: Point
    upright_step_mm: float
    throat_reach_mm: float
    mouth_reach_mm: float
    mouth_from: Point
    front_to_mm: float
    root_meets: Point
    palate_meets: Point
    put_out_mm: float
    before_lips_mm: float
    windpipe_mm: float
    empty_front: CurvePoints
    behind_lips: CurvePoints
    strewn: CurvePoints
    moves_within: CurvePoints


class ArchLandmarks(Landmarks, frozen=True, eq=False):
    """The roof of the mouth from below, as points (behind the edge of the upper incisors, to one side).

    row, inside          middle of the row of teeth, and the edge of the gum inside it
    tooth_along_mm, tooth_across_mm   teeth from the midline back: width along the row, depth across it
    hard_to_mm, seen_to_mm   rear edge of the hard palate; how far the roof is seen
    """

    row: CurvePoints
    inside: CurvePoints
    tooth_along_mm: Numbers
    tooth_across_mm: Numbers
    incisor_rim: CurvePoints
    rugae: CurvePoints
    soft_edge: CurvePoints
    seam_from_mm: float
    contact_from_mm: float
    ridge_mm: float
    hard_to_mm: float
    seen_from_mm: float
    seen_to_mm: float

    def __post_init__(self) -> None:
        super().__post_init__()
        if len(self.tooth_along_mm) != len(self.tooth_across_mm):
            raise ValueError(
                f"'tooth_across_mm' has {len(self.tooth_across_mm)} entries for {len(self.tooth_along_mm)} teeth"
            )


class LipsFront(Landmarks, frozen=True, eq=False):
    """The lips from the front, ajar: half the width of the mouth, height of each red, teeth from the midline."""

    half_mm: float
    upper_mm: float
    lower_mm: float
    upper_teeth_mm: Numbers
    lower_teeth_mm: Numbers
    tip_seen_mm: float


class FoldsAbove(Landmarks, frozen=True, eq=False):
    """The vocal folds from above: their length, their cartilages, the ring around them, where the folds meet."""

    fold_mm: float
    cartilage_mm: float
    ring_mm: Pair
    front_mm: float


class NamedPoints(Landmarks, frozen=True, eq=False):
    """Where parts that have a name are pointed at, the best first.

    hard_palate_mm, ridge_mm   x     blade_mm, front_mm, back_mm, root_mm   along the tongue behind its tip
    windpipe_mm          below the vocal folds
    """

    nasal_cavity: CurvePoints
    throat: CurvePoints
    hard_palate_mm: Numbers
    ridge_mm: float
    blade_mm: Numbers
    front_mm: Numbers
    back_mm: Numbers
    root_mm: Numbers
    windpipe_mm: Numbers
