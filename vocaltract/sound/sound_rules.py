"""Numbers of the sound (data/sound.toml)."""

from __future__ import annotations

from functools import cache

from articulators.records import Pair, Record, Row, table


class WaveSampling(Row, frozen=True):
    """Samples of the wave, and of the response of one shape."""

    rate_hz: int
    heard_from_cm: float
    response_samples: int
    damping_per_s: float
    band_hz: float
    lead_samples: int
    fine_to_hz: float
    coarse_from_hz: float


class Moments(Row, frozen=True):
    """How often the shape of the tract is taken."""

    step_s: float
    speech_step_s: float
    edge_s: float
    least_s: float
    silent_share: float


class Tube(Row, frozen=True):
    """The tract as sections of equal length."""

    sections: int
    shut_cm2: float
    as_narrow: float


class Below(Row, frozen=True):
    """What lies below the mouth's end of the folds."""

    windpipe_cm2: float
    folds_thick_cm: float
    unloading_share: float


class FoldPulses(Row, frozen=True):
    """How voice comes up, goes on and dies."""

    open_share: float
    unsteady_share: float
    rise_s: float
    fall_s: float
    starts_at_share: float
    peak_to_mean: float
    tilt_hz: float
    apart_open_share: float
    apart_tilt_hz: float
    lets_go_s: float


class Turbulence(Row, frozen=True):
    """Noise of air in a narrow place."""

    critical: float
    gain: float
    pressure_power: float
    area_power: float
    corner_hz: float


class Obstacle(Row, frozen=True):
    """What teeth and lips in the way of a jet make of its noise: points (cm behind the teeth, share)."""

    share_at_cm: tuple[Pair, ...]


class FoldedNose(Row, frozen=True):
    """How many times the surface of a round tube the nose has."""

    folded: float


class OpenLips(Row, frozen=True):
    """How much of the length between the lips counts for short waves."""

    hiss_share: float


class SkinWalls(Row, frozen=True):
    """Sound through the walls."""

    skin_share: float


class Melody(Row, frozen=True):
    """Pitch over a statement, as shares of the voice's own."""

    first_share: float
    last_share: float
    pitch_range_hz: Pair


class Pace(Row, frozen=True):
    """What is left at natural speed in a slowed film."""

    burst_s: float
    tap_around_s: float
    catches_up: float
    fade_s: float


class StretchRules(Row, frozen=True):
    """How a recording is slowed."""

    window_s: float
    reach_s: float
    likeness_hz: float
    joint_s: float


class SoundRules(Record, frozen=True):
    """data/sound.toml."""

    sampling: WaveSampling
    moments: Moments
    tube: Tube
    below: Below
    folds: FoldPulses
    breath: Turbulence
    hiss: Turbulence
    obstacle: Obstacle
    nose: FoldedNose
    lips: OpenLips
    walls: SkinWalls
    melody: Melody
    pace: Pace
    stretch: StretchRules


@cache
def sound_rules() -> SoundRules:
    """How the sound of a timeline is made."""
    return table("vocaltract.sound", "sound.toml", SoundRules)
