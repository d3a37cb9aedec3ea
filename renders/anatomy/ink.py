"""How the organs that bend are drawn: the rows of data/ink.toml, which the plate pen and the page's player read."""

from __future__ import annotations

from functools import cache
from typing import Literal, NamedTuple

from articulators.records import Record, Row, table

Drawing = Literal["area", "core", "band", "pressed", "line", "ring", "inset", "lines", "hatch", "piece"]


class Rise(Record, frozen=True, kw_only=True):
    """Weights along a line that go from `least` at `low` mm to `most` at `high` mm away from a place on it.

    at      "start", "end", "ends" (the nearer of both), or a sample such as "tongue tip"; from a sample the way counts
            along the line, negative before it, or with `around` to both sides alike
    least_line   instead of `least`: the width of that line over the width of the row's own
    """

    at: str
    low: float = 0.0
    high: float
    least: float = 0.0
    most: float = 1.0
    around: bool = False
    least_line: str = ""


class Ink(Record, frozen=True, kw_only=True):
    """One area or line; data/ink.toml says what its keys mean."""

    draw: Drawing
    part: tuple[str, ...] = ()
    needs: str = ""
    without: str = ""
    along: tuple[str, ...] = ()
    role: str = ""
    rests: str = ""
    opacity: float = 1.0
    shaded: bool = False
    soft: bool = False
    line: str = ""
    share: float = 1.0
    wide_mm: float = 0.0
    depth_mm: float = 0.0
    calm: float = 0.0
    weights: tuple[Rise, ...] = ()
    power: float = 1.0
    focus: bool = False
    focus_to: str = ""
    spared: tuple[str, ...] = ()
    piece: str = ""
    name: str = ""

    def shown(self, parts: frozenset[str]) -> bool:
        """Whether it is drawn where these organs are."""
        wanted = not self.part or not parts.isdisjoint(self.part)
        return wanted and (not self.needs or self.needs in parts) and self.without not in parts


class InkTable(Row, frozen=True):
    """data/ink.toml: the air between the lips, and the organs, both back to front."""

    front_air: tuple[Ink, ...]
    organs: tuple[Ink, ...]


class LineStretch(NamedTuple):
    """A piece of a line: from sample `first` to sample `last`, numbers or names, None for the line's own ends."""

    line: str
    first: str | None
    last: str | None
    backwards: bool
    off_mm: tuple[float, float]


@cache
def line_stretch(text: str) -> LineStretch:
    """A piece of `along`, such as "-tongue 0 foot @ 2.4 0"."""
    words, _, off = text.partition("@")
    name, *ends = words.split()
    x, y = map(float, off.split() or (0.0, 0.0))
    return LineStretch(name.lstrip("-"), ends[0] if ends else None, ends[-1] if ends else None, name[0] == "-", (x, y))


def ink() -> InkTable:
    """data/ink.toml."""
    return table(__package__, "ink.toml", InkTable)
