"""Numbers of the sound and of the voices (data/sound.toml, data/voices.toml)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table


class Sampling(Row, frozen=True):
    """Samples of the wave, and of the response of one shape."""

    rate_hz: int
    response_samples: int
    damping_per_s: float
    band_hz: float
    lead_samples: int
    fine_to_hz: float
    coarse_from_hz: float


class Moments(Row, frozen=True):
    """How often the shape of the tract is taken."""

    step_s: float
    edge_s: float
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


class FoldPulses(Row, frozen=True):
    """How voice comes up, goes on and dies."""

    rise_s: float
    fall_s: float
    starts_at_share: float
    peak_to_mean: float
    tilt_hz: float
    apart_open_share: float
    apart_tilt_hz: float


class Turbulence(Row, frozen=True):
    """Noise of air in a narrow place."""

    critical: float
    gain: float
    pressure_power: float
    area_power: float
    corner_hz: float


class TeethAhead(Row, frozen=True):
    """What teeth in the way of a jet add to its noise, by how far behind them it comes from."""

    free_share: float
    from_cm: float
    full_cm: float
    fades_cm: float


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


class SoundRules(Record, frozen=True):
    """data/sound.toml."""

    sampling: Sampling
    moments: Moments
    tube: Tube
    below: Below
    folds: FoldPulses
    breath: Turbulence
    hiss: Turbulence
    teeth: TeethAhead
    nose: FoldedNose
    lips: OpenLips
    walls: SkinWalls
    melody: Melody


class Voice(Row, frozen=True):
    """The folds of one speaker."""

    pitch_hz: float
    open_share: float
    unsteady_share: float


class Voices(Record, frozen=True):
    """data/voices.toml."""

    voices: Mapping[str, Voice]


@cache
def sound_rules() -> SoundRules:
    """How the sound of a timeline is made."""
    return table("vocaltract.sound", "sound.toml", SoundRules)


def voice_names() -> tuple[str, ...]:
    """Names of the voices."""
    return tuple(_voices())


def voice_of(name: str) -> Voice:
    """A voice by its name; BadInput for a name that none has."""
    known = _voices()
    if name not in known:
        raise BadInput(f"voice '{name}' is unknown; allowed: {', '.join(known)}{nearest(name, known)}")
    return known[name]


@cache
def _voices() -> Mapping[str, Voice]:
    return table("vocaltract.sound", "voices.toml", Voices).voices
