"""One paint function for every output: films through a bare raster renderer, files through a canvas.

``paint`` draws a picture onto any matplotlib renderer, so that a film frame, a PNG, an SVG and a PDF show the
same shapes. Nothing here knows what a picture shows.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from articulators.errors import BadInput, SurroundingsError
from renders import typeface
from renders.outputs import atomic_path
from renders.picture import CLOSE, LINE, MOVE, Dots, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.style import Style

Matrix = NDArray[np.float64]


def _shape(path: Path) -> Any:
    from matplotlib.path import Path as Outline

    vertices, codes = path.vertices, path.codes
    if path.closed and codes is None:
        vertices = np.concatenate([vertices, vertices[:1]])
        codes = np.full(len(vertices), LINE, dtype=np.uint8)
        codes[0], codes[-1] = MOVE, CLOSE
    shape = Outline(vertices, codes)
    shape.should_simplify = False
    return shape


def _upright_rectangle(path: Path, matrix: Matrix) -> tuple[float, float, float, float] | None:
    """Bounds of the path on the canvas where it is an upright rectangle there, else None."""
    if path.codes is not None or len(path.vertices) != 4 or matrix[0, 1] != 0.0 or matrix[1, 0] != 0.0:
        return None
    x0, y0, x1, y1 = path.bounds()
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    turns = (np.roll(ring, -k, axis=0) for ring in (corners, corners[::-1]) for k in range(4))
    if not any(np.array_equal(path.vertices, turn) for turn in turns):
        return None
    (ax, bx), (ay, by) = (
        matrix[0, 0] * np.array([x0, x1]) + matrix[0, 2],
        (matrix[1, 1] * np.array([y0, y1]) + matrix[1, 2]),
    )
    return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


@dataclass(frozen=True, eq=False)
class _Clip:
    box: tuple[float, float, float, float] | None = None
    shape: Any = None

    def within(self, path: Path, matrix: Matrix) -> _Clip:
        from matplotlib.transforms import Affine2D, TransformedPath

        box = _upright_rectangle(path, matrix)
        if box is None:
            if self.shape is not None:
                raise ValueError("two clips that are not upright rectangles cannot be nested")
            return _Clip(self.box, TransformedPath(_shape(path), Affine2D(matrix)))
        if self.box is not None:
            low, high = np.maximum(box[:2], self.box[:2]), np.minimum(box[2:], self.box[2:])
            high = np.maximum(low, high)
            box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
        return _Clip(box, self.shape)


class _Brush:
    """Draws ops onto one renderer. Lives for one paint call."""

    def __init__(self, renderer: Any, style: Style) -> None:
        from matplotlib.transforms import Affine2D, Bbox

        self.renderer = renderer
        self.style = style
        self._affine = Affine2D
        self._box = Bbox.from_extents
        self.clips: list[Any] = []

    def _context(self, clip: _Clip) -> Any:
        context = self.renderer.new_gc()
        context.set_snap(False)
        context.set_antialiased(True)
        if clip.box is not None:
            context.set_clip_rectangle(self._box(*clip.box))
        if clip.shape is not None:
            context.set_clip_path(clip.shape)
            self.clips.append(clip.shape)
        return context

    @contextmanager
    def named(self, name: str) -> Iterator[None]:
        if not name:
            yield
            return
        self.renderer.open_group(re.sub(r"[^A-Za-z0-9_.-]+", "-", name))
        yield
        self.renderer.close_group(name)

    def fill(self, shape: Any, colour: str, opacity: float, matrix: Matrix, clip: _Clip) -> None:
        if len(shape.vertices) < 2 or opacity <= 0.0:
            return
        context = self._context(clip)
        context.set_linewidth(0.0)
        rgba = self.style.rgba(colour, opacity)
        context.set_foreground(rgba, isRGBA=True)
        self.renderer.draw_path(context, shape, self._affine(matrix), rgba)
        context.restore()

    def line(
        self, shape: Any, colour: str, width: float, opacity: float, matrix: Matrix, clip: _Clip,
        dash: tuple[float, ...] | None = None, cap: Any = "round", join: Any = "round",
    ) -> None:  # fmt: skip
        if len(shape.vertices) < 2 or opacity <= 0.0 or width <= 0.0:
            return
        scale = math.sqrt(abs(matrix[0, 0] * matrix[1, 1] - matrix[0, 1] * matrix[1, 0]))
        context = self._context(clip)
        context.set_linewidth(width * scale)
        context.set_capstyle(cap)
        context.set_joinstyle(join)
        if dash:
            context.set_dashes(0.0, [length * scale for length in dash])
        context.set_foreground(self.style.rgba(colour, opacity), isRGBA=True)
        self.renderer.draw_path(context, shape, self._affine(matrix), None)
        context.restore()

    def text(self, op: Text, matrix: Matrix, clip: _Clip) -> None:
        shape = typeface.outline(op.string, op.weight, op.family)
        note = getattr(self.renderer, "note", None)
        if note is not None:
            note(op.string)
        shift = {"start": 0.0, "middle": -0.5, "end": -1.0}[op.anchor]
        dx = shift * typeface.width(op.string, op.size, op.weight, op.family) if shift else 0.0
        dy = typeface.capital_height(op.size, op.weight) / 2.0 if op.baseline == "middle" else 0.0
        angle = math.radians(op.rotation)
        cos, sin = math.cos(angle), math.sin(angle)
        size = op.size
        place = np.array(
            [
                [size * cos, size * sin, op.x + cos * dx - sin * dy],
                [size * sin, -size * cos, op.y + sin * dx + cos * dy],
                [0.0, 0.0, 1.0],
            ]
        )
        whole = matrix @ place
        if op.casing is not None:
            self.line(shape, op.casing[0], 2.0 * op.casing[1] / size, op.opacity, whole, clip)
        self.fill(shape, op.colour, op.opacity, whole, clip)

    def draw(self, ops: Iterable[Op], matrix: Matrix, clip: _Clip) -> None:
        for op in ops:
            with self.named(op.name):
                if isinstance(op, Fill):
                    self.fill(_shape(op.path), op.colour, op.opacity, matrix, clip)
                elif isinstance(op, Stroke):
                    shape = _shape(op.path)
                    if op.casing is not None:
                        colour, width = op.casing
                        self.line(shape, colour, width, op.opacity, matrix, clip, None, op.cap, op.join)
                    self.line(shape, op.colour, op.width, op.opacity, matrix, clip, op.dash, op.cap, op.join)
                elif isinstance(op, Text):
                    self.text(op, matrix, clip)
                elif isinstance(op, Dots):
                    self.fill(_shape(op.path()), op.colour, op.opacity, matrix, clip)
                elif isinstance(op, Group):
                    inner = matrix
                    if op.transform is not None:
                        inner = matrix @ np.vstack([op.transform, (0.0, 0.0, 1.0)])
                    within = clip if op.clip is None else clip.within(op.clip, inner)
                    self.draw(op.ops, inner, within)
                else:
                    raise TypeError(f"{type(op).__name__} is not a drawing op")


def _canvas_matrix(height: float, scale: float) -> Matrix:
    return np.array([[scale, 0.0, 0.0], [0.0, -scale, height * scale], [0.0, 0.0, 1.0]])


def paint(
    renderer: Any, picture: Picture, style: Style, scale: float = 1.0, layers: tuple[Layer, ...] | None = None
) -> list[Any]:
    """Draws a picture, ``scale`` times as large, onto a matplotlib renderer of 72 px to the inch.

    The canvas must be ``scale`` times the picture's size. With ``layers``, only those and no background.
    Returns the clip shapes used: a raster renderer tells clips apart by address, so they must outlive its
    next frame.
    """
    brush = _Brush(renderer, style)
    matrix = _canvas_matrix(picture.height, scale)
    if layers is None:
        layers = picture.layers
        if picture.background is not None:
            sheet = _shape(Path.rectangle(0.0, 0.0, picture.width, picture.height))
            with brush.named("background"):
                brush.fill(sheet, picture.background, 1.0, matrix, _Clip())
    for layer in layers:
        with brush.named(layer.name):
            brush.draw(layer.ops, matrix, _Clip())
    return brush.clips


class Raster:
    """Draws frames of one size, keeping the pixels of the leading layers that do not move.

    Layers are recognised by identity: pass the same ``Layer`` objects again and only what follows the first
    moving layer is drawn anew. One Raster serves one thread.
    """

    def __init__(self, width: int, height: int, style: Style) -> None:
        from matplotlib.backends.backend_agg import RendererAgg

        if width < 1 or height < 1:
            raise ValueError(f"a raster needs a size of at least 1 x 1 px, got {width} x {height}")
        self.width, self.height, self.style = width, height, style
        self._renderer = RendererAgg(width, height, 72)
        self._pixels = np.asarray(self._renderer.buffer_rgba())
        self._ground = np.zeros_like(self._pixels)
        self._ground_key: tuple[str | None, tuple[Layer, ...]] | None = None
        self._clips: list[Any] = []

    def _draw(self, picture: Picture, scale: float, layers: tuple[Layer, ...]) -> None:
        self._clips = self._clips[-1:] + paint(self._renderer, picture, self.style, scale, layers)

    def frame(self, picture: Picture) -> NDArray[np.uint8]:
        """The picture as pixels (height, width, 4), red green blue opacity, a new array each time.

        The picture must have the shape of the raster; it is drawn as large as the raster.
        """
        scale = self.width / picture.width
        if abs(picture.height * scale - self.height) >= 1.0:
            raise ValueError(
                f"a picture of {picture.width:g} x {picture.height:g} does not fit "
                f"{self.width} x {self.height}"
            )
        still = 0
        while still < len(picture.layers) and not picture.layers[still].moves:
            still += 1
        key = self._ground_key
        known = (
            key is not None
            and key[0] == picture.background
            and len(key[1]) == still
            and all(old is new for old, new in zip(key[1], picture.layers, strict=False))
        )
        if known:
            np.copyto(self._pixels, self._ground)
        else:
            colour = (
                (1.0, 1.0, 1.0, 0.0) if picture.background is None else self.style.rgba(picture.background)
            )
            self._pixels[:] = np.round(np.array(colour) * 255.0).astype(np.uint8)
            self._draw(picture, scale, picture.layers[:still])
            np.copyto(self._ground, self._pixels)
            self._ground_key = (picture.background, picture.layers[:still])
        self._draw(picture, scale, picture.layers[still:])
        return self._pixels.copy()


FILE_ENDINGS = (".svg", ".pdf", ".png")


def save(
    picture: Picture, path: FilePath, style: Style, *, scale: float = 1.0, transparent: bool = False
) -> None:
    """Writes a picture as .svg, .pdf or .png, whole or not at all; the same picture gives the same bytes.

    ``scale`` multiplies the size in px (96 px to the inch). ``transparent`` leaves the background out.
    BadInput for another ending, SurroundingsError where the disk fails.
    """
    path = FilePath(path)
    ending = path.suffix.lower()
    if ending not in FILE_ENDINGS:
        raise BadInput(
            f"a picture cannot be written as {path.name!r}; allowed endings: {', '.join(FILE_ENDINGS)}"
        )
    if transparent:
        picture = Picture(
            picture.width, picture.height, None, picture.layers, picture.title, picture.description
        )
    data = {".svg": svg_bytes, ".pdf": pdf_bytes, ".png": png_bytes}[ending](picture, style, scale)
    try:
        with atomic_path(path) as part:
            part.write_bytes(data)
    except OSError as error:
        raise SurroundingsError(f"cannot write {path}: {error.strerror or error}") from None


def png_bytes(picture: Picture, style: Style, scale: float = 1.0) -> bytes:
    """The picture as a PNG file; title and description go along as text."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    width, height = max(1, round(picture.width * scale)), max(1, round(picture.height * scale))
    pixels = Raster(width, height, style).frame(picture)
    image = Image.fromarray(pixels if picture.background is None else pixels[..., :3])
    about = PngInfo()
    for key, value in (("Title", picture.title), ("Description", picture.description)):
        if value:
            about.add_itxt(key, value)
    out = io.BytesIO()
    image.save(out, "PNG", pnginfo=about, dpi=(96.0 * scale, 96.0 * scale))
    return out.getvalue()


def _figure(picture: Picture, style: Style, unit_scale: float) -> Any:
    from matplotlib.artist import Artist
    from matplotlib.figure import Figure

    class Sheet(Artist):
        def draw(self, renderer: Any) -> None:
            paint(renderer, picture, style, unit_scale)

    size = (picture.width * unit_scale / 72.0, picture.height * unit_scale / 72.0)
    figure = Figure(figsize=size, dpi=72, frameon=False)
    figure.add_artist(Sheet())
    return figure


def svg_bytes(picture: Picture, style: Style, scale: float = 1.0) -> bytes:
    """The picture as an SVG file: text as outlines, no date, title and description for screen readers."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    out = io.StringIO()
    with matplotlib.rc_context({"svg.hashsalt": "vocaltract", "svg.fonttype": "path", "svg.id": None}):
        FigureCanvasSVG(_figure(picture, style, scale)).print_svg(
            out, metadata={"Date": None, "Creator": "vocaltract", "Title": picture.title or None}
        )
    text = out.getvalue()
    head = re.search(r"<svg [^>]*>", text)
    if head is None:
        raise RuntimeError("the canvas wrote no <svg> element")
    opening = re.sub(r'(width|height)="([0-9.]+)pt"', r'\1="\2"', head.group(0))
    opening = opening[:-1] + ' role="img" aria-labelledby="picture-title picture-description">'
    about = (
        f'\n <title id="picture-title">{escape(picture.title)}</title>'
        f'\n <desc id="picture-description">{escape(picture.description)}</desc>'
    )
    rest = re.sub(r"\s*<title>.*?</title>", "", text[head.end() :], count=1, flags=re.DOTALL)
    return (text[: head.start()] + opening + about + rest).encode("utf-8")


def pdf_bytes(picture: Picture, style: Style, scale: float = 1.0) -> bytes:
    """The picture as a one-page PDF file, 96 px to the inch, without a date."""
    from matplotlib.backends.backend_pdf import FigureCanvasPdf

    out = io.BytesIO()
    FigureCanvasPdf(_figure(picture, style, scale * 72.0 / 96.0)).print_pdf(
        out,
        metadata={
            "CreationDate": None, "Creator": "vocaltract", "Title": picture.title or None,
            "Subject": picture.description or None,
        },
    )  # fmt: skip
    return out.getvalue()
