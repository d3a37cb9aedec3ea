"""How large marks are and where they stand: data/marks.toml as typed records, in mm of the head."""

from __future__ import annotations

from articulators.records import Record, Row, table

Offset = tuple[float, float]


class FlowLook(Row, frozen=True):
    """Lines along which air flows, and the arrowheads on them."""

    lines: tuple[float, ...]
    arrow_spacing_mm: float
    arrow_mm: float
    arrow_room_mm: float
    arrows_room_mm: float
    arrow_half_angle_deg: float
    arrow_line_share: float
    arrow_along_mm: float
    arrow_clear_mm: float
    start_mm: float
    end_mm: float
    breathed_dash_mm: tuple[float, float]
    travel_mm_per_ml: float
    step_mm: float
    margin_mm: float
    margin_share: float
    all_lines_mm: float
    one_line_mm: float
    forward_per_rise: float
    least_mm: float


class CrowdLook(Row, frozen=True):
    """Arrowheads behind a closure."""

    first_mm: float
    growth: float
    most: int
    lag_share: float
    lag_line_share: float
    full_ml_s: float


class FoldsLook(Row, frozen=True):
    """Room that lines of air leave for the folds."""

    below_mm: float
    above_waves_mm: float
    above_mm: float


class NoseLook(Row, frozen=True):
    """Lines through the nose."""

    lines: tuple[float, ...]
    lift_mm: tuple[float, ...]
    below_tip_mm: float


class JetLook(Row, frozen=True):
    """What leaves the mouth or the nose."""

    burst_deg: float
    breath_deg: float
    voiced_deg: float
    hiss_deg: float
    nose_deg: float
    shortest_mm: float
    longest_mm: float
    nose_shortest_mm: float
    nose_longest_mm: float
    direction_deg: float
    nose_direction_deg: float


class PressureLook(Row, frozen=True):
    """Tint and dots of air that is held."""

    tint_least: float
    dots: int
    dot_mm: float
    density: float
    clear_share: float
    reach_mm: float


class VoiceLook(Row, frozen=True):
    """Waves at the folds and on the neck."""

    waves: int
    drift_hz: float
    waves_from: float


class ContactLook(Row, frozen=True):
    """When outlines touch."""

    seen_within_mm: float


class FeltLook(Row, frozen=True):
    """Where vibration at a contact is marked."""

    lips_mm: tuple[Offset, Offset]
    coronal_mm: tuple[Offset, Offset]
    dorsal_mm: tuple[Offset, Offset]

    def of(self, organ: str) -> tuple[Offset, Offset]:
        """For the contact of "lips", "coronal" or "dorsal"."""
        return {"lips": self.lips_mm, "coronal": self.coronal_mm, "dorsal": self.dorsal_mm}[organ]


class OverlayLook(Row, frozen=True):
    """Two shapes of the mouth laid over each other."""

    hatched: tuple[str, ...]
    lines: tuple[str, ...]
    first_px: float
    second_px: float
    casing_px: float
    dash_mm: tuple[float, float]
    hatch_mm: float
    hatch_px: float
    hatch_opacity: float


class Dimensions(Record, frozen=True):
    """data/marks.toml."""

    flow: FlowLook
    crowd: CrowdLook
    folds: FoldsLook
    nose: NoseLook
    jet: JetLook
    pressure: PressureLook
    voice: VoiceLook
    contact: ContactLook
    felt: FeltLook
    overlay: OverlayLook


def dimensions() -> Dimensions:
    """The numbers of the marks, with their sources."""
    return table("renders.marks", "marks.toml", Dimensions)
