"""Pictures turned left to right, with their texts still to be read: the speaker faces right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from renders.paper.picture import Dots, Fill, Layer, Op, Path, Stroke, Text

_FLIP = np.array([-1.0, 1.0])
_OTHER = {"start": "end", "end": "start", "middle": "middle"}


def layer(of: Layer, width: float) -> Layer:
    """A layer of a picture ``width`` px wide, mirrored; texts change places but are not mirrored themselves."""
    return replace(of, ops=tuple(ops(of.ops, width)))


def ops(of: Iterable[Op], width: float) -> list[Op]:
    """Ops mirrored about x = width / 2."""
    return [_op(op, width) for op in of]


def _path(path: Path, width: float) -> Path:
    return Path(path.vertices * _FLIP + (width, 0.0), path.codes, path.closed)


def _op(op: Op, width: float) -> Op:
    if isinstance(op, (Fill, Stroke)):
        return replace(op, path=_path(op.path, width))
    if isinstance(op, Dots):
        return replace(op, points=op.points * _FLIP + (width, 0.0))
    if isinstance(op, Text):
        return replace(op, x=width - op.x, anchor=_OTHER[op.anchor], rotation=-op.rotation)  # type: ignore[arg-type]
    clip = None if op.clip is None else _path(op.clip, 0.0 if op.transform is not None else width)
    if op.transform is None:
        return replace(op, ops=tuple(ops(op.ops, width)), clip=clip)
    # mirrored inside about its own axis, and placed where the mirror puts it
    matrix = np.array(op.transform)
    matrix[0] *= -1.0
    matrix[:, 0] *= -1.0
    matrix[0, 2] += width
    return replace(op, ops=tuple(ops(op.ops, 0.0)), clip=clip, transform=matrix)
