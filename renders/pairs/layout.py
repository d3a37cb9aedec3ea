"""Where things lie on the picture, the strip and the film of a pair: the numbers of data/layout.toml."""

from __future__ import annotations

from articulators.records import Pair, Record, Row, table
from renders.paper.picture import Box


class PairPicture(Row, frozen=True):
    """Three cards over the tracks."""

    width_px: int
    height_px: int
    edge_px: float
    card_top_px: float
    card_px: Pair
    head_px: float
    foot_px: float
    tracks_top_px: float
    tracks_high_px: float
    scale_px_per_mm: float
    middle_mm: Pair
    bleed_px: float
    corner_px: float

    @property
    def cards_apart_px(self) -> float:
        """From the right edge of a card to the left edge of the next."""
        return (self.width_px - 2 * self.edge_px - 3 * self.card_px[0]) / 2

    @property
    def tracks_px(self) -> Box:
        """The box of the tracks."""
        return (self.edge_px, self.tracks_top_px, self.width_px - 2 * self.edge_px, self.tracks_high_px)

    def card_box(self, number: int) -> Box:
        """The box of a card, 0 to 2."""
        wide, high = self.card_px
        return (self.edge_px + number * (wide + self.cards_apart_px), self.card_top_px, wide, high)

    def window(self, card: Box) -> Box:
        """The part of a card that shows the side view."""
        x, y, wide, high = card
        return (x, y + self.head_px, wide, high - self.head_px - self.foot_px)


class SmallViewRoom(Row, frozen=True):
    """A frame for folds, lips or palate."""

    size_px: Pair
    palate_px: Pair
    inner_px: Box
    word_up_px: float
    beside_px: float

    def inner(self, box: Box) -> Box:
        """The part of a frame that is drawn in."""
        x, y, wide, high = box
        left, top, narrower, lower = self.inner_px
        return (x + left, y + top, wide - narrower, high - lower)


class PairStrip(Row, frozen=True):
    """Two rows of key moments."""

    width_px: int
    height_px: int
    edge_px: float
    apart_px: float
    label_px: float
    rows_px: Pair
    row_high_px: float
    times_px: float
    most: int


class FilmCards(Row, frozen=True):
    """What both layouts of a film have."""

    head_px: float
    bleed_px: float
    middle_mm: Pair
    icon_px: float
    apart_px: float
    heard_px: float
    margin_s: float
    least_s: float


class FilmLayout(Row, frozen=True):
    """One layout of a film."""

    width_px: int
    height_px: int
    cards_px: tuple[Box, Box]
    side_px: float
    scale_px_per_mm: float
    tracks_px: Box
    heading_px: tuple[float, float, float]
    one_line: bool


class ShownAt(Row, frozen=True):
    """When a sound is shown, and from where on a difference of shape is named."""

    stop_at: float
    closed_at: float
    glide_start: float
    glide_end: float
    onset_margin_s: float
    least_mm: float


class ShownFrom(Row, frozen=True):
    """From when on, and from which size on, something of a pair is shown.

    onset_look_s  after a release, where breath is at its fullest    columns_apart_s  least time between two columns
    approach_s    before a hold: an organ on its way                 first_s          after a release or start of voice
    near_mm       outlines closer than this are drawn once
    lips_wider_mm, lips_moved_mm  from here on the lips are shown rather than the folds
    """

    onset_look_s: float
    columns_apart_s: float
    approach_s: float
    first_s: float
    near_mm: float
    lips_wider_mm: float
    lips_moved_mm: float


class PairLayout(Record, frozen=True):
    """The whole file."""

    picture: PairPicture
    picture_view: SmallViewRoom
    strip: PairStrip
    film: FilmCards
    film_view: SmallViewRoom
    wide: FilmLayout
    tall: FilmLayout
    shown: ShownAt
    shown_from: ShownFrom


def pair_layout() -> PairLayout:
    """The numbers; BadInput where the data file does not fit."""
    return table("renders.pairs", "layout.toml", PairLayout)


def film_layout(size: tuple[int, int]) -> FilmLayout:
    """The layout that fills more of a film of that size (width, height) in px."""
    choices = (pair_layout().wide, pair_layout().tall)
    return max(choices, key=lambda one: min(size[0] / one.width_px, size[1] / one.height_px))
