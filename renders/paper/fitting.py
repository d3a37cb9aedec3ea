"""What stays in its room: pictures scaled, lines broken by width, sizes made smaller only where nothing else helps."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from articulators.curves import Array
from renders.paper.picture import Group, Layer, Picture
from renders.paper.typeface import width

# Where Chinese may be broken: between two characters, but not before a closing mark nor after an opening one.
# source: W3C, Requirements for Chinese Text Layout, 3.1.3
_CLOSING, _OPENING = "。，、；：！？）》」”’", "（《「“‘"


def _is_han(char: str) -> bool:
    return "\u2e80" <= char <= "\u9fff" or char in "。，、；：！？）》」（《「"


def pieces(text: str) -> list[str]:
    """What may not be broken, in order: words with the space before them, and single Chinese characters.

    A space beside a Chinese character only sets off a symbol: no line ends there.
    """
    found: list[str] = []
    for char in " ".join(text.split()):
        before = found[-1][-1] if found else ""
        if not found or _may_part(before, char):
            found.append(char)
        else:
            found[-1] += char
    return _spaced(found)


def _may_part(before: str, char: str) -> bool:
    if char == " " or before == " ":
        return before == " "
    return _is_han(before) and _is_han(char) and char not in _CLOSING and before not in _OPENING


def _spaced(found: list[str]) -> list[str]:
    """Pieces with spaces moved to the beginning of the next; joined to it beside a Chinese character."""
    made: list[str] = []
    for piece in found:
        bare = piece.strip()
        if made and made[-1].endswith(" "):
            before = made[-1].rstrip()
            if _is_han(before[-1:]) or _is_han(bare[:1]):
                made[-1] = f"{before} {piece}"
                continue
            made[-1] = before
            piece = f" {piece}"
        made.append(piece)
    return made


def broken(text: str, room: float, size: float, weight: str = "regular") -> list[str]:
    """The lines of a text, words kept whole, none wider than ``room`` px unless one word is."""
    lines: list[str] = []
    for piece in pieces(text):
        longer = f"{lines[-1]}{piece}" if lines else piece
        if lines and width(longer, size, weight) <= room:
            lines[-1] = longer
        else:
            lines.append(piece.strip())
    return lines


def even_lines(text: str, longest: int) -> tuple[str, ...]:
    """Lines of about equal length where ``text`` has more than ``longest`` letters; a Chinese one counts as two."""
    parts = pieces(text)
    if _letters(text) <= longest or len(parts) < 2:
        return (text,)
    for count in range(2, len(parts) + 1):
        lines = _split(parts, count)
        if max(map(_letters, lines)) <= longest or count == len(parts):
            return lines
    return (text,)


def _letters(text: str) -> int:
    return sum(2 if _is_han(char) else 1 for char in text)


def _split(parts: Sequence[str], count: int) -> tuple[str, ...]:
    """The split into ``count`` lines whose longest line is least."""
    if count == 1:
        return ("".join(parts).strip(),)
    choices = (
        ("".join(parts[:i]).strip(), *_split(parts[i:], count - 1)) for i in range(1, len(parts) - count + 2)
    )
    return min(choices, key=lambda lines: max(map(_letters, lines)))


def fitted(picture: Picture, size: tuple[int, int]) -> Picture:
    """A picture scaled to fit a size and centred; the rest is background."""
    wide, high = size
    factor = min(wide / picture.width, high / picture.height)
    if (picture.width, picture.height) == (wide, high):
        return picture
    dx, dy = (wide - picture.width * factor) / 2, (high - picture.height * factor) / 2
    matrix = np.array([[factor, 0.0, dx], [0.0, factor, dy]])
    layers = tuple(_fitted_layer(layer, matrix) for layer in picture.layers)
    return Picture(wide, high, picture.background, layers, picture.title, picture.description)


def _fitted_layer(layer: Layer, matrix: Array) -> Layer:
    return Layer(layer.name, (Group(layer.ops, transform=matrix),), layer.moves)


def size_for(text: str, room: float, size: float, weight: str = "regular") -> float:
    """``size``, or the greatest smaller size in px at which one line is no wider than ``room``."""
    wide = width(text, size, weight)
    return size if wide <= room else size * room / wide


def block(text: str, room: float, size: float, most: int, weight: str = "regular") -> tuple[list[str], float]:
    """A text broken into at most ``most`` lines, and the size in px that this takes."""
    while True:
        lines = broken(text, room, size, weight)
        if len(lines) <= most and all(width(line, size, weight) <= room for line in lines):
            return _balanced(lines, text, room, size, weight), size
        size *= 0.96


def _balanced(lines: list[str], text: str, room: float, size: float, weight: str) -> list[str]:
    """As many lines of nearly equal length, so that no word is left alone on the last."""
    while True:
        room *= 0.98
        tried = broken(text, room, size, weight)
        if len(tried) > len(lines) or any(width(line, size, weight) > room for line in tried):
            return lines
        lines = tried
