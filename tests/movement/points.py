"""Points fixed to tissue, in the head's frame, and how fast they move.

Before contact: a point that is pressed against the palate stops earlier than here, so that no speed comes out too low.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from articulators import jaw, lips, tongue
from articulators.curves import Array, Bools, arc_length
from articulators.head import Head
from articulators.posture import Posture
from vocaltract.motion.closures import runs

STEP_S = 0.002
BEHIND_TIP_MM = {"tip": 10.0, "back": 50.0}  # along the surface at rest: where pellets and coils are glued
LEAST_WAY_MM = 3.0  # less is no movement of its own
STILL_SHARE = 0.1  # a movement begins and ends where its speed is this share of its peak
APART_MM = 0.3


@dataclass(frozen=True)
class Movement:
    """One movement of a point between two moments at which it is slowest: peak speed, way and duration."""

    peak_mm_s: float
    way_mm: float
    duration_s: float


def points(head: Head, posture: Posture) -> Mapping[str, Array]:
    """Paths (n, points, 2) in mm of the tongue 10 mm behind the tip, its back, lower lip, jaw and soft palate."""
    base = tongue.rest_surface(head)
    behind = arc_length(base.surface[::-1])[::-1]
    surface = tongue.surface(head, posture)
    raised, lowered = head.velum.raised, head.velum.lowered
    red = int(np.mean(lips.vermilion(head)[1]))
    paths = {name: surface[:, [int(np.argmin(np.abs(behind - mm)))]] for name, mm in BEHIND_TIP_MM.items()}
    paths["lower_lip"] = lips.outlines(head, posture)[1][:, [red]]
    paths["jaw"] = jaw.carry(head, head.jaw.lower_incisor[:1], posture["jaw_mm"])
    paths["palate"] = raised + posture["velum"][:, None, None] * (lowered - raised)
    return paths


def speeds(path: Array) -> Array:
    """Speed (n,) in mm/s of the fastest of the points of a path (n, points, 2) at steps of STEP_S."""
    return np.asarray(np.linalg.norm(np.gradient(path, STEP_S, axis=0), axis=-1).max(axis=-1))


def peak_acceleration_m_s2(path: Array, counts: Bools) -> float:
    """Greatest acceleration of a path (n, points, 2) at the moments that count; 0 where none does."""
    bend = np.diff(path, 2, axis=0) / STEP_S**2 / 1000
    return float(np.max(np.linalg.norm(bend, axis=-1).max(axis=-1)[counts[1:-1]], initial=0.0))


def movements(path: Array) -> tuple[Movement, ...]:
    """Movements of a path (n, points, 2), farther than LEAST_WAY_MM, each between two moments of least speed."""
    speed = speeds(path)
    slowest = np.flatnonzero((speed[1:-1] <= speed[:-2]) & (speed[1:-1] < speed[2:])) + 1
    edges = [0, *slowest.tolist(), len(speed) - 1]
    found = []
    for first, last in pairwise(edges):
        piece = speed[first : last + 1]
        way = float(piece.sum() * STEP_S)
        if way < LEAST_WAY_MM:
            continue
        start, end = max(runs(piece >= STILL_SHARE * piece.max()), key=lambda run: run[1] - run[0])
        found.append(Movement(float(piece.max()), way, (end - start) * STEP_S))
    return tuple(found)
