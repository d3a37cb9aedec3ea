"""Smooth curves through landmarks, as matrices, so that a batch of outlines is one product.

A spline's parameter is fixed by the rest shape of its control points; sampling is then linear in the
points, and ``matrix @ points`` works for arrays of shape (..., n, 2).
"""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.floating[Any]]
Bools: TypeAlias = NDArray[np.bool_]
Indices: TypeAlias = NDArray[np.intp]


def fraction(value: float) -> float:
    """A number held between 0 and 1."""
    return min(max(float(value), 0.0), 1.0)


def centripetal(points: Array) -> Array:
    """Parameter of each point, (n,), rising from 0; steps are square roots of the chord lengths."""
    steps = np.sqrt(np.linalg.norm(np.diff(points, axis=0), axis=1))
    if np.any(steps <= 0):
        raise ValueError("a curve needs points that differ from their neighbours")
    return np.concatenate([[0.0], np.cumsum(steps)])


def _second_derivatives(t: Array) -> Array:
    """Matrix (n, n) from ordinates to second derivatives of the natural cubic spline on knots t."""
    n = len(t)
    h = np.diff(t)
    left = np.eye(n)
    right = np.zeros((n, n))
    for i in range(1, n - 1):
        left[i, i - 1 : i + 2] = h[i - 1], 2 * (h[i - 1] + h[i]), h[i]
        right[i, i - 1 : i + 2] = 6 / h[i - 1], -6 / h[i - 1] - 6 / h[i], 6 / h[i]
    return np.linalg.solve(left, right)


def spline_matrix(points: Array, per_segment: int = 8, closed: bool = False) -> Array:
    """Sampling matrix (m, n) of the cubic spline through `points` (n, 2).

    Open curves give ``m = (n - 1) * per_segment + 1`` samples that include both ends; closed ones
    ``m = n * per_segment`` without a repeated first point. Knots are centripetal on `points`.
    """
    points = np.asarray(points, dtype=float)
    n = len(points)
    if closed:
        # three laps make the middle one periodic to far below drawing accuracy
        laps = np.concatenate([points, points, points, points[:1]])
        eye = np.concatenate([np.eye(n), np.eye(n), np.eye(n), np.eye(n)[:1]])
        t = centripetal(laps)
        at = np.concatenate([np.linspace(t[i], t[i + 1], per_segment, endpoint=False) for i in range(n, 2 * n)])
        return _sample(t, at) @ eye
    t = centripetal(points)
    at = np.concatenate([np.linspace(t[i], t[i + 1], per_segment, endpoint=False) for i in range(n - 1)] + [t[-1:]])
    return _sample(t, at)


def _sample(t: Array, at: Array) -> Array:
    second = _second_derivatives(t)
    i = np.clip(np.searchsorted(t, at, side="right") - 1, 0, len(t) - 2)
    h = t[i + 1] - t[i]
    a = (t[i + 1] - at) / h
    b = 1 - a
    rows = np.arange(len(at))
    matrix = ((a**3 - a) * h**2 / 6)[:, None] * second[i] + ((b**3 - b) * h**2 / 6)[:, None] * second[i + 1]
    matrix[rows, i] += a
    matrix[rows, i + 1] += b
    return matrix


def arc_length(points: Array) -> Array:
    """Running length (..., n) in mm along points (..., n, 2), starting at 0."""
    steps = np.linalg.norm(np.diff(points, axis=-2), axis=-1)
    return np.concatenate([np.zeros((*steps.shape[:-1], 1)), np.cumsum(steps, axis=-1)], axis=-1)


def resample(points: Array, count: int) -> Array:
    """`count` points at equal steps along one open curve (n, 2), both ends kept."""
    s = arc_length(points)
    at = np.linspace(0, s[-1], count)
    return np.stack([np.interp(at, s, points[:, 0]), np.interp(at, s, points[:, 1])], axis=-1)


def rotate(points: Array, about: Array, angle_rad: Array) -> Array:
    """Turn points (..., n, 2) about a point by `angle_rad`, which broadcasts to (..., n)."""
    relative = points - about
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    x = c * relative[..., 0] - s * relative[..., 1]
    y = s * relative[..., 0] + c * relative[..., 1]
    return np.stack([x, y], axis=-1) + about
