"""What every film writer is: a place that frames are handed to, one after the other."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Frame = NDArray[np.uint8]


class Writer(Protocol):
    """Takes frames (height, width, 4) uint8, red green blue opacity (not multiplied), all of one size."""

    def write(self, frame: Frame) -> None:
        """Adds a frame; it may be changed afterwards."""

    def close(self) -> tuple[int, float]:
        """Ends the film; how many frames it holds and how many seconds they last."""

    def abort(self) -> None:
        """Lets go of everything; may be called at any time, also after `close`."""
