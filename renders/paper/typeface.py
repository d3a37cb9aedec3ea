"""The bundled typeface: outlines and widths of a line of text.

Andika (SIL Open Font License 1.1, data/fonts/OFL.txt) in regular and bold. It covers the International
Phonetic Alphabet with its combining marks; shaping by matplotlib 3.11 places the marks. What it lacks of our texts,
glyph by glyph, comes from a second face, cut by `renders.paper.make_typeface` (the same licence, OFL-Han.txt).
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from importlib import resources
from typing import TYPE_CHECKING, Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput, SurroundingsError, nearest
from renders.paper.picture import Codes

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

_FILES = {"regular": "Andika-Regular.ttf", "bold": "Andika-Bold.ttf"}
_SECOND = {"regular": "VocaltractHan-Regular.otf", "bold": "VocaltractHan-Bold.otf"}
_UNIT = 100.0
_DIGITS = "0123456789"
_FEATURES: Any = ("ss13", "-liga")  # a with two storeys: the default cannot be told from ɑ; no joined letters
TYPEFACE = "Andika"
LICENCE_FILE = "OFL.txt"


def bundled_files() -> dict[str, bytes]:
    """The fonts and their licence by name, as they must go along with what is set in them on a page."""
    folder = resources.files(__package__).joinpath("data/fonts")
    return {name: folder.joinpath(name).read_bytes() for name in (*_FILES.values(), LICENCE_FILE)}


def font_file(weight: str = "regular") -> str:
    """Path of the first font file of that weight ("regular" or "bold")."""
    return font_files(weight)[0]


def font_files(weight: str = "regular") -> tuple[str, str]:
    """Paths of the font files of that weight: the first, and the one for what it lacks."""
    if weight not in _FILES:
        raise BadInput(f"weight {weight!r} is unknown; allowed: regular, bold{nearest(weight, _FILES)}")
    folder = resources.files(__package__).joinpath("data/fonts")
    return str(folder.joinpath(_FILES[weight])), str(folder.joinpath(_SECOND[weight]))


def _font(file: str) -> FT2Font:
    """A font set to _UNIT px."""
    from matplotlib.ft2font import FT2Font

    font = FT2Font(file)
    font.set_size(_UNIT, 72)
    return font


@functools.cache
def _characters(file: str) -> frozenset[int]:
    return frozenset(_font(file).get_charmap())


def lacking(string: str, weight: str = "regular") -> str:
    """The characters of ``string`` that the first face lacks, each once, in order."""
    known = _characters(font_file(weight))
    return "".join(dict.fromkeys(char for char in string if ord(char) not in known))


def missing(string: str, weight: str = "regular") -> str:
    """The characters of ``string`` that the typeface cannot draw, each once, in order."""
    rest = lacking(string, weight)
    if not rest:
        return ""
    known = _characters(font_files(weight)[1])
    return "".join(char for char in rest if ord(char) not in known)


def _parts(string: str, weight: str) -> list[tuple[str, str]]:
    """Stretches of one face: its file, and the text."""
    first, second = font_files(weight)
    other = lacking(string, weight)
    if not other:
        return [(first, string)] if string else []
    found: list[tuple[str, str]] = []
    for char in string:
        file = second if char in other else first
        if found and found[-1][0] == file:
            found[-1] = file, found[-1][1] + char
        else:
            found.append((file, char))
    return found


@functools.lru_cache(maxsize=4096)
def _advance(string: str, weight: str) -> float:
    from matplotlib.ft2font import LoadFlags

    total = 0.0
    for file, part in _parts(string, weight):
        font = _font(file)
        font.set_text(part, flags=LoadFlags.NO_HINTING, features=_FEATURES)
        total += float(font.get_width_height()[0]) / 64.0
    return total


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


def _glyphs(file: str, part: str) -> Iterator[tuple[Array, Codes]]:
    """Outlines of the glyphs of a text, each at its place: what matplotlib.textpath gives, whose import takes longer
    than all texts of a picture. SurroundingsError where matplotlib lays out text otherwise.
    """
    from matplotlib.ft2font import LoadFlags

    font: Any = _font(file)  # must outlive its glyphs
    if not hasattr(font, "_layout"):
        raise SurroundingsError("this matplotlib lays out no text as matplotlib 3.11 does: install that release")
    for glyph in font._layout(part, LoadFlags.NO_HINTING, features=_FEATURES):
        glyph.ft_object.load_glyph(glyph.glyph_index, flags=LoadFlags.NO_HINTING)
        vertices, codes = glyph.ft_object.get_path()
        yield vertices + (glyph.x, glyph.y), codes


@functools.lru_cache(maxsize=256)  # a clock shows a new string in every frame, of the same few characters
def _outline(string: str, weight: str) -> tuple[Array, Codes]:
    points, kinds, at = [np.empty((0, 2))], [np.empty(0, dtype=np.uint8)], 0.0
    for file, part in _parts(string, weight):
        for vertices, codes in _glyphs(file, part):
            points.append(np.asarray(vertices + (at, 0.0)))
            kinds.append(codes)
        at += _advance(part, weight)
    outline = np.concatenate(points), np.concatenate(kinds)
    for array in outline:
        array.flags.writeable = False
    return outline


@functools.lru_cache(maxsize=256)  # several kB each, and a long film shows thousands of readings of a clock
def outline(string: str, weight: str = "regular", family: str = "text") -> Any:
    """The glyph outlines of a line of text as a matplotlib Path at size 1 px, y UP, starting at the origin.

    Cached, since making one takes about a millisecond. BadInput where the typeface lacks a character.
    """
    from matplotlib.path import Path as OutlinePath

    if unknown := missing(string, weight):
        listed = ", ".join(f"{char} (U+{ord(char):04X})" for char in unknown)
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
