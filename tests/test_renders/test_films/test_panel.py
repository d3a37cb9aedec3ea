"""What a frame says beside the side view, in parts that change at different times."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from renders.films import panel
from renders.films.layouts import LAYOUTS, WIDE, Layout
from renders.films.look import FrameLook
from renders.ink.recording import recorded_calls
from renders.paper.picture import Layer, Picture
from renders.paper.style import load
from renders.wording import teller
from renders.wording.languages import language_of
from vocaltract.speech import say

LOOK = FrameLook(load(), language_of())


def drawn(piece: panel.Piece) -> str:
    """All pen calls of a piece, to compare."""
    picture = Picture(WIDE.width, WIDE.height, None, (Layer(piece.name, tuple(piece.ops())),))
    calls = recorded_calls(picture, LOOK.style)
    return repr([(call.vertices.round(3).tolist(), call.face, call.edge, call.string) for call in calls])


@pytest.mark.parametrize("text", ["luggage", "[t]"])
def test_pieces_that_say_the_same_are_the_same(text: str) -> None:
    """A film keeps a piece for as long as its `says` is equal; `says` that differ are drawn otherwise."""
    timeline = say(text)
    seen: dict[tuple[str, object], str] = {}
    for time_s in np.linspace(0.0, timeline.duration_s, 40):
        state = teller.state(timeline, float(time_s))
        for piece in panel.panel_parts(timeline, float(time_s), state, LOOK):
            made = drawn(piece)
            assert seen.setdefault((piece.name, piece.says), made) == made
    clocks = [made for (name, _), made in seen.items() if name == "clock"]
    assert len(set(clocks)) == len(clocks) > 30, "the clock is another at every time"
    assert {name for name, _ in seen} >= {"sound", "word", "phases", "cue", "contact row", "air row", "voice row"}


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: f"{layout.width}x{layout.height}")
def test_the_speed_stands_in_every_layout(layout: Layout) -> None:
    ops = panel.rules(replace(LOOK, layout=layout), "half speed", "1 s of speech = 2 s of film")
    calls = recorded_calls(Picture(layout.width, layout.height, None, (Layer("rules", tuple(ops)),)), LOOK.style)
    assert {"half speed", "1 s of speech = 2 s of film"} <= {call.string for call in calls}


def test_a_loop_shows_no_clock_while_nothing_is_said() -> None:
    timeline = say("key")
    rest = teller.state(timeline, 0.0)
    (clock,) = (p for p in panel.panel_parts(timeline, 0.0, rest, replace(LOOK, loops=True)) if p.name == "clock")
    (usual,) = (p for p in panel.panel_parts(timeline, 0.0, rest, LOOK) if p.name == "clock")
    assert clock.says == "" and usual.says != ""
