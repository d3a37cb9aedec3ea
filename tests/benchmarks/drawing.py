"""Drawing against encoding: how much longer a film takes than encoding the same frames, drawn beforehand."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.figures import Figure, seconds

TEXT, SIZE, FPS, SPEED = "backpack", (1280, 720), 30.0, 0.5


def measure() -> Iterator[Figure]:
    """All in one process after a warm-up, side by side, since absolute figures drift."""
    from renders import encode, film, style

    shown = film.timeline_of_text(TEXT)
    playback = film.playback_of(shown, SPEED, dwell=False)

    def frames() -> film.Frames:
        return film.frames(shown, playback, SPEED, FPS, style.load(), SIZE)

    kept = [frame.copy() for frame in frames()]  # also warms caches up
    count = len(kept)
    timeline_s = seconds(lambda: film.timeline_of_text(TEXT))
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "film.mp4")
        draw_s = seconds(lambda: [None for _ in frames()])
        encode_s = seconds(lambda: encode.write_film(out, kept, SIZE, FPS))
        both_s = seconds(lambda: encode.write_film(out, frames(), SIZE, FPS))
    yield Figure(f"timeline of '{TEXT}'", timeline_s, "s")
    yield Figure(f"drawing, {SIZE[0]}x{SIZE[1]}", draw_s / count * 1e3, "ms/frame")
    yield Figure("encoding alone", encode_s / count * 1e3, "ms/frame")
    yield Figure("drawing and encoding together", both_s / count * 1e3, "ms/frame")
    yield Figure("together over encoding alone", both_s / encode_s, "times")
