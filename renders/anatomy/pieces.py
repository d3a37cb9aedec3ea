"""What moves as one piece: drawn once at rest, and carried to where the jaw, the larynx or the hyoid bone stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from articulators import jaw, outlines
from articulators.curves import Array
from articulators.head import Head
from articulators.section import Section
from renders.anatomy import bone, larynx
from renders.anatomy.pen import PlatePen
from renders.paper.picture import Dots, Op
from renders.paper.strokes import Edge, eased

Carrier: TypeAlias = Literal["head", "jaw", "larynx", "hyoid"]


class RigidPiece(NamedTuple):
    """What draws a piece at rest, and what carries it."""

    draw: Callable[[PlatePen, Head], Sequence[Op]]
    carrier: Carrier


def piece_places(sections: Section, carrier: Carrier) -> list[Array | None]:
    """The matrices (2, 3) that carry a piece from rest to where it stands at each moment; None where it rests."""
    posture = sections.posture
    if carrier == "head":
        return [None] * len(posture.values)
    if carrier == "jaw":
        return [jaw.motion(sections.head, float(opening)) for opening in posture["jaw_mm"]]
    if carrier == "larynx":
        way = np.stack([np.zeros(len(posture.values)), posture["larynx_mm"]], axis=-1)
    else:
        way = sections["hyoid"].mean(axis=1)
    return [np.column_stack([np.eye(2), at]) for at in way]


def _nose_line(pen: PlatePen, head: Head) -> list[Op]:
    """The nose from the bridge round its tip into the nostril, and the nostril's sill: one pressure, no step."""
    profile, roof = outlines.fixed(head, "profile"), outlines.fixed(head, "nose_roof")
    line, sill = Edge(np.concatenate([profile, roof[1:7]])), Edge(outlines.fixed(head, "nose_floor")[:7])
    fade = 1.0 - 0.75 * eased(line.run, line.run[len(profile) - 1] - 1.5, line.run[-1])
    return [
        pen.pressed(line, "ink", "profile", fade, name="profile"),
        pen.pressed(sill, "ink", "profile", 0.95 - 0.7 * eased(sill.run, 0.0, sill.run[-1])),
        # where the line of the lip meets it
        Dots(sill.line[:1].astype(np.float64), pen.width_mm("profile") / 2, "ink"),
    ]


PIECES: Mapping[str, RigidPiece] = {
    "lining of the larynx": RigidPiece(larynx.lining, "larynx"),
    "muscle of the gullet": RigidPiece(larynx.gullet_muscle, "head"),
    "folds and rings": RigidPiece(larynx.folds_and_rings, "larynx"),
    "jaw": RigidPiece(bone.lower_jaw, "jaw"),
    "lower incisor": RigidPiece(bone.lower_incisor, "jaw"),
    "hyoid": RigidPiece(larynx.hyoid, "hyoid"),
    "cartilages": RigidPiece(larynx.cartilages, "larynx"),
    "edges of the larynx": RigidPiece(larynx.edges, "larynx"),
    "nose line": RigidPiece(_nose_line, "head"),
}
