"""Where the pieces of a film frame lie, for each shape of picture: the numbers of data/layouts.toml."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import msgspec

from articulators.records import Pair, Record, Row, table
from renders.paper.picture import Box
from renders.paper.style import Style
from renders.paper.view import View
from renders.tracks.strip_plan import RowChoice


class Layout(Row, frozen=True):
    """Where the pieces of a frame lie, in px of a picture of `width` x `height`.

    view_px     the side view: its box, scale and what of the head lies in its middle
    kind        the row of type sizes of styles.toml          panels  grounds of the text
    symbol      left, baseline, most width       word   edge, baseline of word and of transcription, room; which edge
    phases      top, height, gap                 lines  middles of cue and detail
    rows        tops of the three rows and of the rule beneath them; icon (x, y, w, h), text (x, title y, second y)
                and gauge (cell pitch, y, cell height) are counted from the left, the right or the top of a row
    clock       middle of the clock and of the two lines of speed     tags  size kind and most letters of a line
    side        left and right of the rows where they are not those of all
    bar         whether sound, word, rows and strip are shown beside the side view
    """

    kind: str
    width: int
    height: int
    view_px: Box
    scale_px_per_mm: float
    middle_mm: tuple[float, float]
    panels: tuple[Box, ...]
    strip: Box
    strip_rows: RowChoice
    lips: Box
    folds: Box
    left: float
    right: float
    symbol: tuple[float, float, float]
    word: tuple[float, float, float, float, Literal["left", "right"]]
    phases: tuple[float, float, float]
    lines: tuple[float, float]
    rows: tuple[float, float, float, float]
    row_icon: Box
    row_text: tuple[float, float, float]
    gauge: tuple[float, float, float]
    clock: tuple[float, float, float]
    tags: tuple[str, int]
    side: tuple[float, float] | None = None
    bar: bool = True

    @property
    def view(self) -> View:
        """How the head lies in the side view."""
        return View(self.view_px, self.scale_px_per_mm, self.middle_mm)

    def size(self, style: Style, kind: str) -> float:
        """Type size in px of that kind of text."""
        return style.size(kind, self.kind)


class Bare(Row, frozen=True):
    """A side view without anything beside it."""

    shown_mm: tuple[float, float]
    right_mm: float
    middle_mm: float
    tallest_mm: float
    edge_px: float
    short_px: float
    inset_px: tuple[float, float]
    inset_left_px: tuple[float, float]
    inset_edge_px: float
    tag_letters: tuple[int, int]


class TallType(Row, frozen=True):
    """How many times as large letters of the tall layout are in its own px."""

    share: float


class FilmShape(Row, frozen=True):
    """A shape of picture."""

    size_px: tuple[int, int]


class Tag(Row, frozen=True):
    """Where the names of contacts stand."""

    lips_mm: float
    tongue_mm: tuple[float, float]
    left_px: float


class Loop(Row, frozen=True):
    """A film that ends as it begins."""

    rest_s: float


class Inset(Row, frozen=True):
    """The small views of lips and folds."""

    word_edge_px: float


class PanelShares(Row, frozen=True):
    """Words, phases and rows beside the side view, measured by their type."""

    line_edge_px: float
    sound_apart_share: float
    sound_room_share: float
    sound_box_share: tuple[float, float, float]
    sound_box_reach_share: float
    underline_share: Pair
    underline_edge_px: float
    phase_corner_share: float
    phase_tip_share: float
    phase_dash_px: Pair


class GaugeCells(Row, frozen=True):
    """A gauge of cells, measured by their pitch."""

    cells: int
    wide_share: float
    word_apart_share: float
    cell_share: Pair
    line_px: float


class Intro(Row, frozen=True):
    """The card before a film."""

    short_px: float
    edge_px: float
    card_px: Pair
    rule_opacity: float
    lines: int
    text_share: float
    ipa_share: float
    leading_share: float
    ipa_high_share: float
    note_high_share: float


class Layouts(Record, frozen=True):
    """All numbers of the file."""

    layout: Mapping[str, Layout]
    bare: Bare
    tall_type: TallType
    shape: Mapping[str, FilmShape]
    tag: Tag
    loop: Loop
    inset: Inset
    panel: PanelShares
    gauge: GaugeCells
    intro: Intro


def numbers() -> Layouts:
    """All numbers of data/layouts.toml."""
    return table("renders.films", "layouts.toml", Layouts)


WIDE, TALL = numbers().layout["wide"], numbers().layout["tall"]
LAYOUTS = tuple(numbers().layout.values())
SHAPES_PX = {name: shape.size_px for name, shape in numbers().shape.items()}
"""Sizes of pictures by the name of their shape."""


def layout_for(size: tuple[int, int], bar: bool = True) -> Layout:
    """The layout whose text comes out largest in a picture of that size (width, height) in px.

    bar  False: the side view alone, as large as the picture
    """

    def letters(layout: Layout) -> float:
        own = numbers().tall_type.share if layout.kind == TALL.kind else 1.0
        return own * min(size[0] / layout.width, size[1] / layout.height)

    return max(LAYOUTS, key=letters) if bar else _bare(size)


def _bare(size: tuple[int, int]) -> Layout:
    row = numbers().bare
    scale = row.short_px / min(size)
    wide, high = round(size[0] * scale), round(size[1] * scale)
    inner = wide - 2 * row.edge_px, high - 2 * row.edge_px
    px_per_mm = min(inner[0] / row.shown_mm[0], inner[1] / row.shown_mm[1])
    box_high = min(inner[1], row.tallest_mm * px_per_mm)
    box = (row.edge_px, (high - box_high) / 2, *(inner[0], box_high))
    inset_wide, inset_high = row.inset_px
    top = box[1] + box_high - inset_high - row.inset_edge_px
    lips, folds = ((left, top, inset_wide, inset_high) for left in row.inset_left_px)
    return msgspec.structs.replace(
        WIDE, width=wide, height=high, view_px=box, scale_px_per_mm=px_per_mm,
        middle_mm=(row.right_mm - box[2] / 2 / px_per_mm, row.middle_mm), panels=(), lips=lips, folds=folds,
        tags=("second", row.tag_letters[0 if wide > high else 1]), bar=False,
    )  # fmt: skip
