"""Where things lie along an axis of time: the numbers of data/layout.toml."""

from __future__ import annotations

from articulators.records import Record, Row, table


class TimingFigure(Row, frozen=True):
    """The figure of an utterance's timing: rows from top to bottom."""

    width_px: int
    height_px: int
    left_px: float
    edge_px: float
    title_px: tuple[float, float]
    sounds_px: tuple[float, float]
    first_px: float
    track_px: float
    apart_px: float
    voice_px: float
    stops_px: float
    shut_px: float
    before_s: float
    after_s: float
    tick_s: float


class TrackScale(Row, frozen=True):
    """The scale of a track."""

    steps: tuple[float, ...]
    lines: int
    room: float
    distance_mm: float
    opening_mm: float
    pressure_cmh2o: float


class Wave(Row, frozen=True):
    """Voice as a wave."""

    long_px: float
    high_share: float
    every_px: float


class StopBars(Row, frozen=True):
    """Bars of holds."""

    tall_px: tuple[float, float]
    apart_px: float
    least_px: float
    breath_px: float


class PairWindow(Row, frozen=True):
    """How much is seen of two sounds in time, before and after what lies at 0."""

    before_s: float
    after_s: float


class TracksLayout(Record, frozen=True):
    """The whole file."""

    timing: TimingFigure
    scale: TrackScale
    wave: Wave
    stop: StopBars
    pair: PairWindow


def tracks_layout() -> TracksLayout:
    """The numbers; BadInput where the data file does not fit."""
    return table("renders.tracks", "layout.toml", TracksLayout)
