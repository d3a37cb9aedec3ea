"""The moment that shows a sound best, as a still draws it; made once for all tests of a run."""

from __future__ import annotations

from functools import cache

from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.stills import still
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone


@cache
def key_moment(symbol: str) -> Moment:
    """The moment of a still of the sound by itself."""
    shown = say_alone(sound(symbol))
    return moment(shown, still.key_time_s(shown))
