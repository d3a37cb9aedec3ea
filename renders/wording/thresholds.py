"""From which size on something is said or shown of two sounds: data/thresholds.toml."""

from __future__ import annotations

from articulators.records import Record, Row, table


class Said(Row, frozen=True, kw_only=True):
    """When the voice is soon, a vowel shorter, lips rounder; how many further differences are named."""

    soon_ms: float
    shorter_ms: float
    vowel_before_ms: float
    rounder: float
    others_named: int


class Shown(Row, frozen=True, kw_only=True):
    """From where on the lips are shown beside a side view."""

    lips_wider_mm: float
    lips_moved_mm: float


class Tense(Row, frozen=True, kw_only=True):
    """Pairs of a tense and a lax vowel, "i ɪ"."""

    pairs: tuple[str, ...]


class Wide(Row, frozen=True, kw_only=True):
    """Wide places that have a row of contact, as keys of the tables of places."""

    places: tuple[str, ...]


class Moments(Row, frozen=True, kw_only=True):
    """Which moments of a pair are shown, and how much of its time."""

    onset_look_ms: float
    before_ms: float
    after_ms: float
    columns_apart_ms: float
    approach_ms: float
    first_ms: float
    near_mm: float


class Thresholds(Record, frozen=True):
    """The file."""

    said: Said
    shown: Shown
    tense: Tense
    wide: Wide
    moments: Moments


def thresholds() -> Thresholds:
    """The thresholds, read once."""
    return table("renders.wording", "thresholds.toml", Thresholds)
