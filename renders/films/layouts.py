"""Where the pieces of a film frame lie, for each shape of picture."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from renders.paper.picture import Box
from renders.paper.style import Style
from renders.paper.view import View
from renders.tracks.timestrip import Rows


@dataclass(frozen=True)
class Layout:
    """Where the pieces of a frame lie, in px of a picture of `width` x `height`.

    kind        the row of type sizes of data/styles.toml     panels  grounds of the text
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
    view: View
    panels: tuple[Box, ...]
    strip: Box
    strip_rows: Rows
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

    def size(self, style: Style, kind: str) -> float:
        """Type size in px of that kind of text."""
        return style.size(kind, self.kind)


WIDE = Layout(
    kind="film", width=1280, height=720, view=View((14, 14, 812, 558), 4.0, (17.5, -16.5)),
    panels=((840, 14, 426, 558), (14, 584, 1252, 128)), strip=(14, 584, 1252, 128), strip_rows="all",
    lips=(26, 446, 142, 114), folds=(176, 446, 142, 114), left=864, right=1242,
    symbol=(864, 98, 120), word=(1242, 52, 100, 260, "right"), phases=(132, 44, 8), lines=(226, 257),
    rows=(294, 368, 442, 516), row_icon=(0, 19, 40, 36), row_text=(58, 28, 54), gauge=(11.3, 44, 12),
    clock=(548, 538, 559), tags=("second", 30),
)  # fmt: skip
TALL = Layout(
    kind="vertical", width=1080, height=1920, view=View((24, 250, 1032, 850), 6.1, (20.0, -16.5)),
    panels=((24, 1114, 1032, 784),), strip=(40, 1762, 1000, 130), strip_rows="short",
    lips=(40, 918, 184, 166), folds=(234, 918, 184, 166), left=64, right=1016,
    symbol=(64, 192, 226), word=(310, 122, 206, 706, "left"), phases=(1138, 72, 14), lines=(1256, 1306),
    rows=(1344, 1454, 1564, 1674), row_icon=(0, 22, 74, 66), row_text=(104, 40, 83), gauge=(20.0, 72, 22),
    clock=(1722, 1704, 1745), tags=("small", 13),
)  # fmt: skip


SQUARE = Layout(
    kind="film", width=920, height=920, view=View((14, 14, 892, 494), 3.55, (-6.0, -16.5)),
    panels=((14, 520, 892, 386),), strip=(20, 812, 880, 90), strip_rows="short",
    lips=(26, 382, 142, 114), folds=(176, 382, 142, 114), left=34, right=446,
    symbol=(34, 612, 120), word=(446, 570, 618, 280, "right"), phases=(646, 44, 8), lines=(716, 746),
    rows=(532, 606, 680, 754), row_icon=(0, 19, 40, 36), row_text=(58, 28, 54), gauge=(11.3, 44, 12),
    clock=(784, 774, 795), tags=("second", 24), side=(482, 886),
)  # fmt: skip
CLASSIC = Layout(
    kind="film", width=1040, height=780, view=View((14, 14, 572, 618), 4.0, (12.5, -20.0)),
    panels=((598, 14, 428, 618), (14, 644, 1012, 122)), strip=(14, 644, 1012, 122), strip_rows="all",
    lips=(26, 506, 142, 114), folds=(176, 506, 142, 114), left=622, right=1002,
    symbol=(622, 104, 120), word=(1002, 56, 104, 260, "right"), phases=(142, 46, 8), lines=(242, 274),
    rows=(316, 397, 478, 559), row_icon=(0, 22, 40, 36), row_text=(58, 31, 57), gauge=(11.3, 47, 12),
    clock=(598, 587, 608), tags=("second", 13),
)  # fmt: skip
LAYOUTS = (WIDE, CLASSIC, SQUARE, TALL)
SHAPES_PX = {"wide": (1280, 720), "classic": (1440, 1080), "square": (1080, 1080), "tall": (1080, 1920)}
"""Sizes of pictures by the name of their shape: 16:9, 4:3, 1:1 and 9:16."""

# the tall layout's letters are larger in its own px by the ratio of the two rows of type sizes
TALL_TYPE = 34.0 / 19.0  # "second" of type.vertical over that of type.film
# what a side view without anything beside it shows, in mm: the organs with room around them, and no more of the head
# than is drawn
BARE_MM, BARE_RIGHT_MM, BARE_MIDDLE_MM = (176.0, 139.5), 114.0, -16.5
BARE_MOST_MM = 196.0


def layout_for(size: tuple[int, int], bar: bool = True) -> Layout:
    """The layout whose text comes out largest in a picture of that size (width, height) in px.

    bar  False: the side view alone, as large as the picture
    """

    def letters(layout: Layout) -> float:
        own = TALL_TYPE if layout.kind == "vertical" else 1.0
        return own * min(size[0] / layout.width, size[1] / layout.height)

    return max(LAYOUTS, key=letters) if bar else _bare(size)


def _bare(size: tuple[int, int]) -> Layout:
    scale = 720 / min(size)
    wide, high = round(size[0] * scale), round(size[1] * scale)
    px_per_mm = min((wide - 28) / BARE_MM[0], (high - 28) / BARE_MM[1])
    box_high = min(high - 28.0, BARE_MOST_MM * px_per_mm)
    box = (14.0, (high - box_high) / 2, wide - 28.0, box_high)
    view = View(box, px_per_mm, (BARE_RIGHT_MM - box[2] / 2 / px_per_mm, BARE_MIDDLE_MM))
    inset = (26.0, box[1] + box_high - 126.0, 142.0, 114.0)
    return replace(
        WIDE, width=wide, height=high, view=view, panels=(), lips=inset, folds=(176.0, *inset[1:]),
        tags=("second", 30 if wide > high else 13), bar=False,
    )  # fmt: skip
