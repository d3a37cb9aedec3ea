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


class PairPage(Row, frozen=True):
    """What lies around the rows of two sounds in time."""

    labels_px: float
    edge_px: float
    head_px: float
    axis_px: float
    bracket_px: float
    title_px: tuple[float, float]
    zero_px: tuple[float, float]
    apart_px: float
    zero_line_px: float
    rule_opacity: float
    differs_px: tuple[float, float]
    differs_opacity: float


class PairTicks(Row, frozen=True):
    """Ticks of their axis."""

    least_px: float
    steps_ms: tuple[int, ...]
    line_px: tuple[float, float]
    name_px: tuple[float, float]


class PairBracket(Row, frozen=True):
    """The bracket of what differs."""

    top_px: float
    line_px: float
    ends_px: tuple[float, float]
    name_px: tuple[float, float]


class PairRow(Row, frozen=True):
    """One row: its symbol, and its lanes."""

    symbol_px: tuple[float, float, float]
    name_px: tuple[float, float]
    lane_middle_share: float
    bar_share: tuple[float, float]
    air_share: tuple[float, float]
    voice_share: float


class PairBar(Row, frozen=True):
    """Contact and narrowing in a row."""

    corner_px: float
    edge_px: float
    broken_px: float
    dash_px: tuple[float, float]
    word_px: float
    word_room_px: float
    word_apart_px: float
    narrow_samples: int


class PairAir(Row, frozen=True):
    """Air in a row."""

    least_ml_s: float
    speck_samples: int
    post_px: tuple[float, float]
    post_line_px: float
    nose_line_px: float


class PairVoice(Row, frozen=True):
    """Voice in a row."""

    every_px: float
    radian_px: float
    line_share: float
    start_px: tuple[float, float]


class TracksLayout(Record, frozen=True):
    """The whole file."""

    timing: TimingFigure
    scale: TrackScale
    wave: Wave
    stop: StopBars
    pair: PairWindow
    pair_page: PairPage
    pair_ticks: PairTicks
    pair_bracket: PairBracket
    pair_row: PairRow
    pair_bar: PairBar
    pair_air: PairAir
    pair_voice: PairVoice


def tracks_layout() -> TracksLayout:
    """The numbers; BadInput where the data file does not fit."""
    return table("renders.tracks", "layout.toml", TracksLayout)
