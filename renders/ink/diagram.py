"""A picture in the colours of its style: shows itself in a notebook, and saves itself."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from renders.ink import painter
from renders.paper.picture import Picture
from renders.paper.style import Style


@dataclass(frozen=True)
class Diagram:
    """A picture as it is shown and saved.

    picture  what it consists of      style  its colours and line widths      transparent  without a background
    report   what it says, for whoever does not look at it
    """

    picture: Picture
    style: Style
    transparent: bool = False
    report: Mapping[str, Any] = field(default_factory=dict)

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in px."""
        return round(self.picture.width), round(self.picture.height)

    def save(self, path: str | os.PathLike[str], *, force: bool = False) -> None:
        """Write it as .svg, .pdf or .png, whole or not at all; with `force` over a file of that name.

        BadInput for another ending and for a file that exists, SurroundingsError where it cannot be written.
        """
        painter.save(self.picture, Path(path), self.style, transparent=self.transparent, force=force)

    def pixels(self) -> NDArray[np.uint8]:
        """The picture as (height, width, 4) uint8: red, green, blue, opacity."""
        return painter.Raster(*self.size, self.style).frame(self._shown)

    def _repr_svg_(self) -> str:
        text = painter.svg_bytes(self._shown, self.style).decode("utf-8")
        return text[text.index("<svg") :]  # without what only a file of its own begins with

    @property
    def _shown(self) -> Picture:
        return painter.without_background(self.picture) if self.transparent else self.picture
