"""Talks at the front desk: data/dialogues.toml, and the one that suits a lesson."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from articulators.records import Record, Row, table


class Turn(Record, frozen=True):
    """What one of the two says; a syllable that carries a beat stands between stars."""

    who: Literal["guest", "clerk"]
    text: str

    @property
    def parts(self) -> tuple[tuple[str, bool], ...]:
        """Its text in parts, each with whether it carries a beat."""
        split = self.text.split("*")
        return tuple((part, bool(i % 2)) for i, part in enumerate(split) if part)

    @property
    def plain(self) -> str:
        """Its text without marks."""
        return self.text.replace("*", "")


class Dialogue(Record, frozen=True):
    """Six turns, and the sounds that they are rich in."""

    name: str
    sounds: tuple[str, ...]
    turns: tuple[Turn, ...]


class Dialogues(Row, frozen=True):
    """The file."""

    dialogue: tuple[Dialogue, ...]


def dialogues() -> tuple[Dialogue, ...]:
    """All of them."""
    return table("renders.handouts", "dialogues.toml", Dialogues).dialogue


def dialogue_for(sounds: Iterable[str]) -> Dialogue:
    """The one with most of the sounds (symbols, or "teens"); the one for any lesson where none has one of them."""
    wanted = set(sounds)
    return max(dialogues(), key=lambda one: (len(wanted & set(one.sounds)), not one.sounds))
