"""Where things lie along an axis of time: the numbers of data/layout.toml."""

from __future__ import annotations

from articulators.records import Pair, Record, Row, table


class TimingFigure(Row, frozen=True):
    """The figure of an utterance's timing: rows from top to bottom."""

    width_px: int
    height_px: int
    left_px: float
    edge_px: float
    title_px: Pair
    sounds_px: Pair
    first_px: float
    track_px: float
    apart_px: float
    voice_px: float
    wave_px: float
    stops_px: float
    shut_px: float
    before_s: float
    after_s: float
    tick_s: float


class TimingName(Row, frozen=True):
    """Names of its rows."""

    left_px: float
    edge_px: float
    above_px: float
    below_px: float
    small_share: float
    symbol_gap_share: float


class TimingLine(Row, frozen=True):
    """Its lines and grounds."""

    edge_px: float
    edge_dash_px: Pair
    edge_opacity: float
    scale_px: float
    scale_opacity: float
    scale_room_px: float
    figure_px: float
    ground_opacity: Pair
    rest_opacity: float


class TimingShut(Row, frozen=True):
    """Its bars of closures."""

    lines_px: Pair
    type_share: float
    word_edge_px: float
    word_px: float
    rim_px: float


class TimingSound(Row, frozen=True):
    """Its boxes of sounds."""

    edge_px: float
    least_px: float
    corner_px: float
    corner_share: float
    symbol_edge_px: float
    symbol_px: Pair
    line_share: float


class TimingTicks(Row, frozen=True):
    """Its ticks."""

    apart_px: float
    top_px: float
    line_px: Pair
    name_px: float


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

    tall_px: Pair
    apart_px: float
    least_px: float
    breath_px: float
    top_px: float
    lines_px: Pair
    type_share: float
    length_edge_px: float
    breath_line_px: float
    breath_dash_px: Pair
    voice_line_px: float
    number_px: float


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
    title_px: Pair
    zero_px: Pair
    apart_px: float
    zero_line_px: float
    rule_opacity: float
    differs_px: Pair
    differs_opacity: float


class PairTicks(Row, frozen=True):
    """Ticks of their axis."""

    least_px: float
    steps_ms: tuple[int, ...]
    line_px: Pair
    name_px: Pair


class PairBracket(Row, frozen=True):
    """The bracket of what differs."""

    top_px: float
    line_px: float
    ends_px: Pair
    name_px: Pair


class PairRow(Row, frozen=True):
    """One row: its symbol, and its lanes."""

    symbol_px: tuple[float, float, float]
    name_px: Pair
    lane_middle_share: float
    bar_share: Pair
    air_share: Pair
    voice_share: float


class PairBar(Row, frozen=True):
    """Contact and narrowing in a row."""

    corner_px: float
    edge_px: float
    broken_px: float
    dash_px: Pair
    word_px: float
    word_room_px: float
    word_apart_px: float
    narrow_samples: int


class PairAir(Row, frozen=True):
    """Air in a row."""

    least_ml_s: float
    speck_samples: int
    post_px: Pair
    post_line_px: float
    nose_line_px: float


class PairVoice(Row, frozen=True):
    """Voice in a row."""

    every_px: float
    radian_px: float
    line_share: float
    start_px: Pair


class HeardRow(Row, frozen=True):
    """The wave of what is heard."""

    step_s: float
    least_px: float
    rest_opacity: float


class StripRows(Row, frozen=True):
    """The rows of the strip under a picture, all of them and in the short strip."""

    marker: float
    sounds: Pair
    voice: Pair
    wave: Pair
    ticks: float
    lane: float
    shut: Pair
    shut_and_air: float
    gap: float
    left: Pair
    right: float
    edge_most_px: float
    beyond_s: float


class StripType(Row, frozen=True):
    """Type in it."""

    most_px: float
    name_share: float
    name_room: float
    name_apart: float
    tick_share: float


class StripTicks(Row, frozen=True):
    """Its ticks."""

    every_s: float
    line_share: Pair
    middle_share: float
    apart: float
    beyond: float


class StripSound(Row, frozen=True):
    """Its boxes of sounds."""

    edge_px: float
    least_px: float
    symbol_edge_px: float
    least_share: float
    corner: float
    line_share: float
    breath_s: float
    breath_end: float
    breath_lines: Pair
    breath_dash: Pair


class StripVoice(Row, frozen=True):
    """Its voice."""

    rest_share: float
    rest_opacity: float
    long: float
    every: float
    high_share: float
    line_share: float
    rim: float


class StripBar(Row, frozen=True):
    """Its bars of what is shut, and of the open nose."""

    least_lanes: int
    apart: float
    edge: float
    thin: float
    nose_line: float
    word_edge: float
    high_share: float
    small_share: float
    full_em_share: float


class StripAir(Row, frozen=True):
    """Its air."""

    step_s: float
    least_ml_s: float
    hatch: float
    line: float


class PlayHeadLines(Row, frozen=True):
    """Its play head."""

    half_share: float
    line: float
    rim: float
    below: float
    into_ticks: float
    word_rim: float


class TracksLayout(Record, frozen=True):
    """The whole file."""

    timing: TimingFigure
    timing_name: TimingName
    timing_line: TimingLine
    timing_shut: TimingShut
    timing_sound: TimingSound
    timing_ticks: TimingTicks
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
    heard: HeardRow
    strip_rows: StripRows
    strip_type: StripType
    strip_ticks: StripTicks
    strip_sound: StripSound
    strip_voice: StripVoice
    strip_bar: StripBar
    strip_air: StripAir
    play_head: PlayHeadLines


def tracks_layout() -> TracksLayout:
    """The numbers; BadInput where the data file does not fit."""
    return table("renders.tracks", "layout.toml", TracksLayout)
