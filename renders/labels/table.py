"""Parts that have a name in a labelled side view, and what leaders cost: data/labels.toml as typed records."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, parsed, text_of
from renders.anatomy.layers import DRAWN_ORGANS

LABELS_FILE = "labels.toml"


class Crossing(Row, frozen=True):
    """By how many px a leader counts as longer for what it crosses.

    open               organs whose outlines are lines, not rings
    deep_mm            how far it may reach into the part that it names
    through_px_per_px  what a px farther through that part counts
    box_px, mark_px    a small view; an edge of a mark
    grazed_px          how near its end it passes an outline without crossing it
    organs_px          an outline of each organ
    """

    open: tuple[str, ...]
    deep_mm: float
    through_px_per_px: float
    box_px: float
    mark_px: float
    grazed_px: float
    organs_px: Mapping[str, float]


class Leader(Row, frozen=True):
    """By how many px a leader counts as longer for where it lies and for what other leaders do."""

    crossed_px: float
    near_px: float
    nearer_px: float
    slant_px_per_px: float
    second_choice_px: float
    regret_px: float


class Wording(Row, frozen=True):
    """How long a line of a label may be."""

    most_letters: int


class Label(Record, frozen=True):
    """A part that has a name, in every language.

    shown_with  the organ of a side view that it belongs to     own  the outlines that its leader may enter
    in_plain    whether the plain set has it
    """

    part: str
    shown_with: str
    own: tuple[str, ...] = ()
    in_plain: bool = True


class LabelTable(Row, frozen=True):
    """data/labels.toml; unit, source and status are those of the parts that are named."""

    crossing: Crossing
    leader: Leader
    wording: Wording
    label: tuple[Label, ...]


@cache
def label_table() -> LabelTable:
    """data/labels.toml."""
    return read_label_table(text_of(__package__, LABELS_FILE))


def read_label_table(text: str) -> LabelTable:
    """A text in the form of data/labels.toml. BadInput names the file, the key and what is allowed.

    Beside what its records say: a label belongs to an organ of the side view, and outlines have a cost.
    """
    found = parsed(text, LabelTable, LABELS_FILE)
    priced = tuple(found.crossing.organs_px)
    for label in found.label:
        _known((label.shown_with,), DRAWN_ORGANS, f"shown_with of {label.part}")
        _known(label.own, priced, f"own of {label.part}")
    _known(found.crossing.open, priced, "crossing.open")
    return found


def _known(names: tuple[str, ...], allowed: tuple[str, ...], where: str) -> None:
    for name in names:
        if name not in allowed:
            said = f"{name!r} is unknown; allowed: {', '.join(allowed)}{nearest(name, allowed)}"
            raise BadInput(f"{LABELS_FILE}: {where}: {said}")


@cache
def labels_by_part() -> Mapping[str, Label]:
    """Labels by part, in the order of the file."""
    return MappingProxyType({label.part: label for label in label_table().label})
