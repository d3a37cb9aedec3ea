"""How a film is made: what a shot takes and refuses, and what files of it hold."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from articulators.errors import BadInput
from renders.films.shot import Hold, Shot
from renders.paper.style import load


def test_a_shot_is_a_value() -> None:
    assert Shot() == Shot(speed=0.5, size=(1280, 720)) != Shot(speed=0.25)
    assert hash(Shot(holds=(Hold("closure"),))) == hash(Shot(holds=("closure",)))  # type: ignore[arg-type]
    assert Shot(holds=("release:0.5", Hold("hold"))).holds == (Hold("release", 0.5), Hold("hold", 1.0))  # type: ignore[arg-type]
    assert Shot(style="dark").look == load("dark") and Shot(style="dark").look is not load("light")
    with pytest.raises(AttributeError):
        Shot().speed = 1.0  # type: ignore[misc]


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"speed": 0}, "speed 0 is not possible; allowed is 0.05 to 2"),
        ({"speed": float("nan")}, "speed nan is not possible"),
        ({"fps": 4}, "frame rate 4 is out of range; allowed: 5 to 60"),
        ({"size": (1281, 720)}, "size 1281x720: width 1281 px is odd; it must be even (nearest: 1282)"),
        ({"size": (1280, 62)}, "height 62 px is out of range; allowed: 64 to 3840"),
        ({"style": "drak"}, "style 'drak' is unknown"),
        ({"intro_s": 99}, "an intro of 99 s is out of range; allowed: 0.1 to 10"),
        ({"intro_s": -1}, "an intro of -1 s is out of range"),
        ({"intro_s": 1, "loop": True}, "cannot loop without a jump"),
        ({"holds": ("closur",)}, "phase 'closur' is unknown"),
    ],
)
def test_what_cannot_be_is_refused_at_once(fields: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput) as caught:
        Shot(**fields)
    assert said in str(caught.value)


@pytest.mark.parametrize(("name", "fps"), [("a.mp4", 30), ("a.gif", 25), ("A.WEBM", 30), ("a.b.png", 30)])
def test_a_rate_that_is_not_asked_for_suits_the_format(name: str, fps: int) -> None:
    assert Shot().encoding(name).fps == Fraction(fps)
    assert Shot(fps=50).encoding(name).fps == 50


@pytest.mark.parametrize(
    ("shot", "name", "said"),
    [
        (Shot(fps=30), "a.gif", "cannot keep 30 frames a second; allowed: 5, 6.25, 10, 12.5, 20, 25 or 50"),
        (Shot(transparent=True), "a.mp4", "a MP4 (H.264) film cannot be transparent; allowed: .webm, .mov"),
        (Shot(), "a.avi", "output ending of 'a.avi' is .avi; allowed: .mp4, .gif, .webm, .mov, .webp, .png"),
        (Shot(), "film", "output ending of 'film' is none"),
    ],
)
def test_what_a_format_cannot_hold_is_refused(shot: Shot, name: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        shot.encoding(name)
    assert said in str(caught.value)
