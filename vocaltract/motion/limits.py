"""Limits by which the facts of an instant are decided, and each such decision once: for air, words and pictures alike.

Every decision takes a number or an array, and gives a truth value or an array of them.
"""

from __future__ import annotations

import numpy as np

from articulators.curves import Array, Bools
from articulators.records import Record, Row, table
from vocaltract.airway.air import speech_air


class PhaseLimits(Row, frozen=True):
    """How phases are told apart."""

    approach_s: float
    release_s: float
    let_go_share: float
    shortest_s: float
    ready_s: float


class PressureLimits(Row, frozen=True):
    """Of pressure behind a closure, as a share of lung pressure."""

    shown_share: float
    compared_s: float
    rising_share: float


class FlowLimits(Row, frozen=True):
    """Of air that flows out."""

    shown_ml_s: float
    full_ml_s: float


class HissLimits(Row, frozen=True):
    """Of a narrowing through which air hisses."""

    flow_ml_s: float


class BurstLimits(Row, frozen=True):
    """How long a burst lasts, and how long a film shows it."""

    lasts_s: float
    film_s: float
    fade_s: float


class BreathLimits(Row, frozen=True):
    """Of air that leaves the mouth without voice."""

    puff_ml_s: float
    puff_within_s: float
    said_ml_s: float
    full_ml_s: float
    voice_below: float


class VoiceLimits(Row, frozen=True):
    """Of vibration, 0..1."""

    vibrates_from: float


class PortLimits(Row, frozen=True):
    """Of the way to the nose."""

    open_mm: float


class ThroatLimits(Row, frozen=True):
    """Of the gap between the root of the tongue and the throat wall."""

    narrow_mm: float


class LipLimits(Row, frozen=True):
    """Of rounding and spreading, 0..1."""

    rounded_from: float
    rounded_fully_from: float
    spread_from: float


class KeyMomentLimits(Row, frozen=True):
    """Where key moments lie."""

    first_s: float
    breath_at_share: float
    curve_shows_ml_s: float
    apart_s: float


class KeyMomentRank(Row, frozen=True):
    """Which key moments stay: the greater, the longer."""

    both: int
    hold: int
    breath: int
    hiss: int
    hold_nasal: int
    hold_tap: int
    release: int
    vowel: int
    catch: int
    hiss_after: int
    glide: int
    sides: int
    vowel_ends: int
    release_nasal: int
    release_last: int
    release_last_seen: int
    approach: int
    voice: int
    rest: int
    unstressed: int
    overlapped: int


class MotionLimits(Record, frozen=True):
    """data/limits.toml."""

    phase: PhaseLimits
    pressure: PressureLimits
    flow: FlowLimits
    hiss: HissLimits
    burst: BurstLimits
    breath: BreathLimits
    voice: VoiceLimits
    port: PortLimits
    throat: ThroatLimits
    lips: LipLimits
    key_moment: KeyMomentLimits
    rank: KeyMomentRank


def motion_limits() -> MotionLimits:
    """The limits, with their sources."""
    return table("vocaltract.motion", "limits.toml", MotionLimits)


def flows(flow_ml_s: Array | float) -> Bools:
    """Whether (...) so much air flows that it is spoken of and drawn."""
    return np.asarray(flow_ml_s) >= motion_limits().flow.shown_ml_s


def vibrates(voice: Array | float) -> Bools:
    """Whether (...) the folds vibrate; `voice` 0..1 as a timeline fades it."""
    return np.asarray(voice) >= motion_limits().voice.vibrates_from


def folds_together(gap_mm: Array | float) -> Bools:
    """Whether (...) the folds are near enough to vibrate."""
    return np.asarray(gap_mm) <= speech_air().glottis.voicing_gap_mm + 1e-6


def port_open(gap_mm: Array | float) -> Bools:
    """Whether (...) the way to the nose is open."""
    return np.asarray(gap_mm) >= motion_limits().port.open_mm


def hisses(flow_ml_s: Array | float) -> Bools:
    """Whether (...) air flows fast enough to hiss where it is narrow."""
    return np.asarray(flow_ml_s) >= motion_limits().hiss.flow_ml_s
