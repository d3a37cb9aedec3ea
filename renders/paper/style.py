"""Styles: colour roles resolved to sRGB, type sizes and line widths, bundled or from a coach's own file."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from articulators.errors import BadInput, nearest
from renders.paper import style_file
from renders.paper.contrast import srgb
from renders.paper.legibility import too_faint
from renders.paper.style_table import Look, StyleTable, style_table

Rgba = tuple[float, float, float, float]
_Value = TypeVar("_Value")


@dataclass(frozen=True)
class Style:
    """One look: every colour role, with the type sizes and line widths that all styles share.

    ``colours`` maps role to "#RRGGBB"; ``sizes_px`` maps a format ("film", "vertical", "still") to type
    sizes; ``lines_px`` maps a part to a line width where 1 mm is drawn as 4 px. ``shading`` 0..1: strength of
    the soft edges and textures; ``hatched``: tissue that stays still is hatched instead of filled.
    """

    name: str
    colours: Mapping[str, str]
    sizes_px: Mapping[str, Mapping[str, float]]
    lines_px: Mapping[str, float]
    shading: float = 1.0
    hatched: bool = False
    title: str = ""

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


def _known(table: Mapping[str, _Value], key: str, what: str) -> _Value:
    if key not in table:
        raise BadInput(f"{what} {key!r} is unknown; allowed: {', '.join(table)}{nearest(key, table)}")
    return table[key]


def _style(name: str, look: Look, table: StyleTable) -> Style:
    return Style(
        name=name,
        colours=MappingProxyType(table.with_mixed(look.colours)),
        sizes_px=MappingProxyType({kind: row.px for kind, row in table.type.items()}),
        lines_px=MappingProxyType({**table.line.px, **look.line}),
        shading=look.shading,
        hatched=look.hatched,
        title=look.title,
    )


@functools.cache
def _bundled() -> Mapping[str, Style]:
    table = style_table()
    return MappingProxyType({name: _style(name, look, table) for name, look in table.styles.items()})


def names() -> tuple[str, ...]:
    """Names of the styles that come with the project, the default first."""
    return tuple(_bundled())


def load(name: str = "light", *, checked: bool = True) -> Style:
    """The style of that name; a name that ends in .toml is a coach's own file (see `copy_of`).

    BadInput for a name that is none, where an own file is faulty or, if `checked`, where something in it would be too
    faint to see; SurroundingsError where it cannot be read.
    """
    if not name.endswith(style_file.ENDING):
        return _known(_bundled(), name, "style")
    file = Path(name)
    look = changed(style_file.read_changes(file), file.name)
    faint = too_faint(look.colours) if checked else []
    if faint:
        more = f"; {len(faint) - 1} more, see `vocaltract styles {name}`" if len(faint) > 1 else ""
        raise BadInput(f"style file {file.name}: too little contrast: {faint[0]}{more}")
    return look


def changed(changes: style_file.Changes, name: str) -> Style:
    """A style with changes; colours that are mixed follow those that they are mixed from, unless they are named."""
    base, table = _bundled()[changes.based_on], style_table()
    sizes = {kind: {**row, **changes.sizes_px.get(kind, {})} for kind, row in base.sizes_px.items()}
    return Style(
        name=name.removesuffix(style_file.ENDING),
        colours=MappingProxyType(table.with_mixed({**table.styles[base.name].colours, **changes.colours})),
        sizes_px=MappingProxyType({kind: MappingProxyType(row) for kind, row in sizes.items()}),
        lines_px=MappingProxyType({**base.lines_px, **changes.lines_px}),
        shading=base.shading if changes.shading is None else changes.shading,
        hatched=base.hatched if changes.hatched is None else changes.hatched,
        title=changes.title,
    )


def copy_of(name: str) -> str:
    """The text of a file to start an own style from: everything that can be changed, as it is in that style."""
    look, table = load(name), style_table()
    lines = [
        "# A style of your own. Change what you like and delete what may stay as it is; use it with --style THIS-FILE.",
        '# Colours are "#RRGGBB". Check how well they can be told apart with: vocaltract styles THIS-FILE',
        f'based_on = "{look.name}"',
        f"shading = {look.shading:g}        # 0 flat ... 1 soft edges and textures",
        f"hatched = {str(look.hatched).lower()}    # true: tissue that stays still is hatched, not filled",
        "",
        "[colours]",
    ]
    lines += [f'{role} = "{look.colours[role]}"  # {what}' for role, what in table.roles.items()]
    lines += ["", "# Mixed from the colours above where they are left out:"]
    for role, (first, second, share) in table.mixed.roles.items():
        lines.append(f'# {role} = "{look.colours[role]}"  # {share:.0%} of the way from {first} to {second}')
    lines += ["", "[line]  # widths in px where 1 mm of the head is drawn as 4 px"]
    lines += [f"{part} = {value:g}" for part, value in look.lines_px.items()]
    for kind, row in look.sizes_px.items():
        wide, high = table.type[kind].picture_px
        lines += ["", f"[type.{kind}]  # px of a picture of {wide} x {high} px"]
        lines += [f"{text} = {value:g}" for text, value in row.items()]
    return "\n".join(lines) + "\n"
