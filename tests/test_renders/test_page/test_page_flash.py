"""Flashes of what the page plays, counted on pictures of the page in a browser. Source: WCAG 2.2, 2.3.1."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from renders.page import build
from renders.page.subject import subject_of
from tests.flash import count_flashes
from tests.test_renders.test_page.conftest import Open, Opened

FPS = 25.0
SIZE = (1024, 768)  # the screen that the limits are told for


@pytest.fixture(scope="module")
def busy_page(folder: Path) -> Path:
    """Words with closures and bursts one after the other."""
    path = folder / "busy.html"
    path.write_text(build.page(subject_of(("ticket", "paper cup"))), encoding="utf-8")
    return path


def _frames(page: Opened, times: np.ndarray) -> Iterator[np.ndarray]:
    """Pictures of the whole page at times of the common clock, drawn as play draws them."""
    for time_s in times:
        page.page.evaluate("([at, passed]) => vocaltract.draw(at, passed)", [float(time_s), 1 / FPS])
        yield np.asarray(Image.open(io.BytesIO(page.page.screenshot())).convert("RGB"))


@pytest.mark.parametrize("view", ["side", "first", "over"])
def test_the_busiest_words_at_full_speed_do_not_flash(view: str, opened: Open, busy_page: Path) -> None:
    page = opened(busy_page, f"#view={view}&theme={'dark' if view == 'side' else 'light'}", SIZE)
    state = page.state()
    times = np.arange(state["first"] / 100, state["last"] / 100, 1 / FPS)
    report = count_flashes(_frames(page, times), FPS)
    assert report.passes, report


def test_the_shortest_loop_does_not_flash(opened: Open, busy_page: Path) -> None:
    # a phase repeats at most twice a second (LEAST_LOOP_S): from the hold, tinted, to the burst and back
    page = opened(busy_page, "#view=side&theme=dark", SIZE)
    loop = np.concatenate([np.arange(-0.06, 0.06, 1 / FPS), np.full(int(0.38 * FPS), -0.06)])
    report = count_flashes(_frames(page, np.tile(loop, 4)), FPS)
    assert report.passes, report


def test_the_count_notices_a_page_that_flashes(opened: Open, busy_page: Path) -> None:
    page = opened(busy_page, "", SIZE)

    def frames() -> Iterator[np.ndarray]:
        for number in range(30):
            page.page.emulate_media(color_scheme="dark" if number // 2 % 2 else "light")
            yield np.asarray(Image.open(io.BytesIO(page.page.screenshot())).convert("RGB"))

    assert not count_flashes(frames(), FPS).passes
