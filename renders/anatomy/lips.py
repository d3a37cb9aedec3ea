"""InkLines of the lips, cut through: where the red begins and ends, the ring muscle, and the air between them."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array, Indices
from articulators.section import Section
from renders.anatomy.plate import plate


def gap_lines(sections: Section) -> dict[str, Array]:
    """The front edge of the air between the lips (m, 13, 2): it bows back from lip to lip."""
    upper, lower = sections["upper_red"], sections["lower_red"]
    top, low = (red[np.arange(len(red)), np.argmin(red[..., 0], axis=1)][:, None] for red in (upper, lower))
    t = np.linspace(0.0, 1.0, 13)[:, None]
    apart = np.hypot(*np.moveaxis(low - top, -1, 0))[..., None]
    air, root = sections.head.air, sections.head.lips.upper_inside[None]
    back = plate().front_air.bows_share * apart * np.sin(np.pi * t)
    return {"lip_gap": top + t * (low - top) + back * [1.0, 0.0], "front_room": air.behind_lips, "upper_lip_root": root}


def lip_lines(sections: Section, side: str) -> tuple[dict[str, Array], dict[str, Indices]]:
    """The ring muscle of the "upper" or "lower" lip as an oval hint (m, 24, 2), and the samples where its red ends."""
    lip = sections[f"{side}_lip"]
    first, last = red_range(sections, side)
    red_middle = np.stack([line[a : b + 1].mean(axis=0) for line, a, b in zip(lip, first, last, strict=True)])
    body_middle = lip.mean(axis=1)
    lengthwise = body_middle - red_middle
    lengthwise = lengthwise / np.maximum(np.hypot(*lengthwise.T), 1e-6)[:, None]
    across = np.stack([-lengthwise[:, 1], lengthwise[:, 0]], axis=-1)
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)[:, None]
    middle = (red_middle * 0.42 + body_middle * 0.58)[:, None]
    oval = middle + 4.4 * np.cos(angle) * lengthwise[:, None] + 2.3 * np.sin(angle) * across[:, None]
    return {f"{side}_lip_muscle": oval}, {f"{side}_lip red_first": first, f"{side}_lip red_last": last}


def red_range(sections: Section, side: str) -> tuple[Indices, Indices]:
    """First and last sample (m,) of a lip's outline between which its red lies: from the skin to the wet inside."""
    lip, red = sections[f"{side}_lip"], sections[f"{side}_red"]
    reach_mm = plate().lips.red_reach_mm
    first, last = np.empty(len(lip), dtype=np.intp), np.empty(len(lip), dtype=np.intp)
    for moment, (line, edge) in enumerate(zip(lip, red, strict=True)):
        dx, dy = line[:, :1] - edge[:, 0], line[:, 1:] - edge[:, 1]
        at = np.flatnonzero((dx * dx + dy * dy < reach_mm**2).any(axis=1))
        first[moment], last[moment] = at[0], at[-1]
    return first, last
