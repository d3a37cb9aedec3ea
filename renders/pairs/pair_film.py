"""Two sounds, words or phrases running in step: two side views over one axis of time, aligned at a chosen event."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput
from renders.files.outputs import Progress
from renders.files.sound_file import COMPUTED, RECORDED
from renders.files.writer import Frame
from renders.films.film import Film, Reel
from renders.films.frame import speed_text
from renders.films.shot import Shot
from renders.ink.painter import Raster
from renders.marks.moments import moments
from renders.pairs.compared import compared_pair, pair_report
from renders.pairs.in_step import InStep, event_frame, in_step
from renders.pairs.layout import film_layout
from renders.pairs.look import PairLook
from renders.pairs.pair_frame import FilmDress, frame, static_layers
from vocaltract.motion.playback import constant
from vocaltract.pairs.occurrences import compare
from vocaltract.sound.hearing import HEARD_RATE_HZ, heard
from vocaltract.speech import USUAL, Speeches

ALONE = ("dwell", "captions", "transparent", "loop", "intro_s", "holds", "wave")  # of a shot: for one text only


def write_pair_film(
    a: str,
    b: str,
    out: Path,
    shot: Shot,
    *,
    event: str = "",
    speech: Speeches = USUAL,
    force: bool = False,
    progress: Progress | None = None,
) -> dict[str, Any]:
    """Write two sounds, words or phrases in step as a film; returns what the comparison says and how long it is.

    event  closure, release or vowel: what coincides; "" takes the one that suits
    BadInput as for `picture.write_pair`, `event.alignment` and `Film.save`.
    """
    shot.encoding(out)  # before the texts are worked out
    both = in_step(compared_pair(compare(a, b, speech)), event)
    return film_in_step(both, shot).save(out, force=force, progress=progress)


def film_in_step(both: InStep, shot: Shot) -> Film:
    """The film of two texts in step. BadInput for a shot with what only the film of one text can have."""
    usual = Shot()
    more = [name for name in ALONE if getattr(shot, name) != getattr(usual, name)]
    if more:
        raise BadInput(f"a film of two in step has no {' and no '.join(more)}; leave it out")
    return Film(shot, shot.wording.say(both.pair.statement.title), partial(reel_in_step, both, shot))


def reel_in_step(both: InStep, shot: Shot, fps: float, is_heard: bool = False) -> Reel:
    """The film of two texts in step at a frame rate; what all its frames have is worked out here, once.

    `is_heard`: it runs twice, with the voice of the first and then of the second, and shows which of them is heard.
    """
    look, size = PairLook(shot.look, shot.wording), shot.size
    playback = constant(both.end_s - both.start_s, shot.speed)
    recorded = all(said.timeline.leading is not None for said in both.pair.said) and shot.sound != "model"
    heard_as = ("recorded" if recorded else "voice") if is_heard else ""
    text = speed_text(shot.speed, False, look.language, heard_as)
    dress = FilmDress(film_layout(size), look, text.speed_title, text.voice)
    static = static_layers(both, dress)
    once = playback.frame_times_s(fps) + both.start_s
    turns: tuple[int | None, ...] = (0, 1) if is_heard else (None,)
    clock, turn_of = np.tile(once, len(turns)), [turn for turn in turns for _ in once]
    film_s = np.arange(len(clock)) / fps

    def draw(first: int, step: int, pixels: Iterator[Frame]) -> Iterator[Frame]:
        raster = Raster(*size, look.style, centred=True)
        at = slice(first, None, step)
        runs = [moments(s.timeline, both.times_s(clock[at], n), film_s[at]) for n, s in enumerate(both.pair.said)]
        for now, turn, first_text, second_text in zip(clock[at], turn_of[at], *runs, strict=True):
            picture = frame(both, static, float(now), (first_text, second_text), dress, turn)
            yield raster.into(picture, next(pixels))

    hearing = replace(shot.hearing, computed=shot.sound == "model")

    def sound() -> Array:
        whole = np.zeros(round(len(clock) / fps * HEARD_RATE_HZ))
        for number, said in enumerate(both.pair.said):
            wave = heard(said.timeline, hearing, both.playback(number, shot.speed))
            first = round(number * len(once) / fps * HEARD_RATE_HZ)
            part = whole[first : first + len(wave)]
            part += wave[: len(part)]
        return whole

    aligned = {
        "aligned_at_s": [round(zero, 4) for zero in both.way.zeros_s],
        "event_frame": event_frame(both, playback, fps),
    }
    report = {**pair_report(both.pair, look.language), **aligned}
    return Reel(draw, len(clock), sound if is_heard else None, report, RECORDED if recorded else COMPUTED)
