"""The numbers by which a recording is listened to (data/recording.toml)."""

from __future__ import annotations

from functools import cache

from articulators.records import Pair, Record, Row, table


class BandRules(Row, frozen=True):
    """Bands in which levels are measured, and over how long."""

    voice_hz: Pair
    body_hz: Pair
    hiss_hz: Pair
    window_s: float
    voice_window_s: float


class PitchRules(Row, frozen=True):
    """How pitch and periodicity are found."""

    range_hz: Pair
    window_s: float
    step_s: float
    octave_share: float
    octaves: float
    voiced_from: float
    silent_share: float


class StopRules(Row, frozen=True):
    """How closure, burst and voice onset of a stop are found."""

    quiet_s: float
    before_s: float
    after_s: float
    rise_s: float
    rise_db: float
    best_share: float
    least_closure_s: float
    fall_share: float
    voice_down_db: float
    voiced_hold_db: float
    tap_longest_s: float
    released_db: float
    heard_db: float
    first_closure_s: float


class QualityRules(Row, frozen=True):
    """What a recording must be like."""

    shortest_s: float
    longest_s: float
    silent_dbfs: float
    quiet_dbfs: float
    clipped_from: float
    clipped_share: float
    clipped_run: int
    noisy_db: float
    two_voices_db: float


class RecordingRules(Record, frozen=True):
    """data/recording.toml."""

    bands: BandRules
    pitch: PitchRules
    stop: StopRules
    quality: QualityRules


@cache
def recording_rules() -> RecordingRules:
    """How a recording is listened to."""
    return table("vocaltract.recording", "recording.toml", RecordingRules)
