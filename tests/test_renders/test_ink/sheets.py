"""Small sheets for tests of pens and rasters: shapes in plain colours, and their pixels."""

from __future__ import annotations

import numpy as np

from renders.ink import painter
from renders.paper import style
from renders.paper.picture import Layer, Path, Picture

LIGHT = style.load("light")
RED, BLUE = "#FF0000", "#0000FF"
WHITE, PURE_RED, PURE_BLUE = (255, 255, 255), (255, 0, 0), (0, 0, 255)


def box(x: float, y: float, side: float) -> Path:
    return Path.rectangle(x, y, side, side)


def sheet(*ops, moves: bool = True, background: str | None = "#FFFFFF") -> Picture:
    return Picture(100, 60, background, [Layer("layer", ops, moves)], "A title", "What <it> shows & says")


def pixels(picture: Picture, scale: int = 1) -> np.ndarray:
    return painter.Raster(100 * scale, 60 * scale, LIGHT).frame(picture)


def rgb(frame: np.ndarray, x: int, y: int) -> tuple[int, ...]:
    return tuple(int(v) for v in frame[y, x, :3])
