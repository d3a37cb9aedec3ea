"""Lines of the small views in px: where they lie, and many of one kind as one path."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from renders.paper.picture import CLOSE, LINE, MOVE, Path

Line = np.ndarray


@dataclass(frozen=True, eq=False)
class Place:
    """Where millimetres about a point lie in px: that point (2,) and px per mm (2,) across and down."""

    middle: Line
    scale: Line

    def px(self, points: ArrayLike) -> Line:
        """Points (..., 2) in mm, y down, in px."""
        return np.asarray(points, dtype=float) * self.scale + self.middle


def alike(lines: Line, closed: bool = False) -> Path:
    """Lines of one length (k, n, 2) as one path; closed ones are areas that lie apart."""
    if closed:
        lines = np.concatenate([lines, lines[:, :1]], axis=1)
    return Path(lines.reshape(-1, 2), _codes(len(lines), lines.shape[1], closed))


@lru_cache(maxsize=64)
def _codes(count: int, long: int, closed: bool) -> np.ndarray:
    codes = np.full((count, long), LINE, dtype=np.uint8)
    codes[:, 0] = MOVE
    if closed:
        codes[:, -1] = CLOSE
    return constant(codes.ravel())


def constant(array: np.ndarray) -> np.ndarray:
    """The same array, made read-only, so that it may be kept and shared."""
    array.flags.writeable = False
    return array


def line_of(x: Line, y: Line) -> Line:
    """The line (n, 2) through points of those x (n,) and y (n,)."""
    line = np.empty((len(x), 2))
    line[:, 0], line[:, 1] = x, y
    return line
