"""Lines of a pen whose pressure changes, and bands along an edge: the strokes that a side view is drawn with."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from renders.picture import Path

Points = NDArray[np.floating[Any]]


def left_of(line: Points, closed: bool = False) -> Points:
    """Unit normals (n, 2) to the left of a line's direction (y up); inward for a ring that runs anticlockwise."""
    if closed:
        ahead = np.empty_like(line)
        ahead[1:-1] = line[2:] - line[:-2]
        ahead[0], ahead[-1] = line[1] - line[-1], line[0] - line[-2]
    else:
        ahead = np.empty_like(line)
        ahead[1:-1] = line[2:] - line[:-2]
        ahead[0], ahead[-1] = line[1] - line[0], line[-1] - line[-2]
    long = np.hypot(ahead[:, 0], ahead[:, 1])
    long[long <= 1e-12] = 1.0
    left = np.empty_like(ahead)
    np.divide(-ahead[:, 1], long, out=left[:, 0])
    np.divide(ahead[:, 0], long, out=left[:, 1])
    return left


def shifted(line: Points, depth: ArrayLike, closed: bool = False) -> Points:
    """A line moved to its left by ``depth``, one value or one a point (n,)."""
    return line + np.asarray(depth, dtype=float)[..., None] * left_of(line, closed)


def band(line: Points, depth: ArrayLike, calm: float = 0.0) -> Points:
    """The ring between an open line and the same line moved to its left by ``depth`` (one or (n,)).

    ``calm``: over how many points the moved line is smoothed, for lines with corners.
    """
    moved = shifted(line, depth)
    return np.concatenate([line, (calmed(moved, calm) if calm else moved)[::-1]])


def pressed(line_px: Points, width_px: ArrayLike) -> Path:
    """An open line in px, drawn with a width in px that may change from point to point, as an area."""
    half = np.broadcast_to(np.asarray(width_px, dtype=float), len(line_px))[:, None] / 2
    across = half * left_of(line_px)
    return Path.polygon(np.concatenate([line_px + across, (line_px - across)[::-1]]))


def length(line: Points) -> Points:
    """Length (n,) from the start of a line to each of its points."""
    run = np.zeros(len(line))
    steps = line[1:] - line[:-1]
    np.cumsum(np.hypot(steps[:, 0], steps[:, 1]), out=run[1:])
    return run


def eased(at: Points, low: float, high: float) -> Points:
    """0 below ``low``, 1 above ``high``, smooth between."""
    t = np.minimum(np.maximum((at - low) / (high - low), 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


def ends(line: Points, reach: float, least: float = 0.0) -> Points:
    """Weights (n,) that rise from ``least`` at both ends of a line to 1 within ``reach``."""
    run = length(line)
    near = np.minimum(run, run[-1] - run)
    return least + (1.0 - least) * eased(near, 0.0, reach)


def calmed(line: Points, spread: float) -> Points:
    """An open line smoothed over about ``spread`` points to each side; its ends stay."""
    count = len(line)
    if count < 5:
        return line
    reach = min(int(3 * spread), count - 2)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / spread) ** 2)
    # turned about its ends, so that they stay where they are
    padded = np.concatenate([2 * line[0] - line[reach:0:-1], line, 2 * line[-1] - line[-2 : -reach - 2 : -1]])
    smooth = [np.convolve(padded[:, k], kernel / kernel.sum(), mode="valid") for k in (0, 1)]
    return np.stack(smooth, axis=-1)
