"""Where in a section each part that has a name is: points in mm inside or on it."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.section import Section


def anchors(section: Section) -> dict[str, Array]:
    """Points (k, 2) in mm by part, the best first; a leader may end at any of them."""
    tongue, velum = section["tongue"], section["velum"]
    tip = int(section.tip_index())
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(tongue[: tip + 1], axis=0).T))])
    # into the flesh: to the left of the way from the root to the tip
    along = np.gradient(tongue[: tip + 1], axis=0)
    inward = np.stack([-along[:, 1], along[:, 0]], axis=-1) / np.maximum(np.hypot(*along.T), 1e-9)[:, None]

    def behind_tip(distances_mm: Array, deep_mm: float = 1.7) -> Array:
        i = [int(np.argmin(np.abs(run - (run[-1] - mm)))) for mm in distances_mm]
        return tongue[i] + deep_mm * inward[i]

    front, rear = section["larynx_front"], section["larynx_rear"]
    named = section.head.named
    height = section.head.larynx.vocal_fold_height + float(section.posture["larynx_mm"])
    x0 = front[np.argmin(np.abs(front[:, 1] - height)), 0]
    x1 = rear[np.argmin(np.abs(rear[:, 1] - height)), 0]
    bone, leaf = section["maxilla"], section["epiglottis"]
    jaw, palate = section["mandible"].mean(axis=0), section["palate"]
    low = int(np.argmin(velum[:, 1]))
    thick = [
        (velum[int(low * share)] + velum[len(velum) - 1 - int((len(velum) - low) * (share - 0.05))]) / 2
        for share in (0.55, 0.45, 0.65)
    ]
    return {
        "nasal_cavity": named.nasal_cavity,
        "hard_palate": np.stack(
            [bone[np.argsort(np.abs(bone[:, 0] - x))[:2]].mean(axis=0) for x in named.hard_palate_mm]
        ),
        "ridge": palate[[np.argmin(np.abs(palate[:, 0] - named.ridge_mm))]] + [0.3, 0.6],
        "upper_teeth": section["upper_incisor"].mean(axis=0) + [[0.0, -4.5], [0.0, -6.0]],
        "upper_lip": section["upper_red"].mean(axis=0) + [[-1.2, 0.0]],
        "lower_lip": section["lower_red"].mean(axis=0) + [[-1.2, 0.0]],
        "lower_teeth": section["lower_incisor"].mean(axis=0) + [[0.0, 3.0], [-0.4, 4.6]],
        "tip": tongue[[tip]] + [1.8, -0.6],
        "blade": behind_tip(named.blade_mm),
        "front": behind_tip(named.front_mm),
        "back": behind_tip(named.back_mm),
        "root": behind_tip(named.root_mm, deep_mm=3.0),
        "jaw": jaw + [[-1.0, -3.0], [-0.5, -7.0], [-1.0, 1.0]],
        "soft_palate": np.array(thick),
        "uvula": velum[[low]] + [0.0, 2.4],
        "throat": named.throat,
        "epiglottis": leaf[np.argsort(-leaf[:, 1])[6:8]].mean(axis=0) + [[0.0, -3.0], [0.0, -5.0]],
        "hyoid": section["hyoid"].mean(axis=0)[None],
        "thyroid": section["thyroid"].mean(axis=0) + [[0.0, 0.0], [0.0, 3.0], [0.0, -3.0]],
        "folds": np.array([[(x0 + x1) / 2, height]]),
        "windpipe": np.array([[(x0 + x1) / 2 + 0.5, height - mm] for mm in named.windpipe_mm]),
    }
