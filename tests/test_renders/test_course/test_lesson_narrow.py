"""The sheet of a lesson on a telephone. Source: WCAG 2.2, 1.4.10 (reflow: no scrolling sideways at 320 CSS px)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from renders.course import index_page, lesson
from renders.course.lesson_files import PartFiles, PictureFiles
from renders.films.shot import Shot


@pytest.mark.parametrize(("width", "tall"), [(320, True), (390, True), (1280, False)])
def test_nothing_of_a_lesson_scrolls_sideways_on_a_telephone(
    width: int, tall: bool, browser: Any, tmp_path: Path
) -> None:
    plan = lesson.plan_lesson("t", "d", ["two"])
    for name, size in (("wide.png", (1600, 660)), ("tall.png", (490, 1400))):
        Image.new("RGB", size, "white").save(tmp_path / name)
    files = {"svg": "wide.svg", "png": "wide.png"}
    strip = PictureFiles(files, "Side views", (1600, 660), "tall.png")
    made = {item.slug: PartFiles(strip=strip) for item in (*plan.sounds, *plan.words)}
    path = tmp_path / "index.html"
    path.write_text(index_page.lesson_page(plan, made, strip, Shot(size=(320, 180), fps=10)), encoding="utf-8")
    context = browser.new_context(viewport={"width": width, "height": 700})
    page = context.new_page()
    page.goto(path.as_uri())
    shown = page.evaluate("[...document.images].map((i) => i.currentSrc.split('/').pop())")
    assert set(shown) == {"tall.png" if tall else "wide.png"}
    wide = page.evaluate(
        "[...document.querySelectorAll('*')].filter((e) => e.scrollWidth > e.clientWidth + 1 && e.clientWidth"
        " && getComputedStyle(e).overflowX === 'auto').length"
    )
    assert wide == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()
