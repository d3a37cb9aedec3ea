"""A small view beside a side view: the folds from above, the lips from the front, or the palate from below."""

from __future__ import annotations

from typing import Literal, TypeAlias

from renders.insets import palate
from renders.insets.folds import folds_view, folds_word
from renders.insets.lips import lip_shape, lips_view, lips_word
from renders.marks.moment import Moment
from renders.pairs.layout import SmallViewRoom
from renders.pairs.look import PairLook
from renders.paper.fitting import size_for
from renders.paper.picture import Box, Group, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.wording.line import Line

Kind: TypeAlias = Literal["folds", "lips", "palate"]


def small_view(kind: Kind, now: Moment, box: Box, room: SmallViewRoom, look: PairLook) -> list[Op]:
    """The view in its frame, its name above and what it shows below."""
    x, y, wide, high = box
    word, ops = _view(kind, now, room.inner(box), look.style)
    title, shows = look.language.text(f"view.{kind}"), look.language.say(word)
    middle, fits = x + wide / 2, size_for(shows, wide - 8, 18, "bold")
    return [
        Stroke(Path.rectangle(*box, 10), "rule", look.style.line("rule")),
        Text(title, middle, y + 12, size_for(title, wide - 8, 15), "ink2", anchor="middle", baseline="middle"),
        Group(ops),
        Text(shows, middle, y + high - room.word_up_px, fits, "ink", "bold", anchor="middle", baseline="middle"),
    ]


def _view(kind: Kind, now: Moment, box: Box, style: Style) -> tuple[Line, tuple[Op, ...]]:
    instant = now.instant
    if kind == "palate":
        return palate.palate_word(now.section), palate.contact_view(now.section, box, style, instant.mouth_flows)
    if kind == "lips":
        shape = lip_shape(now.section)
        return lips_word(shape), lips_view(shape, box, style)
    word = folds_word(instant.folds_mm, instant.voice)
    return word, folds_view(now.section.head.folds_above, instant.folds_mm, instant.voice, now.drift, box, style)
