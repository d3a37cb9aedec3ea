"""How a still is wanted: style, labels, parts, the way it faces, what it lies on."""

from __future__ import annotations

from dataclasses import dataclass, field

from renders.anatomy import layers
from renders.paper.style import Style
from renders.wording.languages import Language, language_of


@dataclass(frozen=True)
class StillLook:
    """How a still is wanted.

    labels    the set of names     parts  of `anatomy.layers.DRAWN_ORGANS` and `MARKS`, all unless some are chosen
    language  of what is said in it
    mirrored  the speaker faces right     transparent  no ground, and a rim of paper around what is drawn
    """

    style: Style
    labels: str = "plain"
    parts: frozenset[str] = field(default_factory=lambda: layers.parts_to_draw(None))
    mirrored: bool = False
    transparent: bool = False
    language: Language = field(default_factory=language_of)

    @property
    def casing(self) -> tuple[str, float] | None:
        """What lies under words so that they can be read on any ground; None on the picture's own."""
        return ("paper", 3.0) if self.transparent else None
