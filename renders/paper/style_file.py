"""A coach's own style file: what it changes of the style that it is based on, every fault told with its line."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn

from articulators.errors import BadInput, SurroundingsError, nearest
from renders.paper.contrast import srgb
from renders.paper.style_table import LARGEST_PX, style_table

ENDING = ".toml"
STYLE_TABLES = ("based_on", "title", "shading", "hatched", "colours", "line", "type")
_LONGEST_VALUE = 60
_HEADING = re.compile(r"\s*\[+([^\[\]]+)\]")
_KEY = re.compile(r"""\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=""")


@dataclass(frozen=True)
class Changes:
    """What a file changes: None and empty tables where it says nothing."""

    based_on: str = "light"
    title: str = ""
    shading: float | None = None
    hatched: bool | None = None
    colours: Mapping[str, str] = field(default_factory=dict)
    lines_px: Mapping[str, float] = field(default_factory=dict)
    sizes_px: Mapping[str, Mapping[str, float]] = field(default_factory=dict)


def read_changes(path: Path) -> Changes:
    """What the file changes. BadInput where it is absent or faulty, SurroundingsError where it cannot be read."""
    try:
        data = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError):
        folder = path.parent
        beside = [str(folder / file.name) for file in folder.glob(f"*{ENDING}") if file.is_file()]
        found = nearest(str(path), beside)
        raise BadInput(f"style file {path}: no such file; `vocaltract styles` writes one to change{found}") from None
    except OSError as error:
        raise SurroundingsError(f"style file {path} cannot be read: {error.strerror or error}") from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise BadInput(
            f"style file {path.name}, line {line}: byte 0x{data[error.start]:02X} is not UTF-8; save the file as UTF-8"
        ) from None
    return changes(text, path.name)


def changes(text: str, name: str) -> Changes:
    """What a text changes. BadInput names the file, the line where it is known, key, value and what is allowed."""
    return _File(name, text).changes()


def line_number(text: str, keys: Sequence[str]) -> int | None:
    """The line, from 1, on which a key of a TOML text stands, or the table that holds it; None where neither does."""
    best, found = 0, None
    table: tuple[str, ...] = ()
    for number, line in enumerate(text.splitlines(), 1):
        heading, pair = _HEADING.match(line), _KEY.match(line)
        if heading is not None:
            table = here = _parts(heading[1])
        elif pair is not None:
            here = (*table, *_parts(pair[1]))
        else:
            continue
        if len(here) > best and here == tuple(keys[: len(here)]):
            best, found = len(here), number
    return found


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip().strip("\"'") for part in dotted.split("."))


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


@dataclass(frozen=True)
class _File:
    """A style file while it is read."""

    name: str
    text: str

    def changes(self) -> Changes:
        values, known = self._values(), style_table()
        self._allowed(values, STYLE_TABLES, ())
        based_on = self._word(values, "based_on", "light")
        if based_on not in known.styles:
            self._fault(("based_on",), based_on, f"allowed: {', '.join(known.styles)}{nearest(based_on, known.styles)}")
        colours = self._table(values, ("colours",), known.every_role)
        for role, colour in colours.items():
            try:
                srgb(colour)
            except BadInput:
                self._fault(("colours", role), colour, 'a colour of the form "#RRGGBB" is needed')
        sizes = self._table(values, ("type",), known.type)
        return Changes(
            based_on=based_on,
            title=self._word(values, "title", ""),
            shading=self._share(values["shading"], ("shading",)) if "shading" in values else None,
            hatched=self._flag(values["hatched"], ("hatched",)) if "hatched" in values else None,
            colours=colours,
            lines_px=self._widths(values, ("line",), known.line.px),
            sizes_px={kind: self._widths(sizes, ("type", kind), known.type[kind].px) for kind in sizes},
        )

    def _values(self) -> dict[str, Any]:
        try:
            return tomllib.loads(self.text)
        except RecursionError:
            raise BadInput(f"{self._at(())}: not TOML: lists within lists without end") from None
        except ValueError as error:  # also a number of more digits than Python reads
            said = str(error)
            at = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", said)
            line = "" if at is None else f", line {at[1] or len(self.text.splitlines())}"
            said = said if at is None else said[: at.start()]
            raise BadInput(f"style file {self.name}{line}: not TOML: {said[:1].lower()}{said[1:]}") from None

    def _at(self, keys: Sequence[str]) -> str:
        line = line_number(self.text, keys)
        return f"style file {self.name}" + ("" if line is None else f", line {line}")

    def _fault(self, keys: tuple[str, ...], value: Any, needed: str) -> NoReturn:
        shown = str(value).lower() if isinstance(value, bool) else repr(value)
        shown = shown if len(shown) <= _LONGEST_VALUE else f"{shown[:_LONGEST_VALUE]}…"
        raise BadInput(f"{self._at(keys)}: {'.'.join(keys)} = {shown}: {needed}")

    def _allowed(self, given: Mapping[str, Any], names: Sequence[str], keys: tuple[str, ...]) -> None:
        for key in given:
            if key not in names:
                at, whole = self._at((*keys, key)), ".".join((*keys, key))
                raise BadInput(f"{at}: key {whole!r} is unknown; allowed: {', '.join(names)}{nearest(key, names)}")

    def _table(self, values: Mapping[str, Any], keys: tuple[str, ...], names: Any) -> Mapping[str, Any]:
        table = values.get(keys[-1], {})
        if not isinstance(table, Mapping):
            self._fault(keys, table, f"a table is needed, with any of: {', '.join(names)}")
        self._allowed(table, tuple(names), keys)
        return table

    def _widths(self, values: Mapping[str, Any], keys: tuple[str, ...], names: Any) -> Mapping[str, float]:
        table = self._table(values, keys, names)
        for key, value in table.items():
            if not _is_number(value) or not 0 < value <= LARGEST_PX:
                self._fault((*keys, key), value, f"a number above 0 and up to {LARGEST_PX:g} is needed")
        return {key: float(value) for key, value in table.items()}

    def _share(self, value: Any, keys: tuple[str, ...]) -> float:
        if not _is_number(value) or not 0 <= value <= 1:
            self._fault(keys, value, "a number from 0 to 1 is needed")
        return float(value)

    def _flag(self, value: Any, keys: tuple[str, ...]) -> bool:
        if not isinstance(value, bool):
            self._fault(keys, value, "true or false is needed")
        return value

    def _word(self, values: Mapping[str, Any], key: str, otherwise: str) -> str:
        value = values.get(key, otherwise)
        if not isinstance(value, str):
            self._fault((key,), value, "a text is needed")
        return value
