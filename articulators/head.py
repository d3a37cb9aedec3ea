"""A head: the fixed and moving landmarks of one midsagittal section, read from a data file and checked.

Units are millimetres in the frame stated in the package docstring. A head is a frozen value; the arrays
inside are read-only.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from articulators.given_file import text_given
from articulators.landmarks import (
    AirLandmarks,
    ArchLandmarks,
    FoldsAbove,
    HeadName,
    JawLandmarks,
    LarynxLandmarks,
    LipsFront,
    LipsLandmarks,
    NamedPoints,
    NoseLandmarks,
    PalateLandmarks,
    PharynxLandmarks,
    ProfileLandmarks,
    TissueLandmarks,
    TongueLandmarks,
    VelumLandmarks,
)
from articulators.records import Record, parsed, table
from articulators.stretches import Stretches


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
    tissue: TissueLandmarks
    air: AirLandmarks
    arch: ArchLandmarks
    lips_front: LipsFront
    folds_above: FoldsAbove
    named: NamedPoints
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
