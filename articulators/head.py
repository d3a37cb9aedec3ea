"""A head: the fixed and moving landmarks of one midsagittal section, read from a data file and checked.

Units are millimetres in the frame stated in the package docstring. A head is a frozen value; the arrays
inside are read-only.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Annotated, Any

import numpy as np

from articulators.curves import Array
from articulators.given_file import text_given
from articulators.records import Record, Row, parsed, table
from articulators.stretches import Stretches


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


Numbers = Annotated[Array, _row]
"""A row of numbers (n,), read-only."""
Point = Annotated[Array, _point]
"""One point (2,) in mm, read-only."""
CurvePoints = Annotated[Array, _line]
"""Points (n, 2) in mm that a curve goes through, n at least 2, read-only."""


SIZES = (0.4, 1.4)
"""Of a head beside the adult man's: from a child of a year to the tallest of men, with some room."""


class _Landmarks(Row, frozen=True, eq=False):
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


class HeadName(_Landmarks, frozen=True, eq=False):
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
        low, high = SIZES
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


class TongueLandmarks(_Landmarks, frozen=True, eq=False):
    """The tongue at rest, its shape modes, tip, underside and root."""

    rest_jaw_mm: float
    rest: CurvePoints
    root_share: float
    modes: tuple[TongueMode, ...]
    curl_from: float
    curl_power: float
    strip_mm: Numbers
    strip_length_mm: float
    strip_to_foot: float
    frenulum_foot: Point
    foot_follows_tip: float
    lean: float
    foot_arrival: Point
    hermite: Numbers
    fill_mm: float
    round_mm: float
    genial_upper: Point
    genial_lower: Point
    belly: CurvePoints
    floor_gives: Numbers
    hyoid: Point
    hyoid_follows_larynx: float
    hyoid_follows_jaw: float

    def __post_init__(self) -> None:
        super().__post_init__()
        if not self.modes:
            raise ValueError("a tongue without modes has no shapes")


class JawLandmarks(_Landmarks, frozen=True, eq=False):
    """The lower jaw with its teeth, gum and floor of the mouth, at an opening of 0."""

    hinge: Point
    lower_incisor: CurvePoints
    symphysis: CurvePoints
    gum: CurvePoints
    floor: CurvePoints


class PalateLandmarks(_Landmarks, frozen=True, eq=False):
    """Hard palate, upper incisor, bone and gum."""

    surface: CurvePoints
    upper_incisor: CurvePoints
    bone: CurvePoints
    gum: CurvePoints


class NoseLandmarks(_Landmarks, frozen=True, eq=False):
    """Floor, roof and conchae of the nose."""

    floor: CurvePoints
    roof: CurvePoints
    concha_low: CurvePoints
    concha_middle: CurvePoints
    concha_high: CurvePoints


class VelumLandmarks(_Landmarks, frozen=True, eq=False):
    """The soft palate raised and lowered."""

    raised: CurvePoints
    lowered: CurvePoints

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("raised", "lowered")


class PharynxLandmarks(_Landmarks, frozen=True, eq=False):
    """Throat wall and epiglottis."""

    rear_wall: CurvePoints
    epiglottis: CurvePoints
    epiglottis_leans_mm: float
    epiglottis_folds_mm: float
    epiglottis_share: Numbers

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("epiglottis", "epiglottis_share")


class LarynxLandmarks(_Landmarks, frozen=True, eq=False):
    """Gullet and larynx; all but the gullet move with the larynx's height."""

    gullet: CurvePoints
    front: CurvePoints
    rear: CurvePoints
    vocal_fold_height: float
    thyroid: CurvePoints
    cricoid_arch: CurvePoints
    cricoid_lamina: CurvePoints
    arytenoid: CurvePoints


class LipsLandmarks(_Landmarks, frozen=True, eq=False):
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

    def __post_init__(self) -> None:
        super().__post_init__()
        self._of_one_length("upper_rest", "upper_rounded", "upper_spread", "upper_moves")
        self._of_one_length("lower_rest", "lower_rounded", "lower_spread", "lower_tucked", "lower_moves")


class ProfileLandmarks(_Landmarks, frozen=True, eq=False):
    """Skin in front, chin and neck; hints of spine and skull."""

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

    def __post_init__(self) -> None:
        super().__post_init__()
        follows = (f"chin_neck_follows_{what}" for what in ("jaw", "lip", "larynx"))
        self._of_one_length("chin_neck", *follows)


class Head(Record, frozen=True, eq=False):
    """Landmarks by table; see the data file for what each one is.

    Compared and hashed by identity, so that what is derived from a head can be cached on it.
    """

    head_of: HeadName
    tongue: TongueLandmarks
    jaw: JawLandmarks
    palate: PalateLandmarks
    nose: NoseLandmarks
    velum: VelumLandmarks
    pharynx: PharynxLandmarks
    larynx: LarynxLandmarks
    lips: LipsLandmarks
    profile: ProfileLandmarks
    places: Stretches

    @property
    def name(self) -> str:
        """The name by which other data files refer to the head."""
        return self.head_of.name

    @property
    def size(self) -> float:
        """Of the mouth beside the adult man's."""
        return self.head_of.size


def load_head(path: str | Path) -> Head:
    """Read a head from a TOML file; BadInput says in one line what is wrong with it.

    What may be wrong: a key that is unknown or missing, a table without unit, source or status, a landmark that is not
    a finite pair of numbers, shares that do not fit their curve.
    """
    path = Path(path)
    text = text_given(path, "head file")
    return parsed(text, Head, path.name)


@cache
def shipped_head(name: str) -> Head:
    """A head that comes with the package."""
    return table("articulators", f"{name}.toml", Head)


def adult_male() -> Head:
    """The head on which lengths in rules are said."""
    return shipped_head("adult_male")
