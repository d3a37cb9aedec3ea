"""The styles that come with the project: data/styles.toml as typed records, checked as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Annotated

from msgspec import Meta

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, parsed, text_of
from renders.paper.contrast import mixed, srgb

STYLES_FILE = "styles.toml"
LARGEST_PX = 1000.0
Px = Annotated[float, Meta(gt=0.0, le=LARGEST_PX)]
"""A type size or a line width."""
Share = Annotated[float, Meta(ge=0.0, le=1.0)]


class Mixtures(Row, frozen=True):
    """Roles that lie between two others: from, to, share of the way."""

    roles: Mapping[str, tuple[str, str, Share]]


class Look(Row, frozen=True):
    """One style as it is written: colours by role, and what it has otherwise than all styles."""

    title: str
    colours: Mapping[str, str]
    shading: Share = 1.0
    hatched: bool = False
    line: Mapping[str, Px] = {}


class TypeSizes(Row, frozen=True):
    """Type sizes by kind of text, for pictures of a size."""

    picture_px: tuple[int, int]
    px: Mapping[str, Px]


class LineWidths(Row, frozen=True):
    """Line widths by part."""

    px: Mapping[str, Px]


class Ratio(Row, frozen=True):
    """The least contrast of pairs "front role on ground role"."""

    least: float
    pairs: tuple[str, ...]


class Grounds(Row, frozen=True):
    """What the contact mark can lie on."""

    grounds: tuple[str, ...]


class Contrasts(Record, frozen=True):
    """What must stand out from what."""

    text: Ratio
    graphics: Ratio
    contact_mark: Grounds


class SignalDifference(Row, frozen=True):
    """How far the colours of some roles must lie apart in every kind of vision; styles that are exempt."""

    least: float
    roles: tuple[str, ...]
    exempt: tuple[str, ...]


class StyleTable(Record, frozen=True):
    """data/styles.toml: what each colour role is for, the styles, and what they are held to."""

    roles: Mapping[str, str]
    mixed: Mixtures
    styles: Mapping[str, Look]
    contrast: Contrasts
    difference: SignalDifference
    type: Mapping[str, TypeSizes]
    line: LineWidths

    @property
    def every_role(self) -> tuple[str, ...]:
        """Roles that a style names, then those that are mixed."""
        return (*self.roles, *self.mixed.roles)

    def with_mixed(self, colours: Mapping[str, str]) -> dict[str, str]:
        """Colours with the roles that are mixed from others where a style does not name them itself."""
        whole = dict(colours)
        for role, (first, second, share) in self.mixed.roles.items():
            if role not in colours:
                whole[role] = mixed(whole[first], whole[second], share)
        return whole


@cache
def style_table() -> StyleTable:
    """data/styles.toml."""
    return read_style_table(text_of(__package__, STYLES_FILE))


def read_style_table(text: str) -> StyleTable:
    """A text in the form of data/styles.toml. BadInput names the file, the key and what is allowed.

    Beside what its records say: every style has every role, each colour is "#RRGGBB", and what refers to a role, a
    style or a part names one that there is.
    """
    table = parsed(text, StyleTable, STYLES_FILE)
    pairs = (*table.contrast.text.pairs, *table.contrast.graphics.pairs)
    named = {
        "mixed.roles": [role for row in table.mixed.roles.values() for role in row[:2]],
        "contrast": [role for pair in pairs for role in pair.split(" on ")],
        "contrast.contact_mark.grounds": table.contrast.contact_mark.grounds,
        "difference.roles": table.difference.roles,
    }
    for where, roles in named.items():
        _known(roles, table.roles, where)
    _known(table.difference.exempt, table.styles, "difference.exempt")
    for name, look in table.styles.items():
        _known(look.colours, table.every_role, f"styles.{name}.colours")
        _known(look.line, table.line.px, f"styles.{name}.line")
        missing = [role for role in table.roles if role not in look.colours]
        if missing:
            raise BadInput(f"{STYLES_FILE}: styles.{name}.colours: missing: {', '.join(missing)}")
        for role, colour in look.colours.items():
            try:
                srgb(colour)
            except BadInput as error:
                raise BadInput(f"{STYLES_FILE}: styles.{name}.colours.{role}: {error}") from None
    return table


def _known(names: Iterable[str], allowed: Iterable[str], where: str) -> None:
    for name in names:
        if name not in allowed:
            said = f"{name!r} is unknown; allowed: {', '.join(allowed)}{nearest(name, allowed)}"
            raise BadInput(f"{STYLES_FILE}: {where}: {said}")
