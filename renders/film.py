"""Films: a timeline drawn frame by frame and streamed to a file."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from renders import encode, frame, scene
from renders.painter import Raster
from renders.picture import Group, Layer, Picture
from renders.speech import USUAL, Speech, said
from renders.style import Style, load
from vocaltract.motion.playback import Playback, constant, dwelling
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.phonetics.inventory import SoundEntry

Frames = Iterator[NDArray[np.uint8]]


def timeline_of_sound(entry: SoundEntry) -> Timeline:
    """The timeline of one sound said by itself."""
    return timeline(alone(entry.symbol), by_itself=True)


def timeline_of_text(text: str, speech: Speech = USUAL) -> Timeline:
    """The timeline of words, a phrase or IPA said in a way; see `renders.speech.said`."""
    return said(text, speech)


def playback_of(shown: Timeline, speed: float, dwell: bool) -> Playback:
    """Constant speed, or slower where contact is made and let go."""
    if not dwell:
        return constant(shown.duration_s, speed)
    moments = [t for c in shown.closures for t in (c.start_s, c.end_s)]
    return dwelling(shown.duration_s, speed, moments)


def fitted(picture: Picture, size: tuple[int, int]) -> Picture:
    """A picture scaled to fit a size and centred; the rest is background."""
    width, height = size
    factor = min(width / picture.width, height / picture.height)
    if (picture.width, picture.height) == (width, height):
        return picture
    dx, dy = (width - picture.width * factor) / 2, (height - picture.height * factor) / 2
    matrix = np.array([[factor, 0.0, dx], [0.0, factor, dy]])
    layers = tuple(_fitted_layer(layer, matrix) for layer in picture.layers)
    return Picture(width, height, picture.background, layers, picture.title, picture.description)


def _fitted_layer(layer: Layer, matrix: NDArray[np.float64]) -> Layer:
    return Layer(layer.name, (Group(layer.ops, transform=matrix),), layer.moves)


def frames(
    shown: Timeline, playback: Playback, speed: float, fps: float, style: Style, size: tuple[int, int], reuse: int = 0
) -> Frames:
    """Frames (height, width, 4) uint8 of a film, one at a time.

    reuse  0 for a new array each time, n for n arrays in turn: one is written again when n more were asked for
    """
    raster = Raster(*size, style, centred=True)
    layout = frame.layout_for(size)
    static = frame.static_layers(shown, shown.head, style, frame.speed_text(speed, playback.dwells), layout)
    times = playback.frame_times_s(fps)
    film_s = np.arange(len(times)) / fps
    kept, pixels = frame.Kept(), encode.buffers(size, reuse)
    for moment in scene.moments(shown, times, film_s):
        yield raster.into(frame.picture(shown, static, moment, style, layout, kept), next(pixels))


def write_film_of(
    text: str,
    out: Path,
    *,
    speed: float = 0.5,
    size: tuple[int, int] = (frame.WIDTH, frame.HEIGHT),
    fps: float = 30,
    style: str = "light",
    dwell: bool = False,
    speech: Speech = USUAL,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """Write a film of a text to .mp4 or .gif.

    `progress(done, total)` is called as frames are drawn. Returns what was made: transcription, frames,
    seconds of film and of speech, speed. BadInput as for reading, size, rate and ending.
    """
    return write_film(
        timeline_of_text(text, speech),
        out,
        speed=speed,
        size=size,
        fps=fps,
        style=style,
        dwell=dwell,
        progress=progress,
    )


def write_film(
    shown: Timeline,
    out: Path,
    *,
    speed: float = 0.5,
    size: tuple[int, int] = (frame.WIDTH, frame.HEIGHT),
    fps: float = 30,
    style: str = "light",
    dwell: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """Write a film of a timeline; see `write_film_of`."""
    encode.check_size(*size)
    encode.check_fps(fps)
    playback = playback_of(shown, speed, dwell)
    total = len(playback.frame_times_s(fps))
    drawn = frames(shown, playback, speed, fps, load(style), size, encode.IN_FLIGHT)
    told = None if progress is None else lambda done: progress(done, total)
    report = encode.write_film(out, drawn, size, fps, progress=told)
    return {
        "transcription": shown.utterance.transcription,
        "frames": report.frames,
        "film_s": round(report.seconds, 3),
        "speech_s": round(shown.duration_s, 3),
        "dwell": playback.dwells,
        "notes": list(shown.utterance.notes),
    }
