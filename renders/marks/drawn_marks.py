"""The marks that lie over the air on a side view, back to front: films, stills and pages draw what this list holds."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from renders.marks.contact import contact_layer
from renders.marks.moment import Moment
from renders.marks.voice import voice_layer
from renders.paper.canvas import Canvas
from renders.paper.picture import Layer


class DrawnMark(NamedTuple):
    """A mark: its name, what draws it, the part that shows or hides it, and the organ that it is nothing without.

    compared   also drawn where two shapes of the mouth lie over each other
    """

    name: str
    layer: Callable[[Moment, Canvas], Layer]
    part: str
    organ: str = ""
    compared: bool = False

    def shown(self, parts: frozenset[str]) -> bool:
        """Whether it is drawn where these organs and marks are."""
        return self.part in parts and (not self.organ or self.organ in parts)


DRAWN_MARKS = (
    DrawnMark("contact", contact_layer, "contact", compared=True),
    DrawnMark("voice", voice_layer, "voice", "larynx"),
)
