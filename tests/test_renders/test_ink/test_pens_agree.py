"""The same picture from the raster pen, as SVG drawn by Chromium and as PDF drawn by PDFium lies where it should.

To one pixel: every pixel of one lies within the range of values that the other has within a pixel of the same place.
"""

from __future__ import annotations

import base64
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from renders.ink import painter
from renders.ink.raster import Raster
from renders.paper.fitting import fitted
from renders.paper.picture import Fill, Layer, Picture, Stroke
from renders.paper.picture import Path as Shape
from renders.paper.style import load
from renders.stills import still
from renders.stills.look import StillLook
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone

SIZE = (1600, 1200)
# of 255, a third: what two ways to smooth a thin line make of it; a shape that is elsewhere differs by more
LEVELS = 85
Pixels = NDArray[np.uint8]


def outside(one: Pixels, other: Pixels) -> int:
    """How many pixels of `one` have a value that `other` has nowhere within a pixel of the place."""
    around = (3, 3, 1)
    low = ndimage.minimum_filter(other, around).astype(int) - LEVELS
    high = ndimage.maximum_filter(other, around).astype(int) + LEVELS
    return int(((one < low) | (one > high)).any(axis=-1).sum())


def apart(one: Pixels, other: Pixels) -> int:
    assert one.shape == other.shape
    return max(outside(one, other), outside(other, one))


def by_painter(picture: Picture, style: str) -> Pixels:
    return np.array(Raster(*SIZE, load(style)).frame(picture))[..., :3]


def by_chromium(picture: Picture, style: str, tmp_path: Path, asked: pytest.FixtureRequest) -> Pixels:
    data = base64.b64encode(painter.svg_bytes(picture, load(style))).decode()
    page = asked.getfixturevalue("browser").new_page(
        viewport={"width": SIZE[0], "height": SIZE[1]}, device_scale_factor=1
    )
    try:
        page.set_content(
            f"<body style='margin:0'><img style='display:block' src='data:image/svg+xml;base64,{data}'></body>"
        )
        page.evaluate("() => document.querySelector('img').decode()")
        page.screenshot(path=tmp_path / "seen.png")
    finally:
        page.close()
    return opened(tmp_path / "seen.png")


def by_pdfium(picture: Picture, style: str, tmp_path: Path, asked: pytest.FixtureRequest) -> Pixels:
    pdfium = pytest.importorskip("pypdfium2", reason="PDFium draws the page")
    page = pdfium.PdfDocument(painter.pdf_bytes(picture, load(style)))[0]
    return np.asarray(page.render(scale=96.0 / 72.0).to_pil().convert("RGB"))


def opened(path: Path) -> Pixels:
    from PIL import Image

    with Image.open(path) as image:
        return np.asarray(image.convert("RGB"))


def picture(symbol: str, style: str) -> Picture:
    entry = sound(symbol)
    return fitted(still.still_picture(entry, say_alone(entry), StillLook(load(style))), SIZE)


PENS = {"svg": by_chromium, "pdf": by_pdfium}


@pytest.mark.parametrize(("symbol", "style"), [("t", "light"), ("ŋ", "dark"), ("ʃ", "line")])
@pytest.mark.parametrize("pen", PENS)
def test_pens_agree_to_a_pixel(
    pen: str, symbol: str, style: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    drawn = picture(symbol, style)
    assert apart(by_painter(drawn, style), PENS[pen](drawn, style, tmp_path, request)) == 0


def bar(x: float) -> Picture:
    shapes = (Fill(Shape.rectangle(x, 100.0, 300.0, 200.0, 20.0), "mover"),
              Stroke(Shape.line([[50.0, 400.0 + x], [700.0, 420.0 + x]]), "ink", 3.0))  # fmt: skip
    return Picture(*SIZE, "paper", (Layer("bar", shapes),))


@pytest.mark.parametrize("pen", PENS)
def test_the_comparer_sees_a_shift_of_two_pixels(pen: str, tmp_path: Path, request: pytest.FixtureRequest) -> None:
    other = PENS[pen](bar(100.0), "light", tmp_path, request)
    assert apart(by_painter(bar(100.0), "light"), other) == 0
    assert apart(by_painter(bar(102.2), "light"), other) > 100  # 2.2 px aside
