"""The bundled typeface: outlines and widths of a line of text.

Andika (SIL Open Font License 1.1, data/fonts/OFL.txt) in regular and bold. It covers the International
Phonetic Alphabet with its combining marks; shaping by matplotlib 3.11 places the marks.
"""

from __future__ import annotations

import functools
from importlib import resources
from typing import TYPE_CHECKING, Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, nearest
from renders.paper.picture import Codes

if TYPE_CHECKING:
    from matplotlib.font_manager import FontProperties

_FILES = {"regular": "Andika-Regular.ttf", "bold": "Andika-Bold.ttf"}
_UNIT = 100.0
_DIGITS = "0123456789"
_FEATURES: Any = ("ss13", "-liga")  # a with two storeys: the default cannot be told from ɑ; no joined letters


LICENCE_FILE = "OFL.txt"


def bundled_files() -> dict[str, bytes]:
    """The fonts and their licence by name, as they must go along with what is set in them on a page."""
    folder = resources.files(__package__).joinpath("data/fonts")
    return {name: folder.joinpath(name).read_bytes() for name in (*_FILES.values(), LICENCE_FILE)}


def font_file(weight: str = "regular") -> str:
    """Path of the font file of that weight ("regular" or "bold")."""
    if weight not in _FILES:
        raise BadInput(f"weight {weight!r} is unknown; allowed: regular, bold{nearest(weight, _FILES)}")
    return str(resources.files(__package__).joinpath(f"data/fonts/{_FILES[weight]}"))


@functools.cache
def _properties(weight: str) -> FontProperties:
    from matplotlib.font_manager import FontProperties

    return FontProperties(fname=font_file(weight), size=_UNIT)


@functools.cache
def _characters(weight: str) -> frozenset[int]:
    from matplotlib.ft2font import FT2Font

    return frozenset(FT2Font(font_file(weight)).get_charmap())


def missing(string: str, weight: str = "regular") -> str:
    """The characters of ``string`` that the typeface cannot draw, each once, in order."""
    known = _characters(weight)
    return "".join(dict.fromkeys(char for char in string if ord(char) not in known))


@functools.lru_cache(maxsize=4096)
def _advance(string: str, weight: str) -> float:
    from matplotlib.ft2font import FT2Font, LoadFlags

    if not string:
        return 0.0
    font = FT2Font(font_file(weight))
    font.set_size(_UNIT, 72)
    font.set_text(string, flags=LoadFlags.NO_HINTING, features=_FEATURES)
    return float(font.get_width_height()[0]) / 64.0


@functools.cache
def _digit_advance(weight: str) -> float:
    return max(_advance(digit, weight) for digit in _DIGITS)


def width(string: str, size: float, weight: str = "regular", family: str = "text") -> float:
    """Advance width in px of a line of text at that size in px. ``family`` "figures": equal digits."""
    if family == "figures":
        unit = sum(_digit_advance(weight) if c in _DIGITS else _advance(c, weight) for c in string)
    else:
        unit = _advance(string, weight)
    return unit * size / _UNIT


@functools.cache
def _capital_height(weight: str) -> float:
    vertices, _ = _outline("H", weight)
    return float(vertices[:, 1].max()) / _UNIT


def capital_height(size: float, weight: str = "regular") -> float:
    """Height in px of a capital letter at that size in px."""
    return _capital_height(weight) * size


@functools.lru_cache(maxsize=256)  # a clock shows a new string in every frame, of the same few characters
def _outline(string: str, weight: str) -> tuple[Array, Codes]:
    from matplotlib.textpath import text_to_path

    vertices, codes = text_to_path.get_text_path(_properties(weight), string, features=_FEATURES)
    outline = np.array(vertices, dtype=np.float64).reshape(-1, 2), np.array(codes, dtype=np.uint8)
    for array in outline:
        array.flags.writeable = False
    return outline


@functools.lru_cache(maxsize=256)  # several kB each, and a long film shows thousands of readings of a clock
def outline(string: str, weight: str = "regular", family: str = "text") -> Any:
    """The glyph outlines of a line of text as a matplotlib Path at size 1 px, y UP, starting at the origin.

    Cached, since making one takes about a millisecond. BadInput where the typeface lacks a character.
    """
    from matplotlib.path import Path as OutlinePath

    lacking = missing(string, weight)
    if lacking:
        listed = ", ".join(f"{char} (U+{ord(char):04X})" for char in lacking)
        raise BadInput(f"the typeface cannot draw {listed} in {string!r}; use Latin letters and IPA symbols")
    if family == "figures":
        parts, at = [], 0.0
        for char in string:
            room = _digit_advance(weight) if char in _DIGITS else _advance(char, weight)
            vertices, codes = _outline(char, weight)
            parts.append((vertices + ((room - _advance(char, weight)) / 2.0 + at, 0.0), codes))
            at += room
        vertices = np.concatenate([part[0] for part in parts]) if parts else np.empty((0, 2))
        codes = np.concatenate([part[1] for part in parts]) if parts else np.empty(0, dtype=np.uint8)
    else:
        vertices, codes = _outline(string, weight)
    path = OutlinePath(vertices / _UNIT, codes if len(codes) else None, readonly=True)
    path.should_simplify = False
    return path
