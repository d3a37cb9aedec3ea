"""What stays in its room: pictures scaled, lines broken by width, sizes made smaller only where nothing else helps."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from articulators.curves import Array
from renders.paper.picture import Group, Layer, Picture
from renders.paper.typeface import width


def broken(text: str, room: float, size: float, weight: str = "regular") -> list[str]:
    """The lines of a text, words kept whole, none wider than ``room`` px unless one word is."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, weight) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def even_lines(text: str, longest: int) -> tuple[str, ...]:
    """Lines of about equal length where ``text`` has more than ``longest`` letters and a space."""
    words = text.split()
    if len(text) <= longest or len(words) < 2:
        return (text,)
    for count in range(2, len(words) + 1):
        lines = _split(words, count)
        if max(map(len, lines)) <= longest or count == len(words):
            return lines
    return (text,)


def _split(words: Sequence[str], count: int) -> tuple[str, ...]:
    """The split into ``count`` lines whose longest line is least."""
    if count == 1:
        return (" ".join(words),)
    choices = ((" ".join(words[:i]), *_split(words[i:], count - 1)) for i in range(1, len(words) - count + 2))
    return min(choices, key=lambda lines: max(map(len, lines)))


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
