"""Films against encoding alone, against matplotlib's own way of making films, and against their own length.

Scene and baseline stand in film_scene.toml. Everything is measured side by side in one process, since absolute
figures drift; each figure is a median of several turns.
"""

from __future__ import annotations

import itertools
import statistics
import tempfile
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from tests.benchmarks.figures import Figure, command_peak_mb, command_seconds, limited, seconds
from vocaltract.speech import say

if TYPE_CHECKING:
    from renders.films.frame import FilmFrames
    from renders.films.shot import Shot
    from vocaltract.motion.timeline import Timeline

TURNS = 3
LONG_TEXT = "complimentary breakfast in the lobby and luggage at the front desk until the elevator reservation is ready"
GIF_SIZE = (640, 360)


@cache
def scene() -> Mapping[str, Any]:
    """film_scene.toml, parsed."""
    return tomllib.loads(Path(__file__).with_name("film_scene.toml").read_text(encoding="utf-8"))


def measure() -> Iterator[Figure]:
    """All figures on films."""
    with tempfile.TemporaryDirectory() as folder:
        for name, size in scene()["film"]["sizes_px"].items():
            yield from _beside_encoding(name, tuple(size), Path(folder))
        yield from _proportion(Path(folder))
        yield from _gif(Path(folder))
    yield from _memory()
    yield limited("film_geometry", _geometry_s())
    yield limited("film_start", command_seconds("film", "towel", "--size", "640x360", "--fps", "25", times=5))


def _film(size: tuple[int, int], fps: float, speed: float) -> tuple[Timeline, Shot]:
    """Timeline of the scene's film, and how it is made."""
    from renders.films.shot import Shot

    row = scene()["film"]
    return say(row["text"]), Shot(speed=speed, fps=fps, size=size, style=row["style"])


def median(turns: list[Callable[[], object]], times: int = TURNS) -> list[float]:
    """Median seconds of each call, the calls taking turns so that a busy moment meets them all."""
    taken: list[list[float]] = [[] for _ in turns]
    for _ in range(times):
        for place, call in zip(taken, turns, strict=True):
            place.append(seconds(call))
    return [statistics.median(place) for place in taken]


def _beside_encoding(name: str, size: tuple[int, int], folder: Path) -> Iterator[Figure]:
    """Geometry, drawing and encoding together over encoding the same frames, and over FuncAnimation."""
    from renders.files import encode
    from renders.films import film, pacing

    row = scene()["film"]
    shown, shot = _film(size, row["fps"], row["speed"])
    playback = pacing.playback_of(shown, shot)
    count = len(playback.frame_times_s(row["fps"]))
    # frames of 1080p do not fit into memory all at once: as many as do, from the middle
    most = min(count, int(1.2e9 / (size[0] * size[1] * 4)))
    begin = (count - most) // 2
    kept = [frame.copy() for frame in itertools.islice(film.film(shown, shot).frames(), begin, begin + most)]
    out = folder / "film.mp4"

    def whole() -> None:
        film.film(shown, shot).save(out, force=True)

    def alone() -> None:
        encode.encode(kept, out, shot.encoding(out), force=True)

    def drawn() -> None:
        for _ in film.film(shown, shot).frames(encode.IN_FLIGHT):
            pass

    alone_s, whole_s, drawn_s = median([alone, whole, drawn])
    animated_ms = _animated_ms(shown, playback, size, folder)
    each, made, drawn_ms = 1e3 * alone_s / most, 1e3 * whole_s / count, 1e3 * drawn_s / count
    layers, ops, vertices = counted(shown, playback, size)
    yield Figure(f"{name}: layers of the scene", layers, "layers")
    yield Figure(f"{name}: ops drawn in a frame", ops, "ops")
    yield Figure(f"{name}: their vertices", vertices, "vertices")
    yield Figure(f"{name}: frames of the film", count, "frames")
    yield Figure(f"{name}: encoding alone", each, "ms/frame")
    yield Figure(f"{name}: geometry and drawing alone", drawn_ms, "ms/frame")
    yield Figure(f"{name}: all together", made, "ms/frame")
    yield Figure(f"{name}: FuncAnimation and FFMpegWriter", animated_ms, "ms/frame")
    yield limited(f"film_{name}_encoding", made / each)
    yield limited(f"film_{name}_animation", made / animated_ms)


def _frames(shown: Timeline, size: tuple[int, int]) -> FilmFrames:
    """What draws the frames of the scene's film."""
    from renders.films.frame import FilmFrames, speed_text
    from renders.films.look import look_of
    from renders.films.shot import Shot

    row = scene()["film"]
    look = look_of(Shot(speed=row["speed"], size=size, style=row["style"]))
    return FilmFrames(shown, look, speed_text(row["speed"], False, look.language))


def counted(shown: Any, playback: Any, size: tuple[int, int]) -> tuple[int, int, int]:
    """Layers, ops and vertices of the frame with most ops; RuntimeError where a layer of the scene is missing."""
    from renders.ink.recording import recorded_calls
    from renders.marks import moments

    frames = _frames(shown, size)
    times = playback.frame_times_s(15)
    best, names = (0, 0, 0), set()
    for moment in moments.moments(shown, times):
        picture = frames.picture(moment)
        names |= {layer.name for layer in picture.layers}
        calls = recorded_calls(picture, frames.look.style)
        best = max(best, (len(calls), sum(len(call.vertices) for call in calls), len(picture.layers)))
    missing = set(scene()["film"]["layers"]) - names
    if missing:
        raise RuntimeError(f"the scene has lost its layers {', '.join(sorted(missing))}")
    return best[2], best[0], best[1]


def _animated_ms(shown: Any, playback: Any, size: tuple[int, int], folder: Path) -> float:
    """Milliseconds a frame of the same film by FuncAnimation and FFMpegWriter, geometry included."""
    import imageio_ffmpeg
    import matplotlib
    from matplotlib.animation import FFMpegWriter, FuncAnimation
    from matplotlib.figure import Figure as Canvas

    from renders.marks import moments

    row, base = scene()["film"], scene()["baseline"]
    frames = _frames(shown, size)
    look, layout = frames.look.style, frames.look.layout
    times = playback.frame_times_s(row["fps"])
    begin = (len(times) - base["frames"]) // 2
    some = slice(begin, begin + base["frames"])
    film_s = np.arange(len(times)) / row["fps"]
    figure = Canvas(figsize=(size[0] / 72, size[1] / 72), dpi=72)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, layout.width), ylim=(layout.height, 0))
    axes.set_axis_off()
    figure.set_facecolor(look.rgba("paper"))
    scale = size[0] / layout.width
    for layer in frames.fixed:
        for artist in _artists(layer.ops, look, axes, scale):
            axes.add_artist(artist)
    coming = moments.moments(shown, times[some], film_s[some])
    moving: list[Any] = []

    def update(_: int) -> list[Any]:
        while moving:
            moving.pop().remove()
        picture = frames.picture(next(coming))
        for layer in picture.layers[len(frames.fixed) :]:
            for artist in _artists(layer.ops, look, axes, scale):
                moving.append(axes.add_artist(artist))
        return moving

    with matplotlib.rc_context({"animation.ffmpeg_path": imageio_ffmpeg.get_ffmpeg_exe()}):
        writer = FFMpegWriter(fps=row["fps"], codec=base["codec"], extra_args=list(base["arguments"]))
        shown_film = FuncAnimation(figure, update, frames=base["frames"], init_func=list, blit=False)
        taken = seconds(lambda: shown_film.save(folder / "animated.mp4", writer=writer, dpi=72))
    return 1e3 * taken / base["frames"]


def _artists(ops: Any, look: Any, axes: Any, scale: float, matrix: Any = None, clip: Any = None) -> Iterator[Any]:
    """A matplotlib artist for every op, as somebody would write it who draws this film with matplotlib."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as Outline
    from matplotlib.text import Text as Words
    from matplotlib.transforms import Affine2D

    from renders.ink.pens import ring
    from renders.paper import typeface
    from renders.paper.picture import Fill, Group, Stroke, Text

    matrix = np.eye(3) if matrix is None else matrix
    place = Affine2D(matrix) + axes.transData
    for op in ops:
        if isinstance(op, Stroke) and op.casing is not None:
            under = replace(op, colour=op.casing[0], width=op.casing[1], casing=None, dash=None)
            yield from _artists([under], look, axes, scale, matrix, clip)
        if isinstance(op, Group):
            inner = matrix if op.transform is None else matrix @ np.vstack([op.transform, (0.0, 0.0, 1.0)])
            within = clip if op.clip is None else (Outline(*ring(op.clip)), Affine2D(inner) + axes.transData)
            yield from _artists(op.ops, look, axes, scale, inner, within)
            continue
        if isinstance(op, Text):
            artist: Any = Words(
                op.x, op.y, op.string, color=look.rgba(op.colour, op.opacity), transform=place,
                fontproperties=FontProperties(fname=typeface.font_file(op.weight), size=op.size * scale),
                ha={"start": "left", "middle": "center", "end": "right"}[op.anchor],
                va="baseline" if op.baseline == "alphabetic" else "center",
            )  # fmt: skip
        elif isinstance(op, Stroke):
            artist = PathPatch(
                Outline(*ring(op.path)), fill=False, edgecolor=look.rgba(op.colour, op.opacity),
                linewidth=op.width * scale, capstyle=op.cap, joinstyle=op.join, transform=place,
            )  # fmt: skip
            if op.dash:
                artist.set_linestyle((0, [length / op.width for length in op.dash]))
        else:
            path = op.path if isinstance(op, Fill) else op.path()
            artist = PathPatch(Outline(*ring(path)), facecolor=look.rgba(op.colour, op.opacity), lw=0, transform=place)
        if clip is not None:
            artist.set_clip_path(*clip)
        yield artist


def _proportion(folder: Path) -> Iterator[Figure]:
    """Eight times the length: the same word eight times as slow."""
    from renders.films import film
    from renders.films.shot import Shot

    shown = say(scene()["film"]["text"])

    def made(speed: float) -> Callable[[], object]:
        return lambda: film.film(shown, Shot(speed=speed)).save(folder / "long.mp4", force=True)

    turns = [made(1.0), made(0.125)]
    short_s, long_s = median(turns)
    yield limited("film_length", long_s / short_s)


def _gif(folder: Path) -> Iterator[Figure]:
    """Our GIF over the one that Pillow writes by default, from the same frames."""
    from PIL import Image

    from renders.files import encode
    from renders.films import film

    shown, shot = _film(GIF_SIZE, 25, 0.5)
    kept = list(film.film(shown, shot).frames())
    ours, theirs = folder / "ours.gif", folder / "theirs.gif"

    def pillow() -> None:
        first, *rest = [Image.fromarray(frame[..., :3]) for frame in kept]
        first.save(theirs, save_all=True, append_images=rest, duration=40, loop=0)

    ours_s, theirs_s = median([lambda: encode.encode(kept, ours, shot.encoding(ours), force=True), pillow])
    errors = []
    with Image.open(ours) as seen:
        for index, drawn in enumerate(kept):
            seen.seek(index)
            errors.append(np.abs(np.asarray(seen.convert("RGB")).astype(int) - drawn[..., :3]).mean())
    yield limited("gif_time", ours_s / theirs_s)
    yield limited("gif_size", ours.stat().st_size / theirs.stat().st_size)
    yield limited("gif_error", float(np.mean(errors)))


def _geometry_s() -> float:
    """Sections and air channels of 240 frames of the scene, a few at a time as films take them."""
    from renders.marks import moments

    shown = _film((1280, 720), 60, 0.5)[0]
    times = np.linspace(0.0, shown.duration_s, 240)

    def computed() -> None:
        for _ in moments.moments(shown, times):
            pass

    return median([computed])[0]


def _memory() -> Iterator[Figure]:
    """Peak memory of whole commands: the same text in 4 and in 120 seconds of film."""

    spoken_s = say(LONG_TEXT).duration_s

    def peak_mb(film_s: float, size: str) -> float:
        speed = f"{spoken_s / film_s:.4f}"
        return command_peak_mb("film", LONG_TEXT, "--size", size, "--fps", "25", "--speed", speed, "--out", "a.mp4")

    short, long = peak_mb(4.0, "1920x1080"), peak_mb(120.0, "1920x1080")
    yield limited("film_memory", long)
    yield limited("film_memory_growth", long / short)
