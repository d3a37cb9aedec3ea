"""Styles: colour roles resolved to sRGB, type sizes and line widths, loaded from data/styles.toml."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import Any

from articulators.errors import BadInput, SurroundingsError, nearest
from renders.contrast import srgb

Rgba = tuple[float, float, float, float]


@dataclass(frozen=True)
class Style:
    """One look: every colour role, with the type sizes and line widths that all styles share.

    ``colours`` maps role to "#RRGGBB"; ``sizes_px`` maps a format ("film", "vertical", "still") to type
    sizes; ``lines_px`` maps a part to a line width where 1 mm is drawn as 4 px.
    """

    name: str
    colours: Mapping[str, str]
    sizes_px: Mapping[str, Mapping[str, float]]
    lines_px: Mapping[str, float]

    def hex(self, colour: str) -> str:
        """A role name or "#RRGGBB" as "#RRGGBB"; BadInput for anything else."""
        if colour.startswith("#"):
            srgb(colour)
            return colour
        return _known(self.colours, colour, "colour role")

    def rgba(self, colour: str, opacity: float = 1.0) -> Rgba:
        """A role name or "#RRGGBB" as four values 0 to 1."""
        red, green, blue = _channels(self.hex(colour))
        return red, green, blue, float(opacity)

    def size(self, kind: str, fmt: str = "film") -> float:
        """Type size in px of that kind of text in a format; BadInput for unknown names."""
        return _known(_known(self.sizes_px, fmt, "format"), kind, f"{fmt} type size")

    def line(self, part: str, px_per_mm: float = 4.0) -> float:
        """Line width in px of that part at a drawing scale in px per mm."""
        return _known(self.lines_px, part, "line width") * px_per_mm / 4.0


@functools.lru_cache(maxsize=512)
def _channels(hex_colour: str) -> tuple[float, float, float]:
    red, green, blue = srgb(hex_colour)
    return float(red), float(green), float(blue)


def _known(table: Mapping[str, Any], key: str, what: str) -> Any:
    if key not in table:
        raise BadInput(f"{what} {key!r} is unknown; allowed: {', '.join(table)}{nearest(key, table)}")
    return table[key]


def read_styles(text: str) -> dict[str, Style]:
    """All styles of a TOML text in the form of data/styles.toml.

    BadInput where a style lacks a role or has an unknown one, where a colour is not "#RRGGBB", or where a
    size or width is not a positive number.
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"style file is not valid TOML: {error}") from None
    for key in ("roles", "styles", "type", "line"):
        if key not in table:
            raise BadInput(f"style file lacks the table [{key}]")
    roles = table["roles"]
    sizes = {fmt: _positive(row, f"type.{fmt}") for fmt, row in table["type"].items()}
    lines = _positive(table["line"], "line")
    styles = {}
    for name, colours in table["styles"].items():
        for role, colour in colours.items():
            _known(roles, role, f"colour role in style {name!r}:")
            try:
                srgb(colour)
            except BadInput as error:
                raise BadInput(f"style {name!r}, role {role!r}: {error}") from None
        missing = [role for role in roles if role not in colours]
        if missing:
            raise BadInput(f"style {name!r} lacks the colour role(s): {', '.join(missing)}")
        styles[name] = Style(name, MappingProxyType(dict(colours)), MappingProxyType(sizes), lines)
    return styles


def _positive(row: Mapping[str, Any], where: str) -> Mapping[str, float]:
    for key, value in row.items():
        if not isinstance(value, (int, float)) or isinstance(value, bool) or not value > 0:
            raise BadInput(f"style file, [{where}] {key} = {value!r}: a number above 0 is needed")
    return MappingProxyType({key: float(value) for key, value in row.items()})


@functools.cache
def _bundled() -> Mapping[str, Style]:
    text = resources.files("renders").joinpath("data/styles.toml").read_text(encoding="utf-8")
    return MappingProxyType(read_styles(text))


def names() -> tuple[str, ...]:
    """Names of the styles that come with the project, the default first."""
    return tuple(_bundled())


def load(name: str = "light", file: Path | None = None) -> Style:
    """The style of that name, from the bundled table or from a file in the same form."""
    if file is None:
        return _known(_bundled(), name, "style")
    try:
        text = Path(file).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise SurroundingsError(f"style file {file} cannot be read: {error}") from None
    return _known(read_styles(text), name, "style")


@functools.cache
def requirements() -> Mapping[str, Any]:
    """The contrast and difference requirements that the bundled styles are tested against."""
    table = tomllib.loads(resources.files("renders").joinpath("data/styles.toml").read_text(encoding="utf-8"))
    return MappingProxyType({key: table[key] for key in ("contrast", "difference")})
