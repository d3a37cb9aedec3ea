"""The pen of films and PNG files. This is the one file that knows matplotlib's private raster back end."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import SurroundingsError
from renders.files.writer import Frame
from renders.ink.pens import Clip, Nib, Pen, ring, widening
from renders.paper.picture import Codes, Path
from renders.paper.style import Style

_CLIPS_KEPT = 64
TRIED_WITH = "3.11"  # the release whose private renderer this file was written for


class _Shape:
    """What the raster library reads of a path, and nothing that costs time to make."""

    __slots__ = ("codes", "should_simplify", "simplify_threshold", "vertices")

    def __init__(self, vertices: Array, codes: Codes | None) -> None:
        self.vertices, self.codes = vertices, codes
        self.should_simplify = False
        self.simplify_threshold = 0.0


class _Cut:
    """A clip made ready, kept as long as the raster library may compare its address."""

    __slots__ = ("box", "path")

    def __init__(self, clip: Clip) -> None:
        box = clip.box
        self.box = None if box is None else np.array([[box[0], box[1]], [box[2], box[3]]])
        self.path = (None, None) if clip.path is None else (_Shape(*ring(clip.path)), clip.matrix)


class _Context:
    """What the raster library reads of a graphics context."""

    _alpha, _forced_alpha, _antialiased = 1.0, False, 1
    _hatch_color = (0.0, 0.0, 0.0, 1.0)

    def __init__(self) -> None:
        self._linewidth = 0.0
        self._rgb: tuple[float, ...] = (0.0, 0.0, 0.0, 1.0)
        self._capstyle: str = "round"
        self._joinstyle: str = "round"
        self._cliprect: Any = None
        self._cut: tuple[Any, Any] = (None, None)
        self._dash: tuple[float, Any] = (0.0, None)

    def get_clip_path(self) -> tuple[Any, Any]:
        return self._cut

    def get_dashes(self) -> tuple[float, Any]:
        return self._dash

    def get_snap(self) -> bool:
        return False

    def get_hatch_path(self) -> None:
        return None

    def get_hatch_color(self) -> tuple[float, ...]:
        return self._hatch_color

    def get_hatch_linewidth(self) -> float:
        return 1.0

    def get_sketch_params(self) -> None:
        return None


@lru_cache(maxsize=1)
def renderer_class() -> Any:
    """matplotlib's raster renderer, tried once on a triangle: it is a private part of the library, read by this file
    alone, and may change with any release. SurroundingsError where it does not draw.
    """
    import matplotlib

    try:
        from matplotlib.backends import _backend_agg

        found: Any = _backend_agg.RendererAgg  # type: ignore[attr-defined]
        tried, context = found(8, 8, 72.0), _Context()
        triangle = _Shape(np.array([[0.0, 0.0], [8.0, 0.0], [8.0, 8.0]]), None)
        tried.draw_path(context, triangle, np.eye(3), (0.0, 0.0, 0.0, 1.0))
        draws = bool(np.asarray(tried)[4, 6, 3] == 255)
    except (ImportError, AttributeError, TypeError, ValueError) as error:
        reason = f": {error}"
    else:
        if draws:
            return found
        reason = ""
    raise SurroundingsError(
        f"matplotlib {matplotlib.__version__} draws no films and PNG files here{reason}; "
        f"its private raster renderer is not that of matplotlib {TRIED_WITH}: install that release"
    )


class RasterPen(Pen):
    """The pen of films: what `CanvasPen` does on a raster renderer, without what matplotlib does around it."""

    def __init__(self, width: int, height: int, style: Style) -> None:
        super().__init__(style)
        self._renderer = renderer_class()(width, height, 72.0)
        self.pixels: Frame = np.asarray(self._renderer)
        self._path = self._renderer.draw_path
        self._context = _Context()
        self._cuts: dict[Any, _Cut] = {}
        self._clips: dict[Any, Clip] = {}
        self._last: _Cut | None = None
        self._colour = lru_cache(maxsize=1024)(style.rgba)  # one style serves a whole film

    def shape(self, path: Path) -> _Shape:
        return _Shape(*ring(path))

    def inside(self, path: Path) -> _Shape:
        return _Shape(path.vertices, path.codes)  # what is filled closes by itself

    def within(self, clip: Clip, path: Path, matrix: Array) -> Clip:
        # the same clip in every frame: its mask is made once
        key = (clip, path.vertices.tobytes(), path.codes is None or path.codes.tobytes(), matrix.tobytes())
        found = self._clips.get(key)
        if found is None:
            if len(self._clips) >= _CLIPS_KEPT:
                self._clips.clear()
            found = self._clips[key] = clip.within(path, matrix)
        return found

    def _cut_by(self, clip: Clip) -> None:
        context = self._context
        if clip.box is None and clip.path is None:
            context._cliprect, context._cut = None, (None, None)
            return
        cut = self._cuts.get(clip)
        if cut is None:
            if len(self._cuts) >= _CLIPS_KEPT:
                self._cuts.clear()
            cut = self._cuts[clip] = _Cut(clip)
        if clip.path is not None:
            self._last = cut  # its address must not be given to another while the renderer remembers it
        context._cliprect, context._cut = cut.box, cut.path

    def fill(self, shape: Any, colour: str, opacity: float, matrix: Array, clip: Clip) -> None:
        if len(shape.vertices) < 2 or opacity <= 0.0:
            return
        self._cut_by(clip)
        context = self._context
        rgba = context._rgb = self._colour(colour, opacity)
        context._linewidth = 0.0
        context._dash = (0.0, None)
        self._path(context, shape, matrix, rgba)

    def line(self, shape: Any, nib: Nib, matrix: Array, clip: Clip) -> None:
        if len(shape.vertices) < 2 or nib.opacity <= 0.0 or nib.width <= 0.0:
            return
        self._cut_by(clip)
        context, scale = self._context, widening(matrix)
        context._rgb = self._colour(nib.colour, nib.opacity)
        context._linewidth = nib.width * scale
        context._capstyle, context._joinstyle = nib.cap, nib.join
        context._dash = (0.0, [length * scale for length in nib.dash] if nib.dash else None)
        self._path(context, shape, matrix, None)
