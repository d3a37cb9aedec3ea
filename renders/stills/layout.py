"""Where things lie on a still, a chart and a strip: the numbers of data/layout.toml."""

from __future__ import annotations

from articulators.records import Pair, Record, Row, table
from renders.paper.picture import Box
from renders.paper.view import View


class Still(Row, frozen=True):
    """The whole picture and its side view."""

    width_px: int
    height_px: int
    card_px: Box
    scale_px_per_mm: float
    middle_mm: Pair
    nose_scale_px_per_mm: float
    nose_middle_mm: Pair
    rim_px: float

    def view(self, nose: bool = False) -> View:
        """How the head lies in the card; with the whole ``nose`` or closer."""
        if nose:
            return View(self.card_px, self.nose_scale_px_per_mm, self.nose_middle_mm)
        return View(self.card_px, self.scale_px_per_mm, self.middle_mm)


class Title(Row, frozen=True):
    """Symbol, name and example above, the caution below."""

    edge_px: float
    symbol_px: float
    symbol_y_px: float
    name_y_px: float
    example_y_px: float
    name_share: float
    caution_share: float
    caution_y_px: float


class Swatch(Row, frozen=True):
    """The key of the colours."""

    right_px: float
    top_px: float
    wide_px: float
    high_px: float
    apart_px: float
    before_px: float


class StateWords(Row, frozen=True):
    """What the marks say, in words."""

    bottom_px: float
    icon_px: Pair
    before_px: float
    apart_px: float


class SmallViews(Row, frozen=True):
    """Lips, folds and palate under the chin."""

    left_px: float
    bottom_px: float
    heights_px: tuple[float, ...]
    widest_px: float
    apart_px: float
    felt_mm: float
    frame_px: Box
    wide_share: float
    title_share: float


class Names(Row, frozen=True):
    """The columns of labels, and their leaders."""

    left_px: float
    right_px: float
    top_px: float
    bottom_px: float
    before_px: float
    pitch_px: float
    inside_px: float
    dot_px: float
    dot_rim_px: float
    leader_share: float


class Glide(Row, frozen=True):
    """A vowel that moves: when it is shown, and its second outline."""

    shown_at: float
    line_share: float
    lips_share: float
    dash: Pair
    arrow_px: float
    arrow_line_px: float
    arrow_off_px: float


class StopShown(Row, frozen=True):
    """When a stop is shown."""

    voiced_at: float
    voiceless_at: float


class Chart(Row, frozen=True):
    """A sheet of tiles."""

    cell_px: Pair
    side_px: float
    head_px: float
    name_px: float
    edge_px: float
    scale_px_per_mm: float
    middle_mm: Pair
    symbol_px: float
    place_px: float


class Strip(Row, frozen=True):
    """Cards of key moments over a strip of time."""

    width_px: int
    height_px: int
    edge_px: float
    apart_px: float
    widest_px: float
    card_top_px: float
    card_high_px: float
    words_high_px: float
    leader_end_px: float
    strip_top_px: float
    strip_high_px: float
    seen_mm: Pair
    middle_mm: Pair
    stub_px: float
    icon_px: float
    icon_apart_px: float
    bleed_px: float
    corner_px: float

    @property
    def box_px(self) -> Box:
        """Left, top, width and height of the strip of time."""
        return (self.edge_px, self.strip_top_px, self.width_px - 2 * self.edge_px, self.strip_high_px)


class StillLayout(Record, frozen=True):
    """The whole file."""

    still: Still
    title: Title
    swatch: Swatch
    state: StateWords
    small_views: SmallViews
    names: Names
    glide: Glide
    hold: StopShown
    chart: Chart
    strip: Strip


def still_layout() -> StillLayout:
    """The numbers; BadInput where the data file does not fit."""
    return table("renders.stills", "layout.toml", StillLayout)
