"""Every organ's outline for a batch of postures, before contact; the jaw moves first, the rest rides on it."""

from __future__ import annotations

from functools import lru_cache
from operator import attrgetter

import numpy as np

from articulators import jaw, lips, tongue
from articulators.curves import Array, spline_matrix
from articulators.head import Head
from articulators.posture import Posture

ROOT_STATION = 0.22  # u of the tongue surface that the epiglottis leans on

# organ -> (its landmarks in the head, closed curve)
FIXED = {
    "upper_incisor": ("palate.upper_incisor", True),
    "maxilla": ("palate.bone", True),
    "upper_gum": ("palate.gum", True),
    "palate": ("palate.surface", False),
    "nose_floor": ("nose.floor", False),
    "nose_roof": ("nose.roof", False),
    "concha_low": ("nose.concha_low", True),
    "concha_middle": ("nose.concha_middle", True),
    "concha_high": ("nose.concha_high", True),
    "rear_wall": ("pharynx.rear_wall", False),
    "gullet": ("larynx.gullet", False),
    "profile": ("profile.skin", False),
    "dens": ("profile.axis_and_dens", True),
    "atlas": ("profile.atlas_arch", True),
    "skull_base": ("profile.skull_base", True),
    "sphenoid_sinus": ("profile.sphenoid_sinus", True),
}
ON_JAW = {
    "lower_incisor": ("jaw.lower_incisor", True),
    "mandible": ("jaw.symphysis", True),
    "lower_gum": ("jaw.gum", True),
    "mouth_floor": ("jaw.floor", False),
}
ON_LARYNX = {
    "larynx_front": ("larynx.front", False),
    "larynx_rear": ("larynx.rear", False),
    "thyroid": ("larynx.thyroid", True),
    "cricoid_arch": ("larynx.cricoid_arch", True),
    "cricoid_lamina": ("larynx.cricoid_lamina", True),
    "arytenoid": ("larynx.arytenoid", True),
}


@lru_cache(maxsize=512)
def _matrix(head: Head, landmarks: str, closed: bool) -> Array:
    return spline_matrix(attrgetter(landmarks)(head), per_segment=6, closed=closed)


def _curve(head: Head, landmarks: str, closed: bool) -> Array:
    """The curve (n, 2) through landmarks of a head ("jaw.gum"), read-only."""
    line = _matrix(head, landmarks, closed) @ attrgetter(landmarks)(head)
    line.setflags(write=False)
    return line


@lru_cache(maxsize=512)
def fixed(head: Head, organ: str) -> Array:
    """Outline (n, 2) of a part that never moves (read-only)."""
    return _curve(head, *FIXED[organ])


@lru_cache(maxsize=512)
def at_rest(head: Head, organ: str) -> Array:
    """Outline (n, 2) of a part that moves as one piece, with the jaw closed and the larynx at rest (read-only)."""
    return _curve(head, *(ON_JAW.get(organ) or ON_LARYNX[organ]))


def vertebrae(head: Head) -> tuple[Array, ...]:
    """Outlines (n, 2) of the bodies of the neck vertebrae: hints, drawn pale."""
    width, height = head.profile.vertebra_size
    box = np.array([[0, 0], [0.5, -0.06], [1, 0.02], [0.95, 0.5], [1, 1.0], [0.5, 0.93], [0, 1.0], [0.06, 0.5]])
    body = np.stack([box[:, 0] * width, -box[:, 1] * height], axis=-1)
    matrix = spline_matrix(body, per_segment=6, closed=True)
    return tuple(matrix @ (body + at) for at in head.profile.vertebrae_front)


def linear(head: Head, posture: Posture) -> dict[str, Array]:
    """The moving organs' outlines (..., n, 2) in mm before contact, by name."""
    shape = posture.shape
    found: dict[str, Array] = {}
    for organ in ON_JAW:
        found[organ] = jaw.carry(head, at_rest(head, organ), posture["jaw_mm"])
    lift = posture["larynx_mm"][..., None, None] * np.array([0.0, 1.0])
    for organ in ON_LARYNX:
        found[organ] = at_rest(head, organ) + lift
    found["hyoid"] = tongue.hyoid_centre(head, posture)[..., None, :] + _circle(head.tongue.hyoid_radius_mm)
    found["upper_lip"], found["lower_lip"] = lips.outlines(head, posture)
    raised, lowered = head.velum.raised, head.velum.lowered
    matrix = _matrix(head, "velum.raised", False)
    found["velum"] = matrix @ (raised + posture["velum"][..., None, None] * (lowered - raised))
    found["tongue"] = tongue.mass(head, posture)
    found["tongue_surface"] = found["tongue"][..., : tongue.SURFACE_POINTS, :]
    found["epiglottis"] = _epiglottis(head, posture, found["tongue_surface"], lift)
    found["chin_neck"] = _chin_neck(head, posture, found["lower_lip"])
    return {name: np.broadcast_to(line, (*shape, *line.shape[-2:])) for name, line in found.items()}


def _circle(radius_mm: float) -> Array:
    angle = np.linspace(0, 2 * np.pi, 32, endpoint=False)
    return radius_mm * np.stack([np.cos(angle), np.sin(angle)], axis=-1)


def _epiglottis(head: Head, posture: Posture, surface: Array, lift: Array) -> Array:
    base = tongue.rest_surface(head)
    station = int(np.argmin(np.abs(base.u - ROOT_STATION)))
    moved = surface[..., station, :] - base.surface[station]
    # a root drawn far back does not press the leaf onto the throat wall: the way to the larynx stays open
    folded = posture["epiglottis"] * head.pharynx.epiglottis_folds_mm
    moved = np.minimum(moved, np.array([head.pharynx.epiglottis_leans_mm, np.inf]))
    moved = moved + folded[..., None] * np.array([1.0, 0.0])
    share = head.pharynx.epiglottis_share
    points = head.pharynx.epiglottis + moved[..., None, :] * share[:, None] * np.array([1.0, 0.3])
    return _matrix(head, "pharynx.epiglottis", True) @ (points + lift)


def _chin_neck(head: Head, posture: Posture, lower_lip: Array) -> Array:
    """Skin from the groove under the lower lip to the neck; a smooth continuation of the lip's skin side."""
    points = jaw.carry(
        head,
        head.profile.chin_neck,
        posture["jaw_mm"],
        head.profile.chin_neck_follows_jaw,
    )
    up = posture["larynx_mm"][..., None] * head.profile.chin_neck_follows_larynx
    points = points + up[..., None] * np.array([0.0, 1.0])
    # two points of the lip's own skin lead in, so that lip and chin share one smooth line
    lead = lower_lip[..., [-1 - lips.PER_SEGMENT, -1], :]
    return (_chin_matrix(head) @ np.concatenate([lead, points], axis=-2))[..., 6:, :]


@lru_cache(maxsize=8)
def _chin_matrix(head: Head) -> Array:
    return spline_matrix(np.concatenate([head.lips.lower_rest[-2:], head.profile.chin_neck]), per_segment=6)
