"""The figure of an utterance's timing: its rows say what the timeline holds, and stay on the page."""

from __future__ import annotations

from functools import cache

import pytest

from renders.paper.picture import Fill, Group, Op, Picture, Stroke, Text
from renders.paper.style import load
from renders.tracks.timing_plot import timing_picture
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import say


@cache
def spoken(text: str) -> Timeline:
    return say(text)


def flat(ops: tuple[Op, ...]) -> list[Op]:
    return [inner for op in ops for inner in (flat(op.ops) if isinstance(op, Group) else [op])]


def drawn(picture: Picture, layer: str) -> list[Op]:
    return flat(next(found for found in picture.layers if found.name == layer).ops)


def texts(picture: Picture) -> list[str]:
    return [op.string for layer in picture.layers for op in flat(layer.ops) if isinstance(op, Text)]


def test_figure_has_every_track_under_the_transcription() -> None:
    shown = spoken("backpack")
    picture = timing_picture(shown, load("light"))
    said_there = texts(picture)
    for name in ("lips", "tongue tip", "tongue body", "velum", "glottis", "mouth pressure", "voicing"):
        assert name in said_there
    assert shown.utterance.transcription in said_there
    symbols = [op.string for op in drawn(picture, "sounds") if isinstance(op, Text)]
    assert symbols[:-1] == [span.sound.symbol for span in shown.spans]


def test_bars_stand_where_the_way_is_shut() -> None:
    shown = spoken("backpack")
    picture = timing_picture(shown, load("light"))
    by_name = {"lips": "lips", "tongue tip": "coronal", "tongue body": "dorsal"}
    at = [op.x for op in drawn(picture, "axis") if isinstance(op, Text) and op.string in ("0", "100")]
    for name, organ in by_name.items():
        bars = [op.path.bounds() for op in drawn(picture, name) if isinstance(op, Fill) and op.name == "shut"]
        closed = [c for c in shown.closures if c.organ == organ]
        assert len(bars) == len(closed)
        for (x0, _, x1, _), closure in zip(bars, closed, strict=True):
            start, end = ((x - at[0]) / (at[1] - at[0]) * 0.1 + shown.speech_s[0] for x in (x0, x1))
            assert start == pytest.approx(closure.start_s, abs=1e-6)
            assert end == pytest.approx(closure.end_s, abs=1e-6)


@pytest.mark.parametrize("text", ["backpack", "good night, keep calm", "[ʔ]", "[s]", "a", "[ʘ]"])
@pytest.mark.parametrize("style", ["light", "dark", "print"])
def test_everything_stays_on_the_page(text: str, style: str) -> None:
    picture = timing_picture(spoken(text), load(style))
    for layer in picture.layers:
        for op in flat(layer.ops):
            if isinstance(op, Fill | Stroke) and len(op.path.vertices):
                x0, y0, x1, y1 = op.path.bounds()
                assert min(x0, y0) >= 0
                assert x1 <= picture.width
                assert y1 <= picture.height
            if isinstance(op, Text):
                assert 0 <= op.x <= picture.width
                assert op.size >= 10
