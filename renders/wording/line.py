"""What is said, before any language: a key and what its blanks hold. Language and wording come last, in `languages`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias, Union

Joint = Literal["comma", "last", "word"]
Blank: TypeAlias = Union[str, "Line", "Series"]


@dataclass(frozen=True, slots=True)
class Line:
    """A text of the language files, by table and key ("cue.hold_lips"), and what its blanks hold, by name.

    A blank holds a text that no language changes (a symbol, a figure, a word of the user), another line, or several.
    """

    key: str
    blanks: tuple[tuple[str, Blank], ...] = ()


@dataclass(frozen=True, slots=True)
class Series:
    """Several of them, joined as the language joins: with commas, the last with "and", or word beside word."""

    items: tuple[Blank, ...]
    joint: Joint = "comma"


Lines: TypeAlias = tuple[Line, ...]


def line(key: str, /, **blanks: Blank | int) -> Line:
    """A line; whole numbers in blanks become their figures."""
    return Line(key, tuple((name, str(b) if isinstance(b, int) else b) for name, b in blanks.items()))


def keys(said: Blank | Iterable[Blank]) -> Iterator[str]:
    """The keys of all texts that lines need, those in their blanks too."""
    if isinstance(said, Line):
        yield said.key
        yield from keys(blank for _, blank in said.blanks)
    elif isinstance(said, Series):
        yield from keys(said.items)
    elif not isinstance(said, str):
        for one in said:
            yield from keys(one)
