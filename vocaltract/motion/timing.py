"""Times of sounds and movements (data/timing.toml): the file gives milliseconds, code takes most of them in seconds."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Annotated, Any, Literal, TypeAlias

from articulators.records import Pair, Record, Row, table
from vocaltract.airway.air import Organ

Lengths: TypeAlias = tuple[float, float]
"""Inherent and least duration in ms."""


def _from_ms(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{value!r} is no number of milliseconds")
    return float(value) / 1000


Seconds = Annotated[float, _from_ms]
"""A time in seconds, in the file in milliseconds."""


def _in_ms(field: str) -> str | None:
    """The key of a field: what is `close_s` here is `close_ms` in the file."""
    return f"{field[:-2]}_ms" if field.endswith("_s") else None


class Times(Row, frozen=True, rename=_in_ms):
    """A table in which every `..._ms` of the file is read as seconds, `..._s`."""


class Durations(Row, frozen=True):
    """How long sounds last, or the friction of affricates: inherent and least, by symbol."""

    duration_ms: Mapping[str, Lengths]


class Percent(Row, frozen=True):
    """Factors of the duration rules, in per cent."""

    final_syllable: float
    not_word_final: float
    polysyllabic: float
    not_initial_consonant: float
    unstressed: float
    vowel_before_pause: float
    vowel_before_voiced_fricative: float
    vowel_before_voiced_stop: float
    vowel_before_nasal: float
    vowel_before_voiceless: float
    vowel_before_flapped_t: float
    cluster: float
    geminate: float
    connected: float
    emphasis_vowel: float
    emphasis_consonant: float


class Tempo(Row, frozen=True):
    """Slowest and fastest rate; powers of the rate by which sounds, lags, pauses and movements go."""

    slowest: float
    fastest: float
    sound: float
    lag: float
    pause: float
    movement: float


class VoiceOnset(Times, frozen=True):
    """Voice onset times after the release, by symbol, and what changes them."""

    lag_ms: Mapping[Literal["citation", "connected"], Mapping[str, float]]
    after_s_ms: Mapping[str, float]
    unaspirated_ms: Mapping[str, float]
    lead_ms: Mapping[str, float]
    weak_share: float
    devoiced_approximant_ms: float
    final_s: Seconds
    burst_s: Seconds
    voiced_end_s: Seconds


class Movement(Times, frozen=True):
    """Times of movements that have one of their own."""

    velum_s: Seconds
    rest_s: Seconds
    overlap_share: float


class Score(Times, frozen=True):
    """How long before and after a hold the movement to it and away from it is looked for."""

    approach_s: Seconds


class RestTimes(Times, frozen=True):
    """Rest around an utterance, pauses, and a sound said alone."""

    rest_before_s: Seconds
    rest_after_s: Seconds
    alone_hold_s: Seconds
    alone_steady_s: Seconds
    thought_group_pause_s: Seconds
    final_release_s: Seconds


class Lungs(Times, frozen=True):
    """When lung pressure comes up before speech and goes down after it."""

    rise_s: Seconds
    early_open_s: Seconds
    early_voiced_s: Seconds
    early_voiceless_s: Seconds
    fall_s: Seconds
    over_s: Seconds
    over_hiss_s: Seconds


class FoldTimes(Times, frozen=True):
    """How the vocal folds part and close; see the file for each."""

    close_s: Seconds
    before_next_s: Seconds
    before_speech_s: Seconds
    short_lag_share: float
    alone_lead_s: Seconds
    voiced_friction_share: float
    full_lag_s: Seconds
    least_share: float
    before_closure_s: Seconds
    first_mm: float
    soon_s: Seconds
    before_release_s: Seconds
    soon_share: float
    after_voice_s: Seconds
    ejective_share: float
    ejective_s: Seconds
    h_share: float
    devoiced_share: float
    friction_widest: Pair
    friction_closed: float
    before_stop_share: float
    voice_before_s: Seconds
    voice_after_s: Seconds
    silent_s: Seconds
    pause_calm: float
    pause_apart: Pair
    partly_voiced_share: float
    dies_s: Seconds


class Enlarge(Row, frozen=True):
    """Factor on the give of the walls of a cavity that is enlarged on purpose."""

    voiced_stop: float


class Like(Row, frozen=True):
    """The (voiceless, voiced) sounds whose times a sound without its own takes, by manner; for stops by organ."""

    of_manner: Mapping[str, tuple[str, str]]
    of_organ: Mapping[Organ, tuple[str, str]]


class Timing(Record, frozen=True):
    """data/timing.toml."""

    segment: Durations
    friction: Durations
    percent: Percent
    tempo: Tempo
    voice_onset: VoiceOnset
    movement: Movement
    score: Score
    frame: RestTimes
    lungs: Lungs
    folds: FoldTimes
    enlarge: Enlarge
    like: Like


@cache
def timing() -> Timing:
    """The times of sounds and movements."""
    return table("vocaltract.motion", "timing.toml", Timing)
