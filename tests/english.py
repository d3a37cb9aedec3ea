"""What a timeline's states, key moments and statements say in English, as text."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from renders.wording import teller
from renders.wording.languages import Language, language_of
from renders.wording.statement import Statement
from vocaltract.motion.timeline import Timeline

ENGLISH = language_of()


def state(timeline: Timeline, time_s: float, technical: bool = False, language: Language = ENGLISH) -> Any:
    """As `renders.wording.teller.state`, every line as text."""
    found = teller.state(timeline, time_s)

    def say(line: Any) -> Any:
        return language.say(line, technical)

    rows = {name: getattr(found, name) for name in ("contact", "air", "voice")}
    texts: dict[str, Any] = {
        name: replace(row, title=say(row.title), second=say(row.second)) for name, row in rows.items()
    }
    return replace(found, cue=say(found.cue), detail=say(found.detail), **texts)


def label(key: teller.KeyMoment, technical: bool = False) -> str:
    """What a key moment is called."""
    return ENGLISH.say(key.label, technical)


def statement(said: Statement) -> Any:
    """As it is, every line as text, sentences joined."""
    lines = ("title", "headline", "both", "bracket")
    texts: dict[str, Any] = {name: ENGLISH.say(getattr(said, name)) for name in lines}
    texts |= {name: ENGLISH.sentences(getattr(said, name)) for name in ("plain", "technical", "unseen")}
    return replace(said, **texts)
