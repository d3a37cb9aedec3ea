"""Pages of two pairs, and what opens them in the browser of `tests.browser`."""

from __future__ import annotations

import json
import re
import time
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely

from renders.page import build
from renders.page.pack import from_text, unpacked
from renders.page.subject import Subject, subject_of


@pytest.fixture(scope="session")
def voiced_pair() -> Subject:
    """The words of t and d: the same mouth, the voice starts later."""
    return subject_of(("t", "d"))


@pytest.fixture(scope="session")
def nasal_pair() -> Subject:
    """Two words whose lengths and sounds differ."""
    return subject_of(("bad", "morning"))


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pages")


@pytest.fixture(scope="session")
def voiced_page(voiced_pair: Subject, folder: Path) -> Path:
    path = folder / "voiced.html"
    path.write_text(build.page(voiced_pair), encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def nasal_page(nasal_pair: Subject, folder: Path) -> Path:
    path = folder / "nasal.html"
    path.write_text(build.page(nasal_pair, "es"), encoding="utf-8")
    return path


FRAME_S = 0.01


def unpacked_page(html: str) -> tuple[dict[str, Any], dict[str, np.ndarray]]:
    """What a page's script reads, and its tables by name."""
    found = re.search(r'<script type="application/json" id="page-data">(.*?)</script>', html, re.DOTALL)
    assert found is not None
    carried = json.loads(found[1])
    told, packed = (zlib.decompressobj(-15).decompress(from_text(carried[name])) for name in ("told", "packed"))
    data = json.loads(told)
    return data, unpacked(packed, data["index"])


class Opened:
    """A page with what it logged and asked for."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.faults: list[str] = []
        self.requests: list[str] = []
        page.on("console", lambda m: self.faults.append(m.text) if m.type in ("error", "warning") else None)
        page.on("pageerror", lambda e: self.faults.append(str(e)))
        page.on("request", lambda r: self.requests.append(r.url))

    def state(self) -> dict[str, Any]:
        return self.page.evaluate("vocaltract.state()")

    def until(self, condition: str, seconds: float = 10.0) -> None:
        """Waits for a condition; the browser tool's own wait evaluates text, which the page's policy forbids."""
        end = time.monotonic() + seconds
        while not self.page.evaluate(condition):
            assert time.monotonic() < end, f"never came: {condition}"
            self.page.wait_for_timeout(20)

    def frame(self) -> int:
        return int(self.page.input_value("#slider"))


def quiet(opened: Opened, path: Path) -> None:
    """Nothing was logged, nothing was asked for but the page itself."""
    assert opened.faults == []
    assert {url.split("#")[0] for url in opened.requests} == {path.as_uri()}


def apart_mm(a: np.ndarray, b: np.ndarray) -> float:
    """Greatest distance of a point of either line (points, 2) from the other."""
    one, other = shapely.LineString(a), shapely.LineString(b)
    there, back = shapely.distance(shapely.points(a), other), shapely.distance(shapely.points(b), one)
    return float(max(there.max(), back.max()))


Open = Callable[..., Opened]


@pytest.fixture
def opened(browser: Any) -> Iterator[Open]:
    """Opens a page: path, what stands after #, width and height in px, settings of the browser's context.

    ready   what becomes true in the page when it can be used     before  a script that runs before the page's own
    """
    contexts = []

    def opens(
        path: Path,
        after: str = "",
        size: tuple[int, int] = (1280, 720),
        *,
        ready: str = "window.vocaltract !== undefined",
        before: str = "",
        **settings: Any,
    ) -> Opened:
        context = browser.new_context(viewport={"width": size[0], "height": size[1]}, **settings)
        contexts.append(context)
        if before:
            context.add_init_script(before)
        found = Opened(context.new_page())
        found.page.goto(path.as_uri() + after)
        found.until(ready)
        return found

    yield opens
    for context in contexts:
        context.close()
