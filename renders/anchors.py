"""Where in a section each labelled part is: one point in mm inside or on it."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Any

import numpy as np
from numpy.typing import NDArray

from articulators.section import Section

Points = NDArray[np.floating[Any]]


@cache
def names() -> dict[str, dict[str, str | bool]]:
    """data/labels.toml by part, in order."""
    text = resources.files("renders").joinpath("data/labels.toml").read_text(encoding="utf-8")
    return {row["part"]: row for row in tomllib.loads(text)["label"]}


_PARTS = {
    "nasal_cavity": "nose", "hard_palate": "palate", "ridge": "palate", "upper_teeth": "teeth", "lower_teeth": "teeth",
    "upper_lip": "lips", "lower_lip": "lips", "tip": "tongue", "blade": "tongue", "front": "tongue", "back": "tongue",
    "root": "tongue", "jaw": "jaw", "soft_palate": "velum", "uvula": "velum", "throat": "throat",
    "epiglottis": "epiglottis", "hyoid": "hyoid", "thyroid": "larynx", "folds": "larynx", "windpipe": "larynx",
}  # fmt: skip


def part_of(label: str) -> str:
    """The organ, as `anatomy.ORGANS` names it, that a label of data/labels.toml belongs to."""
    return _PARTS[label]


def tip_index(tongue: Points) -> int:
    """The sample of the tongue outline (n, 2) that is its foremost point."""
    upper = tongue[: 3 * len(tongue) // 4]
    return int(np.argmin(upper[:, 0] - 0.15 * upper[:, 1]))


def anchors(section: Section) -> dict[str, Points]:
    """Anchor points (2,) in mm by part."""
    tongue, velum = section["tongue"], section["velum"]
    tip = tip_index(tongue)
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(tongue[: tip + 1], axis=0).T))])

    def behind_tip(mm: float) -> Points:
        i = int(np.argmin(np.abs(run - (run[-1] - mm))))
        inward = np.array([0.6, -1.6])
        return tongue[i] + inward

    low = int(np.argmin(velum[:, 1]))
    thick = (velum[int(low * 0.55)] + velum[len(velum) - 1 - int((len(velum) - low) * 0.50)]) / 2
    front, rear = section["larynx_front"], section["larynx_rear"]
    height = section.head.number("larynx", "vocal_fold_height") + float(section.posture["larynx_mm"])
    x0 = front[np.argmin(np.abs(front[:, 1] - height)), 0]
    x1 = rear[np.argmin(np.abs(rear[:, 1] - height)), 0]
    return {
        "nasal_cavity": np.array([21.0, 30.6]),
        "hard_palate": section["maxilla"][np.argsort(np.abs(section["maxilla"][:, 0] - 24))[:2]].mean(axis=0),
        "ridge": section["palate"][np.argmin(np.abs(section["palate"][:, 0] - 10.0))] + [0.3, 0.6],
        "upper_teeth": section["upper_incisor"].mean(axis=0) + [0.0, -4.5],
        "upper_lip": section["upper_red"].mean(axis=0) + [-1.2, 0.0],
        "lower_lip": section["lower_red"].mean(axis=0) + [-1.2, 0.0],
        "lower_teeth": section["lower_incisor"].mean(axis=0) + [0.0, 3.0],
        "tip": tongue[tip] + [1.8, -0.6],
        "blade": behind_tip(12.0),
        "front": behind_tip(30.0),
        "back": behind_tip(54.0) + [-1.0, -1.0],
        "root": behind_tip(92.0) + [-3.0, 2.0],
        "jaw": section["mandible"].mean(axis=0) + [-1.0, -3.0],
        "soft_palate": thick,
        "uvula": velum[low] + [0.0, 2.4],
        "throat": np.array([75.2, -22.0]),
        "epiglottis": section["epiglottis"][np.argsort(-section["epiglottis"][:, 1])[6:8]].mean(axis=0) + [0.0, -3.0],
        "hyoid": section["hyoid"].mean(axis=0),
        "thyroid": section["thyroid"].mean(axis=0),
        "folds": np.array([(x0 + x1) / 2, height]),
        "windpipe": np.array([(x0 + x1) / 2 + 0.5, height - 12.0]),
    }
