"""Numbers of the air of speech: lung pressure, openings to areas, give of the walls (data/air.toml)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal, TypeAlias

from articulators.records import Record, Row, table

Organ: TypeAlias = Literal["lips", "coronal", "dorsal"]
"""What shuts the mouth: the lips, tip or blade of the tongue, or what lies behind them (body or root)."""


class Gas(Row, frozen=True):
    """The air itself and the pressure that drives it."""

    density_kg_m3: float
    lung_pressure_pa: float
    sound_m_s: float


class SoftWalls(Row, frozen=True):
    """Soft tissue around the mouth as a spring."""

    stiffness_pa_m: float


class Behind(Record, frozen=True):
    """The air behind one organ that shuts the mouth, and the soft wall around it."""

    volume_cm3: float
    yielding_cm2: float


class Cavity(Row, frozen=True):
    """What lies behind each organ that shuts the mouth."""

    behind: Mapping[Organ, Behind]


class GlottisNumbers(Row, frozen=True):
    """The opening between the folds, and what they need to vibrate."""

    length_mm: float
    voicing_area_cm2: float
    voicing_gap_mm: float
    threshold_pa: float
    starts_pa: float


class FeltVibration(Row, frozen=True):
    """Vibration as a hand, or lips and tongue, feel it."""

    full_pa: float
    throat_open: float
    contact_least: float
    open_cm2: float


class OpeningRule(Row, frozen=True):
    """From gaps to areas."""

    coronal_width_cm: float
    dorsal_alpha: float
    lips_width_cm: float
    port_width_cm: float
    throat_width_cm: float
    beside_tongue_cm2: float


class SpeechAir(Record, frozen=True):
    """data/air.toml."""

    air: Gas
    walls: SoftWalls
    cavity: Cavity
    glottis: GlottisNumbers
    felt: FeltVibration
    opening: OpeningRule


@cache
def speech_air() -> SpeechAir:
    """The numbers of the air."""
    return table("vocaltract.airway", "air.toml", SpeechAir)
