"""The page's canvas beside the raster of the same moment: two players of one description cannot drift apart.

Outside: none, each is the other's measure. Two rasters of the same shapes differ along every edge by how they soften
it, so pictures are compared after a blur.
"""

from __future__ import annotations

import base64
import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import uniform_filter

from renders.ink.raster import Raster
from renders.marks.moments import moments
from renders.page import build, plate
from renders.page.settings import settings
from renders.page.subject import Subject, subject_of
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Layer, Picture
from renders.paper.picture import Path as Shape
from renders.paper.style import load
from renders.paper.view import View
from renders.sideview.composed import EVERYTHING, WHOLE, Scope, side_view
from tests.test_renders.test_page.conftest import FRAME_S, Open, Opened

Pixels = NDArray[np.float64]
SOUNDS = ("t", "b", "k", "m", "ŋ", "l", "s", "v", "h", "ɹ", "i", "u")
THEMES = ("light", "dark")
SIZE = (1000, 800)
# no source: under this blur softened edges differ by less, lines that lie 2 px apart by more
BLUR_PX, SEEN_LEVELS, MOST_SHARE = 5, 30.0, 0.003
# a mark that is missing is small: it shows as a spot under a smaller blur
SPOT_PX, MOST_LEVELS = 13, 55.0
AROUND_MM = 40.0  # lines that are broken begin within the raster, as on the page


def apart(one: Pixels, other: Pixels) -> tuple[float, float]:
    """Share of the picture (height, width, 3) that differs, and the most that a spot of it does, in levels."""

    def off(blur_px: int) -> Pixels:
        a, b = (uniform_filter(picture, (blur_px, blur_px, 0)) for picture in (one, other))
        return np.asarray(np.abs(a - b).max(axis=-1))

    return float((off(BLUR_PX) > SEEN_LEVELS).mean()), float(off(SPOT_PX).max())


def alike(one: Pixels, other: Pixels) -> bool:
    share, spot = apart(one, other)
    return share <= MOST_SHARE and spot <= MOST_LEVELS


def within_box(picture: NDArray[np.uint8]) -> Pixels:
    """What of a picture (height, width, 3) shows the part of the head that a page promises: beyond, films show less."""
    left, right, top, bottom = settings().playing.box_mm
    half = (right - left) / (top - bottom) * picture.shape[0] / 2
    middle = picture.shape[1] / 2
    return picture[:, int(middle - half) : int(middle + half)].astype(float)


def canvas_pixels(page: Opened) -> NDArray[np.uint8]:
    url = page.page.evaluate("document.getElementById('side-0').toDataURL()")
    return np.asarray(Image.open(io.BytesIO(base64.b64decode(url.split(",")[1]))).convert("RGB"))


def raster_pixels(
    subject: Subject, time_s: float, size: tuple[int, int], style: str, scope: Scope = EVERYTHING
) -> NDArray[np.uint8]:
    """The side view of a moment as films draw it, in the view of the page."""
    left, right, top, bottom = settings().playing.box_mm
    scale = min(size[0] / (right - left), size[1] / (top - bottom))
    more = int(AROUND_MM * scale)
    width, height = size[0] + 2 * more, size[1] + 2 * more
    view = View((0.0, 0.0, float(width), float(height)), scale, ((left + right) / 2, (top + bottom) / 2))
    (now,) = moments(subject.items[0].timeline, np.array([time_s]), np.array([0.0]))
    ground = Layer("ground", (Fill(Shape.rectangle(0, 0, width, height), "panel"),), moves=False)
    layers = (ground, *side_view(now, Canvas(view, load(style)), scope))
    whole = Raster(width, height, load(style)).frame(Picture(width, height, "paper", layers))
    return whole[more : more + size[1], more : more + size[0], :3]


def film_moments(subject: Subject) -> tuple[float, float, float]:
    """In the middle of a sound's hold, on the way to it, and just after it."""
    start, end = subject.items[0].timeline.spans[0].hold_s
    return (start + end) / 2, start - 0.03, end + 0.015


def shown(page: Opened, time_s: float) -> float:
    """Goes to the frame nearest to a time; gives the frame's."""
    zero = page.page.evaluate("vocaltract.zeros()")[0]
    frame = round((time_s - zero) / FRAME_S)
    page.page.evaluate("seconds => vocaltract.seek(seconds)", frame * FRAME_S)
    return float(zero + frame * FRAME_S)


def pairs(opened: Open, path: Path, subject: Subject, theme: str) -> list[tuple[Pixels, Pixels]]:
    """Canvas and raster of the three moments of a film."""
    page = opened(path, f"#theme={theme}", SIZE, reduced_motion="reduce")
    found = []
    for wanted_s in film_moments(subject):
        time_s = shown(page, wanted_s)
        canvas = canvas_pixels(page)
        raster = raster_pixels(subject, time_s, (canvas.shape[1], canvas.shape[0]), theme)
        found.append((within_box(canvas), within_box(raster)))
    return found


def page_of(sound: str, folder: Path) -> tuple[Path, Subject]:
    subject = subject_of((sound,))
    path = folder / f"canvas-{SOUNDS.index(sound)}.html"
    if not path.exists():
        path.write_text(build.page(subject), encoding="utf-8")
    return path, subject


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("sound", SOUNDS)
def test_the_canvas_shows_what_a_film_shows(sound: str, theme: str, opened: Open, folder: Path) -> None:
    path, subject = page_of(sound, folder)
    for canvas, raster in pairs(opened, path, subject, theme):
        share, spot = apart(canvas, raster)
        assert share <= MOST_SHARE and spot <= MOST_LEVELS, (share, spot)


@pytest.mark.parametrize("theme", THEMES)
def test_a_shift_of_2_px_is_noticed(theme: str, opened: Open, folder: Path) -> None:
    path, subject = page_of("t", folder)
    for canvas, raster in pairs(opened, path, subject, theme):
        for axis in (0, 1):
            assert not alike(canvas, np.roll(raster, 2, axis=axis))


@pytest.mark.parametrize(
    ("sound", "mark"), [("t", "air"), ("t", "contact"), ("m", "contact"), ("m", "voice"), ("l", "air"), ("i", "voice")]
)
@pytest.mark.parametrize("theme", THEMES)
def test_a_missing_mark_is_noticed(sound: str, mark: str, theme: str, opened: Open, folder: Path) -> None:
    path, subject = page_of(sound, folder)
    page = opened(path, f"#theme={theme}", SIZE, reduced_motion="reduce")
    time_s = shown(page, film_moments(subject)[0])
    canvas = canvas_pixels(page)
    without = raster_pixels(subject, time_s, (canvas.shape[1], canvas.shape[0]), theme, Scope(WHOLE - {mark}))
    assert not alike(within_box(canvas), within_box(without))


def test_one_number_changed_on_one_side_is_noticed(
    opened: Open, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = plate.plate_drawing

    def changed(head: Any) -> Any:
        made, table = usual(head)
        made["widths"]["tongue"] *= 1.5
        return made, table

    monkeypatch.setattr(plate, "plate_drawing", changed)
    subject = subject_of(("t",))
    path = folder / "canvas-changed.html"
    path.write_text(build.page(subject), encoding="utf-8")
    assert not all(alike(*pair) for pair in pairs(opened, path, subject, "light"))
