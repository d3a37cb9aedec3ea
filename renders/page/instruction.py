"""What a learner is told first: for each of two words what is done otherwise, and when the two differ most."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from renders.page.settings import settings
from renders.page.subject import Item, Subject
from renders.page.texts import as_row
from renders.wording.line import Lines
from renders.wording.steps import how_to
from vocaltract.motion.timeline import Timeline

SEEN_EVERY_S = 0.01


@dataclass(frozen=True, slots=True)
class Instruction:
    """One instruction: a word cut before and after the letters of the sound in question ("", "r", "ight"), and what to
    do; no letters where the spelling does not tell them."""

    word: tuple[str, str, str]
    actions: Lines

    def as_data(self) -> dict[str, Any]:
        """For the page's script."""
        return {"word": list(self.word), "actions": [as_row(action) for action in self.actions]}


def instructions(subject: Subject) -> tuple[Instruction, ...]:
    """For each of two items what to do, without what is done in both; () for one, or where nothing is left for one."""
    if len(subject.items) != 2:
        return ()
    done = [how_to(item.timeline, item.focus).actions for item in subject.items]
    own = [tuple(action for action in mine if action not in other) for mine, other in (done, done[::-1])]
    if not all(own):
        return ()
    most = settings().texts.most_actions
    return tuple(Instruction(_cut(item), actions[:most]) for item, actions in zip(subject.items, own, strict=True))


def _cut(item: Item) -> tuple[str, str, str]:
    utterance = item.timeline.utterance
    sound = utterance.sounds[item.focus]
    if item.timeline.alone or sound.spelling is None or " ".join(utterance.words) != item.name:
        return (item.name, "", "")
    before = sum(len(word) + 1 for word in utterance.words[: sound.word])
    first, last = (before + place for place in sound.spelling)
    return (item.name[:first], item.name[first:last], item.name[last:])


def differ_most_s(subject: Subject, zeros_s: tuple[float, float]) -> float:
    """When two items lined up at `zeros_s`, s on their own clocks, differ most, in s after it.

    Looked for while both of the sounds in question are held, of stops until a little after the release; where they are
    not held together, it is the middle of the first. What is compared, each in its own unit of what is well seen
    (settings): distance of outlines, air from the mouth, voice.
    """
    weighs = settings().differ
    spans = [item.timeline.spans[item.focus] for item in subject.items]
    begin = max(span.hold_s[0] - zero for span, zero in zip(spans, zeros_s, strict=True))
    end = min(span.hold_s[1] - zero for span, zero in zip(spans, zeros_s, strict=True))
    if any(span.release_s is not None for span in spans):
        end += weighs.after_s
    else:
        begin, end = begin + (end - begin) / 4, end - (end - begin) / 4  # away from the neighbours
    if end <= begin:
        return float(sum(spans[0].hold_s) / 2 - zeros_s[0])
    after = np.arange(begin, end + SEEN_EVERY_S, SEEN_EVERY_S)
    a, b = (_seen(item.timeline, after + zero) for item, zero in zip(subject.items, zeros_s, strict=True))
    apart = np.abs(a - b) / np.array([weighs.gap_mm] * (a.shape[1] - 2) + [weighs.flow_ml_s, 1.0])
    return float(after[int(np.argmax(np.minimum(apart, 1.0).sum(axis=1) + apart.sum(axis=1) / 100))])


def _seen(timeline: Timeline, times_s: np.ndarray) -> np.ndarray:
    """What is seen at times (n,): parts of the posture that move in mm, air from the mouth, voice (n, k)."""
    now = timeline.moment(times_s)
    posture = timeline.posture(times_s)
    parts = [posture[name] for name in settings().differ.parts]
    return np.stack([*parts, now.mouth_ml_s, now.voicing], axis=-1)
