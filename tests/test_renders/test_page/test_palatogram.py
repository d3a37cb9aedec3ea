"""The palate from below on the page. Source of what is touched: Hardcastle, electropalatography (memory):
t d n seal the arch and both sides, l leaves the sides open, s has a groove that is narrower than that of sh."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.section import section
from renders.insets import palate
from renders.page import build, palatogram
from renders.page.pack import unpacked
from renders.page.page_data import Content, page_data
from renders.page.settings import settings
from renders.page.subject import subject_of
from tests.test_renders.test_page.conftest import Open


def _words(texts: tuple[str, str]) -> list[set[str]]:
    return [{word for _, word in palatogram.touch_moments(item)} for item in subject_of(texts).items]


def test_what_is_touched_is_told() -> None:
    stop, lateral = _words(("d", "l"))
    assert "palate.shut_all_round" in stop
    assert lateral == {"palate.sides_open"}
    assert _words(("s", "ʃ")) == [{"palate.narrow_groove"}, {"palate.wide_groove"}]


@pytest.mark.parametrize(
    ("texts", "there"),
    [
        (("d", "l"), True), (("s", "ʃ"), True), (("l", "ɹ"), True),
        (("t", "d"), False), (("ee", "ɪ"), False), (("p", "b"), False),
    ],
)  # fmt: skip
def test_it_is_there_where_a_side_view_cannot_show_the_difference(texts: tuple[str, str], there: bool) -> None:
    assert (page_data(Content(subject_of(texts)))[1]["palatogram"] is not None) is there


def test_packed_contact_is_that_of_the_pictures() -> None:
    pair = subject_of(("d", "l"))
    packed, data = page_data(Content(pair))
    tables = unpacked(packed, data["index"])
    seen = 0
    for prefix, half, row in zip("ab", pair.items, data["halves"], strict=True):
        drawn = tables[f"{prefix}_palatogram_to"]
        for frame in range(0, len(drawn), 9):
            time_s = row["offset"] + frame / data["rate"]
            now = section(half.timeline.head, half.timeline.posture(np.array([time_s]))).at(0)
            found = palate.palate_contact(now)
            wanted = np.where(found.to_mm > found.from_mm, found.to_mm, np.nan)
            np.testing.assert_allclose(drawn[frame], wanted, atol=settings().palatogram.step_mm / 2 + 1e-9)
            seen += int(np.isfinite(wanted).any())
    assert seen > 5


YELLOW = """([name, low, high]) => { const c = document.querySelector(name), h = c.height, w = c.width;
  const d = c.getContext("2d").getImageData(0, Math.round(low * h), w, Math.round((high - low) * h)).data;
  let n = 0; for (let i = 0; i < d.length; i += 4) if (d[i] > 220 && d[i + 1] > 180 && d[i + 2] < 90) n++;
  return n / (w * h * (high - low)); }"""


def test_the_stop_touches_at_the_sides_and_the_lateral_does_not(opened: Open, folder: object) -> None:
    path = folder / "sides.html"  # type: ignore[operator]
    path.write_text(build.page(subject_of(("d", "l"))), encoding="utf-8")
    page = opened(path, "#theme=light")
    assert page.page.locator("canvas.roof").count() == 3
    assert page.faults == []  # before pixels are read, of which the browser warns
    rows = ".below-row:nth-child({}) canvas.roof"
    stop, lateral = (page.page.evaluate(YELLOW, [rows.format(n), 0.45, 0.75]) for n in (1, 2))
    assert stop > 0.03
    assert lateral == 0
    ridge = page.page.evaluate(YELLOW, [rows.format(2), 0.1, 0.35])
    assert ridge > 0.01
    assert "sides open" in page.page.locator(".below-row:nth-child(2) figcaption").inner_text()
