"""One paint function for every output: films through a bare raster renderer, files through a canvas.

``paint`` draws a picture onto any matplotlib renderer, so that a film frame, a PNG, an SVG and a PDF show the
same shapes. Nothing here knows what a picture shows.
"""

from __future__ import annotations

import io
import os
import re
import zlib
from dataclasses import replace
from html import escape
from pathlib import Path as FilePath
from typing import Any

from articulators.errors import BadInput
from renders.files.formats import PICTURE_ENDINGS, check_ending
from renders.files.outputs import atomic_path
from renders.ink.pens import NO_CLIP, CanvasPen, canvas_matrix
from renders.ink.raster import Raster
from renders.paper.picture import Path, Picture
from renders.paper.style import Style

__all__ = ["Raster", "paint", "pdf_bytes", "png_bytes", "save", "svg_bytes", "without_background"]


def paint(renderer: Any, picture: Picture, style: Style, scale: float = 1.0) -> list[Any]:
    """Draws a picture, ``scale`` times as large, onto a matplotlib renderer of 72 px to the inch.

    The canvas must be ``scale`` times the picture's size. Returns the clip shapes used: a raster renderer tells clips
    apart by address, so they must outlive its next frame.
    """
    pen = CanvasPen(renderer, style)
    matrix = canvas_matrix(picture.height, scale)
    if picture.background is not None:
        sheet = pen.shape(Path.rectangle(0.0, 0.0, picture.width, picture.height))
        pen.open("background")
        pen.fill(sheet, picture.background, 1.0, matrix, NO_CLIP)
        pen.close("background")
    for layer in picture.layers:
        if layer.name:
            pen.open(layer.name)
        pen.draw(layer.ops, matrix, NO_CLIP)
        if layer.name:
            pen.close(layer.name)
    return pen.clips


def save(picture: Picture, path: FilePath, style: Style, *, transparent: bool = False, force: bool = False) -> None:
    """Writes a picture as .svg, .pdf or .png, whole or not at all; the same picture gives the same bytes.

    ``transparent`` leaves the background out; ``force`` replaces a file of that name. BadInput for another ending and
    for a file that exists, SurroundingsError where the disk fails.
    """
    path = FilePath(path)
    ending = check_ending(path.name, PICTURE_ENDINGS)
    if transparent:
        picture = without_background(picture)
    data = {".svg": svg_bytes, ".pdf": pdf_bytes, ".png": png_bytes}[ending](picture, style)
    with atomic_path(path, force) as part:
        part.write_bytes(data)


def without_background(picture: Picture) -> Picture:
    """The picture with nothing where its background was."""
    return replace(picture, background=None)


def png_bytes(picture: Picture, style: Style) -> bytes:
    """The picture as a PNG file, 96 px to the inch; title and description go along as text."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    width, height = max(1, round(picture.width)), max(1, round(picture.height))
    pixels = Raster(width, height, style).frame(picture)
    image = Image.fromarray(pixels)
    if picture.background is not None:
        image = image.convert("RGB")
    about = PngInfo()
    for key, value in (("Title", picture.title), ("Description", picture.description)):
        if value:
            about.add_itxt(key, value)
    out = io.BytesIO()
    # as small as the library's usual level makes them, and sooner
    image.save(out, "PNG", pnginfo=about, dpi=(96.0, 96.0), compress_level=4, compress_type=zlib.Z_DEFAULT_STRATEGY)
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


def svg_bytes(picture: Picture, style: Style) -> bytes:
    """The picture as an SVG file: text as outlines, no date, title and description for screen readers."""
    import matplotlib
    from matplotlib.backends.backend_svg import RendererSVG

    out = io.StringIO()
    about = {"Date": None, "Creator": "vocaltract"} | ({"Title": picture.title} if picture.title else {})
    with matplotlib.rc_context({"svg.hashsalt": "vocaltract", "svg.fonttype": "path", "svg.id": None}):
        # without a matplotlib figure, whose import takes a tenth of a second
        renderer = RendererSVG(picture.width, picture.height, out, image_dpi=72, metadata=about)
        renderer.open_group("figure")
        paint(renderer, picture, style)
        renderer.close_group("figure")
        renderer.finalize()
    text = out.getvalue()
    head = re.search(r"<svg [^>]*>", text)
    if head is None:
        raise RuntimeError("the canvas wrote no <svg> element")
    opening = re.sub(r'(width|height)="([0-9.]+)pt"', r'\1="\2"', head.group(0))
    opening = opening[:-1] + ' role="img" aria-labelledby="picture-title picture-description">'
    said = (
        f'\n <title id="picture-title">{escape(picture.title, False)}</title>'
        f'\n <desc id="picture-description">{escape(picture.description, False)}</desc>'
    )
    rest = re.sub(r"\s*<title>.*?</title>", "", text[head.end() :], count=1, flags=re.DOTALL)
    return (text[: head.start()] + opening + said + rest).encode("utf-8")


def _check_source_date() -> None:
    from datetime import UTC, datetime

    given = os.environ.get("SOURCE_DATE_EPOCH", "")
    try:
        datetime.fromtimestamp(int(given or "0"), UTC)
    except (ValueError, OverflowError, OSError):
        raise BadInput(f"SOURCE_DATE_EPOCH is {given!r}; allowed: nothing, or seconds since 1970, such as 0") from None


def pdf_bytes(picture: Picture, style: Style) -> bytes:
    """The picture as a one-page PDF file, 96 px to the inch, without a date.

    BadInput where SOURCE_DATE_EPOCH, which the library reads all the same, is no time.
    """
    _check_source_date()
    from matplotlib.backends.backend_pdf import FigureCanvasPdf

    out = io.BytesIO()
    FigureCanvasPdf(_figure(picture, style, 72.0 / 96.0)).print_pdf(
        out,
        metadata={
            "CreationDate": None, "Creator": "vocaltract", "Title": picture.title or None,
            "Subject": picture.description or None,
        },
    )  # fmt: skip
    return out.getvalue()
