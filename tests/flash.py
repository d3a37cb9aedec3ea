"""Counts general and red flashes of a film by the definitions of WCAG 2.2 (success criterion 2.3.1).

A general flash is a pair of opposing changes of relative luminance of at least 0.10 where the darker state
is below 0.80. A red flash is a pair of opposing changes where one state has R / (R + G + B) of at least 0.8
and the two differ by more than 0.2 in CIE 1976 chromaticity (u', v'). More than three flashes in any one
second fail where the area that flashes is above a quarter of any 10 degree field, taken as 341 x 256 px of
a 1024 x 768 screen on which the film is shown as large as it fits: in width, or, where it is taller than the
screen, in height. Thresholds stand in tests/reference/flash.toml.

This is a check on drawings, not a certified analyser: it reads one screen size and judges cells of a coarse
grid.
"""

from __future__ import annotations

import functools
import math
from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from articulators.errors import BadInput
from articulators.records import Record, Row, parsed
from renders.paper.contrast import linear_light

Floats = NDArray[np.float64]

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_WHITE = _TO_XYZ.sum(axis=1)


LIMITS = Path(__file__).parent / "reference" / "flash.toml"


class Limit(Row, frozen=True):
    """One threshold."""

    value: float


class Limits(Record, frozen=True):
    """What counts as a flash, and how many are too many."""

    flashes_per_second: Limit
    luminance_change: Limit
    darker_below: Limit
    red_share: Limit
    chromaticity_change: Limit
    field_width: Limit
    field_height: Limit
    screen_width: Limit
    screen_height: Limit
    field_share: Limit
    grid_columns: Limit


@functools.cache
def _limits() -> Limits:
    return parsed(LIMITS.read_text(encoding="utf-8"), Limits, LIMITS.name)


@dataclass(frozen=True)
class FlashReport:
    """The most flashes within one second over a large enough area, and when that second ends."""

    general: int
    red: int
    worst_time_s: float
    allowed: float

    @property
    def passes(self) -> bool:
        """Whether no second has more flashes than are allowed."""
        return self.general <= self.allowed and self.red <= self.allowed


@functools.cache
def _light_table() -> NDArray[np.float32]:
    return linear_light(np.arange(256) / 255.0).astype(np.float32)


def _cells(frame: NDArray[np.uint8], columns: int) -> Floats:
    """Mean light (rows, columns, 3) of square cells of the frame."""
    height, width = frame.shape[:2]
    step = max(1, width // columns // 4)  # four samples across a cell are enough
    frame = frame[::step, ::step]
    height, width = frame.shape[:2]
    size = max(1, width // columns)
    rows, cols = max(1, height // size), max(1, width // size)
    light = _light_table()[frame[: rows * size, : cols * size, :3]]
    # one axis after the other: both at once take more than twice as long
    down = light.reshape(rows, size, cols * size * 3).sum(axis=1, dtype=np.float64)
    across = down.reshape(rows, cols, size, 3)
    return np.asarray(sum(across[:, :, k] for k in range(size))) / size**2


def _chromaticity(light: Floats) -> Floats:
    """CIE 1976 u', v' (..., 2); black counts as white's."""
    xyz = light @ _TO_XYZ.T
    red, green, blue = np.moveaxis(light, -1, 0)
    dark = np.maximum(np.maximum(red, green), blue) < 1e-3
    xyz = np.where(dark[..., None], _WHITE, xyz)
    weight = xyz[..., 0] + 15.0 * xyz[..., 1] + 3.0 * xyz[..., 2]
    return np.stack([4.0 * xyz[..., 0] / weight, 9.0 * xyz[..., 1] / weight], axis=-1)


class _General:
    """Per cell: the last extreme of luminance and which way it was going."""

    def __init__(self, light: Floats) -> None:
        value = self._luminance(light)
        self.extreme, self.way = value, np.zeros(value.shape, dtype=np.int8)

    @staticmethod
    def _luminance(light: Floats) -> Floats:
        return light @ _TO_XYZ[1]

    def step(self, light: Floats) -> NDArray[np.bool_]:
        """Which cells made a change that opposes the one before (or the first one)."""
        value, limits = self._luminance(light), _limits()
        move = value - self.extreme
        big = np.abs(move) >= limits.luminance_change.value - 1e-9
        big &= np.minimum(value, self.extreme) < limits.darker_below.value
        turn = big & (np.sign(move) != self.way)
        onward = (self.way != 0) & (np.sign(move) == self.way)
        self.extreme = np.where(turn | onward, value, self.extreme)
        self.way = np.where(turn, np.sign(move), self.way).astype(np.int8)
        return turn


class _Red:
    """Per cell: the last state that counts, saturated red or not."""

    def __init__(self, light: Floats) -> None:
        self.place, self.red = _chromaticity(light), self._is_red(light)

    @staticmethod
    def _is_red(light: Floats) -> NDArray[np.bool_]:
        red, green, blue = np.moveaxis(light, -1, 0)  # far sooner than a sum along an axis of three
        total = red + green + blue
        return (total > 1e-3) & (red >= _limits().red_share.value * total)

    def step(self, light: Floats) -> NDArray[np.bool_]:
        place, red = _chromaticity(light), self._is_red(light)
        apart = np.hypot(*np.moveaxis(place - self.place, -1, 0))
        turn = (red != self.red) & (apart > _limits().chromaticity_change.value)
        take = turn | (red == self.red)
        self.place = np.where(take[..., None], place, self.place)
        self.red = np.where(take, red, self.red)
        return turn


def _largest_share(mask: NDArray[np.bool_], window: tuple[int, int]) -> float:
    """The greatest share of a window (rows, columns) that is True, over all places of the window."""
    rows, cols = (min(side, limit) for side, limit in zip(window, mask.shape, strict=True))
    total = np.pad(mask.astype(np.int64).cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
    sums = total[rows:, cols:] - total[:-rows, cols:] - total[rows:, :-cols] + total[:-rows, :-cols]
    return float(sums.max()) / (window[0] * window[1])


def count_flashes(frames: Iterable[NDArray[np.uint8]], fps: float) -> FlashReport:
    """Counts flashes of frames (height, width, 3 or more) uint8 shown at ``fps`` frames a second.

    A flash is two opposing changes; both ends of the second belong to it, so 3 flashes a second pass and
    anything from 3.5 fails. BadInput for no frames or a rate not above 0.
    """
    if not fps > 0:
        raise BadInput(f"frame rate {fps} must be above 0")
    limits = _limits()
    worst = {"general": 0, "red": 0}
    worst_time, highest = 0.0, 0
    counters: dict[str, _General | _Red] = {}
    recent: dict[str, deque[NDArray[np.bool_]]] = {"general": deque(), "red": deque()}
    changes: dict[str, NDArray[np.int64]] = {}  # of each cell within the last second
    window = (1, 1)
    # changes within one second: frames i and i + fps are a second apart and both count
    span = math.floor(fps + 1e-9) + 1
    index = -1
    for index, frame in enumerate(frames):
        light = _cells(frame, int(limits.grid_columns.value))
        if index == 0:
            counters = {"general": _General(light), "red": _Red(light)}
            changes = {kind: np.zeros(light.shape[:2], dtype=np.int64) for kind in counters}
            high, wide = frame.shape[:2]
            shown = min(limits.screen_width.value, limits.screen_height.value * wide / high)
            per_px = light.shape[1] / shown
            window = (
                max(1, round(limits.field_height.value * per_px)),
                max(1, round(limits.field_width.value * per_px)),
            )
            continue
        for kind, counter in counters.items():
            turned = counter.step(light)
            recent[kind].append(turned)
            changes[kind] += turned
            if len(recent[kind]) > span:
                changes[kind] -= recent[kind].popleft()
            if not turned.any():
                continue
            for count in range(int(changes[kind].max()) // 2, worst[kind], -1):
                if _largest_share(np.asarray(changes[kind] >= 2 * count), window) > limits.field_share.value:
                    worst[kind] = count
                    if worst[kind] > highest:
                        highest, worst_time = worst[kind], index / fps
                    break
    if index < 0:
        raise BadInput("a film needs one frame at least, got none")
    return FlashReport(worst["general"], worst["red"], worst_time, limits.flashes_per_second.value)
