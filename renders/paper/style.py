"""Styles: colour roles resolved to sRGB, type sizes and line widths, from data/styles.toml or a coach's own file."""

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
from renders.paper.contrast import mixed, ratio, srgb

Rgba = tuple[float, float, float, float]
FILE_ENDING = ".toml"
FILE_TABLES = ("based_on", "title", "shading", "hatched", "colours", "line", "type")


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


def _known(table: Mapping[str, Any], key: str, what: str) -> Any:
    if key not in table:
        raise BadInput(f"{what} {key!r} is unknown; allowed: {', '.join(table)}{nearest(key, table)}")
    return table[key]


def read_styles(text: str) -> dict[str, Style]:
    """All styles of a TOML text in the form of data/styles.toml.

    BadInput where a style lacks a role or has an unknown one, where a colour is not "#RRGGBB", or where a
    size or width is not a positive number.
    """
    table = _parsed(text)
    for key in ("roles", "styles", "type", "line"):
        if key not in table:
            raise BadInput(f"style file lacks the table [{key}]")
    roles, mixtures = table["roles"], table.get("mixed", {})
    sizes = {fmt: _positive(row, f"type.{fmt}") for fmt, row in table["type"].items()}
    lines = _positive(table["line"], "line")
    styles: dict[str, Style] = {}
    for name, row in table["styles"].items():
        colours = {key: value for key, value in row.items() if key not in ("title", "shading", "hatched", "line")}
        _checked(colours, roles, mixtures, f"style {name!r}")
        missing = [role for role in roles if role not in colours]
        if missing:
            raise BadInput(f"style {name!r} lacks the colour role(s): {', '.join(missing)}")
        widths = MappingProxyType({**lines, **_positive(row.get("line", {}), f"styles.{name}.line")})
        styles[name] = Style(
            name, _with_mixed(colours, mixtures), MappingProxyType(sizes), widths, _share(row), _flag(row),
            str(row.get("title", "")),
        )  # fmt: skip
    return styles


def _parsed(text: str, where: str = "style file") -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput(f"{where} is not valid TOML: {error}") from None


def _checked(colours: Mapping[str, Any], roles: Mapping[str, Any], mixtures: Mapping[str, Any], where: str) -> None:
    for role, colour in colours.items():
        _known({**roles, **mixtures}, role, f"colour role in {where}:")
        try:
            srgb(colour)
        except BadInput as error:
            raise BadInput(f"{where}, role {role!r}: {error}") from None


def _with_mixed(colours: Mapping[str, str], mixtures: Mapping[str, Any]) -> Mapping[str, str]:
    """Colours with the roles that are mixed from others where a style does not name them itself."""
    whole = dict(colours)
    for role, (first, second, share) in mixtures.items():
        if role not in colours:
            whole[role] = mixed(whole[first], whole[second], share)
    return MappingProxyType(whole)


def _share(row: Mapping[str, Any], where: str = "style file") -> float:
    value = row.get("shading", 1.0)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= 1:
        raise BadInput(f"{where}, shading = {value!r}: a number from 0 to 1 is needed")
    return float(value)


def _flag(row: Mapping[str, Any], where: str = "style file") -> bool:
    value = row.get("hatched", False)
    if not isinstance(value, bool):
        raise BadInput(f"{where}, hatched = {value!r}: true or false is needed")
    return value


def _positive(row: Any, where: str, file: str = "style file") -> Mapping[str, float]:
    if not isinstance(row, Mapping):
        raise BadInput(f"{file}, [{where}] must be a table of numbers, got {row!r}")
    for key, value in row.items():
        if not isinstance(value, (int, float)) or isinstance(value, bool) or not 0 < value < 1e4:
            raise BadInput(f"{file}, [{where}] {key} = {value!r}: a number above 0 is needed")
    return MappingProxyType({key: float(value) for key, value in row.items()})


@functools.cache
def _text() -> str:
    return resources.files("renders.paper").joinpath("data/styles.toml").read_text(encoding="utf-8")


@functools.cache
def _table() -> Mapping[str, Any]:
    return tomllib.loads(_text())


@functools.cache
def _bundled() -> Mapping[str, Style]:
    return MappingProxyType(read_styles(_text()))


def names() -> tuple[str, ...]:
    """Names of the styles that come with the project, the default first."""
    return tuple(_bundled())


def load(name: str = "light", file: Path | None = None, *, checked: bool = True) -> Style:
    """The style of that name; a name that ends in .toml is a coach's own file (see `copy_of`).

    With `file`, the style of that name from a file in the form of data/styles.toml. BadInput where an own file is
    faulty or, if `checked`, where something in it would be too faint to see.
    """
    if file is not None:
        return _known(read_styles(_read(file)), name, "style")
    if name.endswith(FILE_ENDING):
        look = own(_read(Path(name)), Path(name).name)
        faint = too_faint(look) if checked else []
        if faint:
            more = f"; {len(faint) - 1} more, see `vocaltract styles {name}`" if len(faint) > 1 else ""
            raise BadInput(f"style file {Path(name).name}: too little contrast: {faint[0]}{more}")
        return look
    return _known(_bundled(), name, "style")


def _read(file: Path) -> str:
    try:
        return Path(file).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or error
        raise SurroundingsError(f"style file {file} cannot be read: {reason}") from None


def own(text: str, name: str = "own style") -> Style:
    """A coach's own style: what it does not say comes from the style it is based on.

    BadInput, with the nearest match, for an unknown key, role, width or size and for a value that is none.
    """
    where = f"style file {name}"
    table = _parsed(text, where)
    for key in table:
        if key not in FILE_TABLES:
            raise BadInput(
                f"{where}: key {key!r} is unknown; allowed: {', '.join(FILE_TABLES)}{nearest(key, FILE_TABLES)}"
            )
    base = _known(_bundled(), str(table.get("based_on", "light")), f"{where}, based_on:")
    roles, mixtures = _table()["roles"], _table()["mixed"]
    colours = table.get("colours", {})
    if not isinstance(colours, Mapping):
        raise BadInput(f"{where}: [colours] must be a table of colours, got {colours!r}")
    _checked(colours, roles, mixtures, where)
    named = {role: colour for role, colour in base.colours.items() if role in roles}
    kept = {role: base.colours[role] for role in mixtures if role in _table()["styles"][base.name]}
    widths = _positive(table.get("line", {}), "line", where)
    for key in widths:
        _known(base.lines_px, key, f"{where}, [line]: line width")
    sizes = {fmt: dict(row) for fmt, row in base.sizes_px.items()}
    kinds = table.get("type", {})
    if not isinstance(kinds, Mapping):
        raise BadInput(f"{where}: [type] must hold tables of sizes, got {kinds!r}")
    for fmt, row in kinds.items():
        into = _known(sizes, fmt, f"{where}, [type]: format")
        for key, value in _positive(row, f"type.{fmt}", where).items():
            _known(into, key, f"{where}, [type.{fmt}]: type size")
            into[key] = value
    return Style(
        name=name.removesuffix(FILE_ENDING),
        colours=_with_mixed({**named, **kept, **colours}, mixtures),
        sizes_px=MappingProxyType({fmt: MappingProxyType(row) for fmt, row in sizes.items()}),
        lines_px=MappingProxyType({**base.lines_px, **widths}),
        shading=_share(table, where) if "shading" in table else base.shading,
        hatched=_flag(table, where) if "hatched" in table else base.hatched,
        title=str(table.get("title", "")),
    )


def copy_of(name: str) -> str:
    """The text of a file to start an own style from: everything that can be changed, as it is in that style."""
    look = load(name)
    table = _table()
    lines = [
        "# A style of your own. Change what you like and delete what may stay as it is; use it with --style THIS-FILE.",
        '# Colours are "#RRGGBB". Check how well they can be told apart with: vocaltract styles THIS-FILE',
        f'based_on = "{look.name}"',
        f"shading = {look.shading:g}        # 0 flat ... 1 soft edges and textures",
        f"hatched = {str(look.hatched).lower()}    # true: tissue that stays still is hatched, not filled",
        "",
        "[colours]",
    ]
    for role, what in table["roles"].items():
        lines.append(f'{role} = "{look.colours[role]}"  # {what}')
    lines += ["", "# Mixed from the colours above where they are left out:"]
    for role, (first, second, share) in table["mixed"].items():
        lines.append(f'# {role} = "{look.colours[role]}"  # {share:.0%} of the way from {first} to {second}')
    lines += ["", "[line]  # widths in px where 1 mm of the head is drawn as 4 px"]
    lines += [f"{part} = {value:g}" for part, value in look.lines_px.items()]
    for fmt, row in look.sizes_px.items():
        lines += ["", f"[type.{fmt}]  # px of a picture of {table['type_for'][fmt]} px"]
        lines += [f"{kind} = {value:g}" for kind, value in row.items()]
    return "\n".join(lines) + "\n"


def too_faint(look: Style) -> list[str]:
    """Pairs of colours of a style that lie on each other with less contrast than WCAG 2.2 asks for, in words."""
    rules = requirements()["contrast"]
    found: list[str] = []

    def told(what: str, reached: float, rule: Mapping[str, Any]) -> None:
        if reached < rule["least"]:
            found.append(f"{what} reaches {reached:.2f}:1, {rule['least']:g}:1 is needed ({rule['source']})")

    for kind in ("text", "graphics"):
        for pair in rules[kind]["pairs"]:
            front, ground = pair.split(" on ")
            told(pair, float(ratio(look.rgba(front)[:3], look.rgba(ground)[:3])), rules[kind])
    for ground in rules["contact_mark"]["grounds"]:
        reached = max(float(ratio(look.rgba(c)[:3], look.rgba(ground)[:3])) for c in ("contact", "contact_edge"))
        told(f"contact or contact_edge on {ground}", reached, rules["graphics"])
    return found


@functools.cache
def requirements() -> Mapping[str, Any]:
    """The contrast and difference requirements that the bundled styles are tested against."""
    return MappingProxyType({key: _table()[key] for key in ("contrast", "difference")})
