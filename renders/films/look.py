"""How the frames of one film look: style, language, layout, and what is left out at the ground and at both ends."""

from __future__ import annotations

from dataclasses import dataclass

from renders.films.layouts import WIDE, Layout, layout_for
from renders.films.shot import Shot
from renders.paper.canvas import Canvas
from renders.paper.style import Style
from renders.wording.languages import Language


@dataclass(frozen=True)
class FrameLook:
    """How the frames of one film look.

    layout       where things lie      transparent  nothing where there is paper
    loops        nothing tells the rest before what is said from the rest after it
    """

    style: Style
    language: Language
    layout: Layout = WIDE
    transparent: bool = False
    loops: bool = False

    @property
    def canvas(self) -> Canvas:
        """What the side view is drawn on."""
        return Canvas(self.layout.view, self.style)

    def size(self, kind: str) -> float:
        """Type size in px of that kind of text."""
        return self.layout.size(self.style, kind)


def look_of(shot: Shot) -> FrameLook:
    """How the frames of a film that is made so look."""
    layout = layout_for(shot.size, shot.captions)
    return FrameLook(shot.look, shot.wording, layout, shot.transparent, shot.loop)
