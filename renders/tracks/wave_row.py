"""The wave of what is heard, as a row along an axis of time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array
from renders.paper.picture import Fill, Op, Path, Stroke
from renders.paper.style import Style
from renders.tracks.layout import tracks_layout


@dataclass(frozen=True)
class HeardWave:
    """The lowest and highest sample (n,) of every `step_s` of a wave, from the beginning of its timeline on."""

    step_s: float
    low: Array
    high: Array


def heard_wave(samples: Array, rate_hz: int) -> HeardWave:
    """A wave (n,) of any level as a row shows it: its highest peak fills the row."""
    step = max(1, round(tracks_layout().heard.step_s * rate_hz))
    steps = np.pad(samples, (0, -len(samples) % step)).reshape(-1, step)
    most = max(float(np.abs(steps).max()), 1e-9)
    return HeardWave(step / rate_hz, steps.min(axis=1) / most, steps.max(axis=1) / most)


def wave_ops(
    wave: HeardWave, x_of: Callable[[Array], Array], span_s: tuple[float, float], row: tuple[float, float], style: Style
) -> list[Op]:
    """The wave between two times in a row (top, height) px; `x_of` gives px of times (n,)."""
    look, (top, tall) = tracks_layout().heard, row
    times = (np.arange(len(wave.low)) + 0.5) * wave.step_s
    seen = (times >= span_s[0]) & (times <= span_s[1])
    middle, reach = top + tall / 2, tall / 2
    least = look.least_px / 2
    x = x_of(times[seen])
    over = middle - np.maximum(reach * wave.high[seen], least)
    under = middle - np.minimum(reach * wave.low[seen], -least)
    if len(x) < 2:
        return []
    outline = np.concatenate([np.stack([x, over], axis=-1), np.stack([x, under], axis=-1)[::-1]])
    rest = Path.line([(x_of(np.array([t]))[0], middle) for t in span_s])
    return [
        Stroke(rest, "rule", style.line("rule"), opacity=look.rest_opacity),
        Fill(Path.polygon(outline), "ink2", name="wave"),
    ]
