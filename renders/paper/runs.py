"""The lines that a path of a picture consists of."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from renders.paper.picture import CLOSE, MOVE, Path

Points: TypeAlias = NDArray[np.floating[Any]]


def runs(path: Path) -> list[tuple[Points, bool]]:
    """Vertices (n, 2) of each line of a path without curves, and whether it is closed."""
    if path.codes is None:
        return [(path.vertices, path.closed)]
    starts = np.flatnonzero(path.codes == MOVE)
    parts = np.split(np.arange(len(path.vertices)), starts[1:])
    return [(path.vertices[part], bool(path.codes[part[-1]] == CLOSE)) for part in parts]
