"""Films: a timeline drawn frame by frame and streamed to a file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from renders.files import encode, formats
from renders.files.writer import Frame
from renders.films import frame
from renders.films.intro import intro_card
from renders.films.options import PLAIN, Options, with_holds
from renders.ink.forked import Draw, drawn
from renders.ink.painter import Raster
from renders.paper.style import Style, load
from renders.sideview import moments as scene
from vocaltract.motion.playback import Playback, constant, dwelling
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import USUAL, Speech, say

Frames = Iterator[Frame]


FASTER = "faster than natural: phrases with many stops may flash more than three times a second (WCAG 2.2, 2.3.1)"


def playback_of(shown: Timeline, speed: float, dwell: bool) -> Playback:
    """Constant speed, or slower where contact is made and let go."""
    if not dwell:
        return constant(shown.duration_s, speed)
    moments = [t for c in shown.closures for t in (c.start_s, c.end_s)]
    return dwelling(shown.duration_s, speed, moments)


def frames(
    shown: Timeline,
    playback: Playback,
    speed: float,
    fps: float,
    style: Style,
    size: tuple[int, int],
    reuse: int = 0,
    options: Options = PLAIN,
) -> Frames:
    """Frames (height, width, 4) uint8 of a film, one at a time.

    reuse  0 for a new array each time, n for n arrays in turn: one is written again when n more were asked for
    """
    draw = drawing(shown, playback, speed, fps, style, size, options)
    return draw(0, 1, encode.buffers(size, reuse))


def drawing(
    shown: Timeline, playback: Playback, speed: float, fps: float, style: Style, size: tuple[int, int], options: Options
) -> Draw:
    """What draws frames of a film; one process calls it once."""
    layout = frame.layout_for(size, options.captions)
    text = frame.speed_text(speed, playback.dwells)
    card = intro_card(shown, style, size, text, options.transparent)
    before = intro_frames(options, fps)
    static = frame.static_layers(shown, shown.head, style, text, layout, options.transparent)
    times = playback.frame_times_s(fps)
    if options.loop:
        times[-1] = times[0]  # the mouth rests at both ends, apart from what is too little to see
    film_s = np.arange(len(times)) / fps
    kept, dressed = frame.Kept(), {"transparent": options.transparent, "loops": options.loop}

    def draw(first: int, step: int, pixels: Iterator[Frame]) -> Frames:
        raster = Raster(*size, style, centred=True)  # gone with the last frame: it is as large as two of them
        for _ in range(first, before, step):
            yield raster.into(card, next(pixels))
        at = slice(max(first, before + (first - before) % step) - before, None, step)
        if at.start < len(times):
            for moment in scene.moments(shown, times[at], film_s[at]):
                yield raster.into(frame.picture(shown, static, moment, style, layout, kept, **dressed), next(pixels))

    return draw


def intro_frames(options: Options, fps: float) -> int:
    """How many frames the intro card takes."""
    return round(options.intro_s * fps)


def write_film_of(
    text: str,
    out: Path,
    *,
    speed: float = 0.5,
    size: tuple[int, int] = (frame.WIDTH, frame.HEIGHT),
    fps: float | None = None,
    style: str = "light",
    dwell: bool = False,
    speech: Speech = USUAL,
    options: Options = PLAIN,
    force: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """Write a film of a text in the format of the ending of `out`; see `renders.files.formats`.

    `fps` None takes 30, or 25 for GIF. `force`: a folder of PNG frames may exist. `progress(done, total)` is called
    as frames are drawn. Returns what was made: transcription, frames, seconds of film and of speech, speed. BadInput
    as for reading, size, rate, options and ending.
    """
    _check(out, size, fps, options)
    return write_film(
        say(text, speech),
        out,
        speed=speed,
        size=size,
        fps=fps,
        style=style,
        dwell=dwell,
        options=options,
        force=force,
        progress=progress,
    )


def _check(out: Path, size: tuple[int, int], fps: float | None, options: Options) -> float:
    """The frame rate; BadInput where the format cannot hold what is asked for."""
    kind = formats.format_of(Path(out).name)
    formats.check_size(*size)
    rate = formats.usual_fps(kind) if fps is None else fps
    formats.check_fps(rate, kind)
    if options.transparent:
        formats.check_transparent(kind)
    return rate


def write_film(
    shown: Timeline,
    out: Path,
    *,
    speed: float = 0.5,
    size: tuple[int, int] = (frame.WIDTH, frame.HEIGHT),
    fps: float | None = None,
    style: str = "light",
    dwell: bool = False,
    options: Options = PLAIN,
    force: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """Write a film of a timeline; see `write_film_of`."""
    rate = _check(out, size, fps, options)
    playback = with_holds(playback_of(shown, speed, dwell), shown, options.holds)
    total = len(playback.frame_times_s(rate)) + intro_frames(options, rate)
    draw = drawing(shown, playback, speed, rate, load(style), size, options)
    told = None if progress is None else lambda done: progress(done, total)
    with drawn(draw, total, size, encode.IN_FLIGHT) as made:
        report = encode.write_film(out, made, size, rate, progress=told, transparent=options.transparent, force=force)
    return {
        "transcription": shown.utterance.transcription,
        "out": report.path,
        "fps": rate,
        "frames": report.frames,
        "film_s": round(report.seconds, 3),
        "speech_s": round(shown.duration_s, 3),
        "dwell": playback.dwells,
        "notes": [*shown.utterance.notes, *([FASTER] if speed > 1 else [])],
    }
