"""What moves on a time strip: the play head, and the sound that is being made."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from renders.paper.picture import Box, Fill, Layer, Op, Path, Stroke, Text
from renders.paper.style import Style
from renders.paper.typeface import width
from renders.tracks.strip_plan import RowChoice, StripPlan, strip_plan
from renders.tracks.timestrip import closure_bars, sound_boxes
from renders.wording.languages import Language
from vocaltract.motion.phases import Course
from vocaltract.motion.timeline import Timeline


class PlayHead:
    """What moves on one strip: play head and lit sound. What is the same at every moment is worked out once."""

    def __init__(
        self,
        timeline: Timeline,
        box: Box,
        style: Style,
        language: Language,
        rows: RowChoice = "all",
        course: Course | None = None,
    ) -> None:
        self._plan = strip_plan(timeline, box, rows)
        self._course = course or Course(timeline)
        self._lit = cache(lambda index: Layer("sound said", tuple(sound_boxes(timeline, self._plan, style, index))))
        drawn = closure_bars(timeline, self._plan, style, language) if self._plan.shut is not None else []
        self._words = [op for op in drawn if isinstance(op, Text) and op.anchor == "middle"]

    def layers(self, time_s: float) -> list[Layer]:
        """The sound being made, the same layer as long as it lasts, and the play head; neither covers the symbol."""
        index, _ = self._course.at(time_s)
        layers = [] if index is None else [self._lit(index)]
        plan = self._plan
        x = plan.at(time_s)
        if not plan.left - 0.5 <= x <= plan.right + 0.5:
            # before and after what the strip shows there is no place for it
            return layers
        top, high = plan.marker
        half = 0.62 * high
        below = plan.sounds[0] + plan.sounds[1] + 1.5 * plan.unit
        line = Path.line([[x, below], [x, plan.ticks[0] + 0.3 * plan.unit]])
        mark = Path.polygon([[x - half, top], [x + half, top], [x, top + high]])
        casing = ("panel", (2.2 + 2.0) * plan.unit)
        head = Stroke(line, "ink", 2.2 * plan.unit, cap="butt", casing=casing, name="play head")
        marker = Fill(mark, "ink", name="play head marker")
        # two layers: what lies between them need not be drawn again
        return [
            *layers,
            Layer("play head", (head, *_uncovered(self._words, x, plan))),
            Layer("play head marker", (marker,)),
        ]


def _uncovered(words: list[Text], x: float, plan: StripPlan) -> list[Op]:
    """The words of bars that the play head crosses, again, so that they can be read over it."""
    ops: list[Op] = []
    for word in words:
        reach = 0.5 * width(word.string, word.size, word.weight) + 2.0 * plan.unit
        if abs(word.x - x) <= reach:
            ground = "panel" if word.colour == "air" else "contact"
            ops.append(replace(word, casing=(ground, 2.0 * plan.unit)))
    return ops
