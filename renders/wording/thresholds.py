"""From which size on something is said of two sounds: data/thresholds.toml."""

from __future__ import annotations

from articulators.records import Record, Row, table


class Said(Row, frozen=True, kw_only=True):
    """When the voice is soon, a vowel shorter, lips rounder; how many further differences are named."""

    soon_ms: float
    shorter_ms: float
    vowel_before_ms: float
    rounder: float
    others_named: int


class Tense(Row, frozen=True, kw_only=True):
    """Pairs of a tense and a lax vowel, "i ɪ"."""

    pairs: tuple[str, ...]


class Wide(Row, frozen=True, kw_only=True):
    """Wide places that have a row of contact, as keys of the tables of places."""

    places: tuple[str, ...]


class Thresholds(Record, frozen=True):
    """The file."""

    said: Said
    tense: Tense
    wide: Wide


def thresholds() -> Thresholds:
    """The thresholds, read once."""
    return table("renders.wording", "thresholds.toml", Thresholds)
