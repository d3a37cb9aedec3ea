"""What a plate of the head hints at beside the organs that are computed: data/plate.toml as typed records."""

from __future__ import annotations

from articulators.records import Pair, Record, Row, table


class NoseHints(Row, frozen=True):
    """How far a turbinate's shadow falls."""

    turbinate_shadow_mm: float


class ThroatHints(Row, frozen=True):
    """How deep lining and muscle of the throat's wall are."""

    lining_mm: float
    constrictor_mm: float


class BoneHints(Row, frozen=True):
    """How thick the firm rind of a bone is."""

    cortex_mm: float


class TongueHints(Row, frozen=True):
    """Fibres of the tongue that fan out from the chin."""

    genial_off_mm: Pair
    fibres: int
    fibre_points: int
    fibre_root_mm: Pair
    fibre_between_share: Pair
    fibre_bend_share: float
    fibre_from_share: float
    fibre_to_share: float
    fibre_within_mm: float


class FloorHints(Row, frozen=True):
    """How the bare floor of the mouth rises to the tongue."""

    rises_mm: float
    rises_share: float


class FrontAirHints(Row, frozen=True):
    """The air between the lips."""

    bows_share: float


class LipHints(Row, frozen=True):
    """How far from a lip's outline its red still counts as lying on it; how deep the skin is."""

    red_reach_mm: float
    skin_mm: float


class FocusHints(Row, frozen=True):
    """How much stronger lines are near the places that act."""

    reach_mm: float
    elsewhere_share: float
    more_share: float


class HatchingHints(Row, frozen=True):
    """How far the lines of hatched tissue lie apart."""

    pitch_mm: float


class PlateHints(Record, frozen=True):
    """data/plate.toml."""

    nose: NoseHints
    throat: ThroatHints
    bone: BoneHints
    tongue: TongueHints
    floor: FloorHints
    front_air: FrontAirHints
    lips: LipHints
    focus: FocusHints
    hatching: HatchingHints


def plate() -> PlateHints:
    """data/plate.toml."""
    return table(__package__, "plate.toml", PlateHints)
