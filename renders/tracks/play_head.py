"""What moves on a time strip: the play head, and the sound that is being made."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from renders.paper.picture import Fill, Layer, Op, Path, Stroke, Text
from renders.paper.typeface import width
from renders.tracks.layout import tracks_layout
from renders.tracks.strip_plan import StripPlan
from renders.tracks.timestrip import TimeStrip, closure_bars, sound_boxes
from vocaltract.motion.phases import Course


class PlayHead:
    """What moves on one strip: play head and lit sound. What is the same at every moment is worked out once."""

    def __init__(self, strip: TimeStrip, course: Course | None = None) -> None:
        self._plan = strip.plan
        self._course = course or Course(strip.timeline)
        self._lit = cache(lambda index: Layer("sound said", tuple(sound_boxes(strip, index))))
        bars = closure_bars(strip) if strip.plan.shut is not None else []
        self._words = [op for op in bars if isinstance(op, Text) and op.anchor == "middle"]

    def layers(self, time_s: float) -> list[Layer]:
        """The sound being made, the same layer as long as it lasts, and the play head; neither covers the symbol."""
        index, _ = self._course.at(time_s)
        layers = [] if index is None else [self._lit(index)]
        plan, look = self._plan, tracks_layout().play_head
        x = plan.at(time_s)
        if not plan.left - 0.5 <= x <= plan.right + 0.5:
            # before and after what the strip shows there is no place for it
            return layers
        top, high = plan.marker
        half = look.half_share * high
        below = plan.sounds[0] + plan.sounds[1] + look.below * plan.unit
        line = Path.line([[x, below], [x, plan.ticks[0] + look.into_ticks * plan.unit]])
        mark = Path.polygon([[x - half, top], [x + half, top], [x, top + high]])
        casing = ("panel", (look.line + look.rim) * plan.unit)
        head = Stroke(line, "ink", look.line * plan.unit, cap="butt", casing=casing, name="play head")
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
    rim = tracks_layout().play_head.word_rim * plan.unit
    for word in words:
        reach = 0.5 * width(word.string, word.size, word.weight) + rim
        if abs(word.x - x) <= reach:
            ground = "panel" if word.colour == "air" else "contact"
            ops.append(replace(word, casing=(ground, rim)))
    return ops
