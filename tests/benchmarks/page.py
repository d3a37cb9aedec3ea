"""The learner page: its size, and how long the browser takes to draw one frame of two side views at 1280 x 720."""

from __future__ import annotations

import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.figures import Figure, limited, seconds

TEXTS = ("ticket", "desk")
FRAMES = 120


def measure() -> Iterator[Figure]:
    """Size of the page of a pair of words, time to make it, and the median time of a frame in Chromium."""
    from renders.page.build import write_page

    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder, "page.html")
        yield Figure(
            "page of two words, in a running process", seconds(lambda: write_page(TEXTS, out, force=True)), "s"
        )
        yield limited("page_size", out.stat().st_size / 1000)
        yield limited("page_frame", _frame_ms(out))


def _frame_ms(path: Path) -> float:
    """Median over frames all through the words; reading a pixel back makes the browser finish what it was told."""
    from playwright.sync_api import sync_playwright

    from tests.browser import FLAGS, chromium

    found = chromium()
    if found is None:
        raise RuntimeError("no Chromium is installed")
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=found, args=list(FLAGS))
        page = browser.new_page(viewport={"width": 1280, "height": 720})
        page.goto(path.as_uri() + "#view=side")
        taken = page.evaluate(
            """async (count) => {
            while (!window.vocaltract) await new Promise(requestAnimationFrame);
            const { first, last } = vocaltract.state(), out = [];
            const sides = [...document.querySelectorAll("canvas.side")];
            const flush = () => sides.forEach((c) => c.getContext("2d").getImageData(0, 0, 1, 1));
            for (let i = 0; i < count; i++) {
              const start = performance.now();
              vocaltract.draw((first + ((last - first) * i) / count) / 100);
              flush();
              out.push(performance.now() - start);
            } return out; }""",
            FRAMES,
        )
        browser.close()
    return statistics.median(taken[10:])
