"""A recording pen: the drawing calls that the painter makes for a picture, the cheapest picture test."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from articulators.curves import Array
from renders.ink.painter import paint
from renders.paper.picture import Bounds, Codes, Picture
from renders.paper.style import Style


@dataclass(frozen=True, eq=False)
class Call:
    """One drawing call as a recording pen heard it, in picture px (y down).

    ``groups``: names of the layer and ops around it. ``face`` and ``edge``: colours 0 to 1 with opacity, or
    None. ``string``: the text that an outline stands for. ``clip``: vertices of a clip shape, ``box``: a
    clip rectangle.
    """

    groups: tuple[str, ...]
    vertices: Array
    codes: Codes | None
    face: tuple[float, ...] | None
    edge: tuple[float, ...] | None
    width: float
    dash: tuple[float, ...] | None
    string: str
    clip: Array | None
    box: Bounds | None


def recorded_calls(picture: Picture, style: Style) -> list[Call]:
    """The calls that ``paint`` makes for a picture, in order."""
    from matplotlib.backend_bases import RendererBase

    calls: list[Call] = []
    groups: list[str] = []
    pending: list[str] = []

    def down(points: Array) -> Array:
        return np.stack([points[..., 0], picture.height - points[..., 1]], axis=-1)

    class Recorder(RendererBase):
        def open_group(self, s: str, gid: str | None = None) -> None:
            groups.append(s)

        def close_group(self, s: str) -> None:
            groups.pop()

        def note(self, string: str) -> None:
            pending.append(string)

        def draw_path(self, gc: Any, path: Any, transform: Any, rgbFace: Any = None) -> None:
            shape, shift = gc.get_clip_path()
            box = gc.get_clip_rectangle()
            dashes = gc.get_dashes()[1]
            corners = None if box is None else down(np.array([(box.x0, box.y1), (box.x1, box.y0)])).ravel()
            calls.append(
                Call(
                    tuple(groups),
                    down(transform.transform(path.vertices)),
                    path.codes,
                    None if rgbFace is None else tuple(rgbFace),
                    tuple(gc.get_rgb()) if gc.get_linewidth() > 0.0 else None,
                    float(gc.get_linewidth()),
                    None if dashes is None else tuple(float(length) for length in dashes),
                    pending[-1] if pending else "",
                    None if shape is None else down(shift.transform(shape.vertices)),
                    None if corners is None else tuple(float(v) for v in corners),  # type: ignore[arg-type]
                )
            )
            if rgbFace is not None:
                pending.clear()

    paint(Recorder(), picture, style)
    return calls
