"""Timelines of words, made once for all tests of a run: each takes most of a second."""

from __future__ import annotations

from functools import cache

from vocaltract.motion.timeline import Timeline
from vocaltract.speech import USUAL, Speech, say


@cache
def said(text: str, speech: Speech = USUAL) -> Timeline:
    """The timeline of a text as pictures and films show it; frozen, so that tests can share it."""
    return say(text, speech)
