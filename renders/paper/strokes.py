"""Lines of a pen whose pressure changes, and bands along an edge: the strokes that a side view is drawn with.

Lines are (..., n, 2): a whole batch of them goes through the same code.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike

from articulators.curves import Array


def left_of(line: Array, closed: bool = False) -> Array:
    """Unit normals (..., n, 2) to the left of a line's direction (y up); inward for a ring that runs anticlockwise."""
    ahead = np.empty_like(line)
    ahead[..., 1:-1, :] = line[..., 2:, :] - line[..., :-2, :]
    if closed:
        ahead[..., 0, :], ahead[..., -1, :] = line[..., 1, :] - line[..., -1, :], line[..., 0, :] - line[..., -2, :]
    else:
        ahead[..., 0, :], ahead[..., -1, :] = line[..., 1, :] - line[..., 0, :], line[..., -1, :] - line[..., -2, :]
    long = np.hypot(ahead[..., 0], ahead[..., 1])
    long[long <= 1e-12] = 1.0
    left = np.empty_like(ahead)
    np.divide(-ahead[..., 1], long, out=left[..., 0])
    np.divide(ahead[..., 0], long, out=left[..., 1])
    return left


def shifted(line: Array, depth: ArrayLike, closed: bool = False) -> Array:
    """A line moved to its left by ``depth``, one value or one a point (..., n)."""
    return line + np.asarray(depth, dtype=float)[..., None] * left_of(line, closed)


def anticlockwise(ring: Array) -> Array:
    """The ring (n, 2) with its inside to the left (y up)."""
    x, y = ring[:, 0], ring[:, 1]
    return ring if float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) > 0 else ring[::-1]


@dataclass(frozen=True, eq=False)
class Edge:
    """An open line (..., n, 2) with what the strokes along it share: length and normals, each worked out once."""

    line: Array

    @cached_property
    def run(self) -> Array:
        """Length (..., n) from the start to each point."""
        return length(self.line)

    @cached_property
    def left(self) -> Array:
        """Unit normals (..., n, 2), see `left_of`."""
        return left_of(self.line)

    def ends(self, reach: float, least: float = 0.0) -> Array:
        """Weights (..., n) that rise from ``least`` at both ends to 1 within ``reach``."""
        run = self.run
        return least + (1.0 - least) * eased(np.minimum(run, run[..., -1:] - run), 0.0, reach)

    def band(self, depth: ArrayLike, calm: float = 0.0) -> Array:
        """The ring between the line and the same line moved to its left by ``depth`` (one or (..., n)).

        ``calm``: over how many points the moved line is smoothed, for lines with corners.
        """
        moved = self.line + np.asarray(depth, dtype=float)[..., None] * self.left
        return _ring(self.line, calmed(moved, calm) if calm else moved)

    def pressed(self, width: ArrayLike) -> Array:
        """The ring around a line drawn with a width that may change from point to point (..., n)."""
        across = np.broadcast_to(np.asarray(width, dtype=float) / 2, self.run.shape)[..., None] * self.left
        return _ring(self.line + across, self.line - across)


def _ring(there: Array, back: Array) -> Array:
    return np.concatenate([there, back[..., ::-1, :]], axis=-2)


def band(line: Array, depth: ArrayLike, calm: float = 0.0) -> Array:
    """`Edge.band` of a line that is used once."""
    return Edge(line).band(depth, calm)


def length(line: Array) -> Array:
    """Length (..., n) from the start of a line to each of its points."""
    run = np.zeros(line.shape[:-1])
    steps = line[..., 1:, :] - line[..., :-1, :]
    np.cumsum(np.hypot(steps[..., 0], steps[..., 1]), axis=-1, out=run[..., 1:])
    return run


def eased(at: Array, low: float, high: float) -> Array:
    """0 below ``low``, 1 above ``high``, smooth between."""
    t = np.minimum(np.maximum((at - low) / (high - low), 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


def ends(line: Array, reach: float, least: float = 0.0) -> Array:
    """`Edge.ends` of a line that is used once."""
    return Edge(line).ends(reach, least)


def calmed(line: Array, spread: float) -> Array:
    """An open line (..., n, 2) smoothed over about ``spread`` points to each side; its ends stay."""
    count = line.shape[-2]
    if count < 5:
        return line
    kernel = _bell(min(int(3 * spread), count - 2), spread)
    reach = len(kernel) // 2
    # turned about its ends, so that they stay where they are
    before = 2 * line[..., :1, :] - line[..., reach:0:-1, :]
    after = 2 * line[..., -1:, :] - line[..., -2 : -reach - 2 : -1, :]
    padded = np.concatenate([before, line, after], axis=-2)
    smooth = kernel[0] * padded[..., :count, :]
    for k in range(1, len(kernel)):
        smooth += kernel[k] * padded[..., k : k + count, :]
    return smooth


@lru_cache(maxsize=64)
def _bell(reach: int, spread: float) -> Array:
    kernel: Array = np.exp(-0.5 * (np.arange(-reach, reach + 1) / spread) ** 2)
    kernel /= kernel.sum()
    kernel.setflags(write=False)
    return kernel
