"""matplotlib's private raster renderer is tried before it is used; one that has changed is refused in one line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import matplotlib
import numpy as np
import pytest
from matplotlib.backends import _backend_agg

from articulators.errors import SurroundingsError
from renders.ink import raster_pen
from renders.ink.raster import Raster
from renders.paper.style import load

REAL = _backend_agg.RendererAgg


class Renamed:
    """One whose method has another name."""

    def __init__(self, *_: Any) -> None: ...


class OtherArguments(Renamed):
    """One that wants more than it is given."""

    def draw_path(self, context: Any, path: Any, matrix: Any, colour: Any, more: Any) -> None: ...


class OtherContext(Renamed):
    """One that reads what the context does not have."""

    def draw_path(self, context: Any, path: Any, matrix: Any, colour: Any) -> None:
        _ = context.line_style


class Blank(Renamed):
    """One that draws nothing."""

    def draw_path(self, context: Any, path: Any, matrix: Any, colour: Any) -> None: ...

    def __array__(self, *_: Any, **__: Any) -> np.ndarray:
        return np.zeros((8, 8, 4), dtype=np.uint8)


@pytest.fixture(autouse=True)
def tried_anew() -> Iterator[None]:
    raster_pen.renderer_class.cache_clear()
    yield
    raster_pen.renderer_class.cache_clear()


@pytest.mark.parametrize("other", [Renamed, OtherArguments, OtherContext, Blank, None])
def test_a_changed_back_end_is_refused_in_one_line(other: type | None, monkeypatch: pytest.MonkeyPatch) -> None:
    if other is None:
        monkeypatch.delattr(_backend_agg, "RendererAgg")
    else:
        monkeypatch.setattr(_backend_agg, "RendererAgg", other)
    with pytest.raises(SurroundingsError) as caught:
        Raster(4, 4, load())
    said = str(caught.value)
    assert said.startswith(f"matplotlib {matplotlib.__version__} draws no films and PNG files here")
    assert said.endswith("its private raster renderer is not that of matplotlib 3.11: install that release")
    assert "\n" not in said and caught.value.exit_status == 1


def test_the_installed_one_is_taken() -> None:
    assert raster_pen.renderer_class() is REAL
