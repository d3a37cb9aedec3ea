"""The page in a real browser keeps to itself: in a frame, under its policy, with hostile texts, in an old browser."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from renders.page.subject import Subject
from tests.test_renders.test_page.conftest import Open, quiet
from tests.test_renders.test_page.test_page_file import HOSTILE, hostile


@pytest.mark.parametrize("sandbox", ["", 'sandbox="allow-scripts"'])
def test_it_works_inside_another_page(
    sandbox: str, opened: Open, voiced_page: Path, folder: Path, browser: Any
) -> None:
    outer = folder / f"outer-{len(sandbox)}.html"
    outer.write_text(
        f'<!DOCTYPE html><title>course</title><iframe {sandbox} width="700" height="600" '
        'src="voiced.html#view=over&speed=1"></iframe>',
        encoding="utf-8",
    )
    context = browser.new_context(viewport={"width": 800, "height": 700})
    page, faults = context.new_page(), []
    page.on("pageerror", lambda e: faults.append(str(e)))
    page.goto(outer.as_uri())
    inner = page.frame_locator("iframe")
    inner.locator("#forth").click()
    inner.locator("#play").click()
    page.wait_for_timeout(150)
    inner.locator("#play").click()
    assert inner.locator("#view-over").get_attribute("aria-pressed") == "true"
    assert inner.locator("#speed-1").get_attribute("aria-pressed") == "true"
    assert faults == []
    context.close()


def test_the_policy_lets_nothing_else_in(opened: Open, voiced_page: Path) -> None:
    page = opened(voiced_page)
    stopped = page.page.evaluate(
        """async () => { const stopped = [];
        document.addEventListener("securitypolicyviolation", (e) => stopped.push(e.effectiveDirective));
        const add = (tag, attributes) => document.body.append(Object.assign(document.createElement(tag), attributes));
        add("img", { src: "http://127.0.0.1:9/a.png" }); add("script", { src: "http://127.0.0.1:9/a.js" });
        add("script", { textContent: "window.harmed = 1" }); add("style", { textContent: "body { color: red }" });
        add("iframe", { src: "http://127.0.0.1:9/" });
        try { await fetch("http://127.0.0.1:9/"); } catch {}
        await new Promise((done) => setTimeout(done, 200));
        return [stopped.sort(), window.harmed]; }"""
    )
    kinds = {kind.removesuffix("-elem") for kind in stopped[0]}
    assert kinds == {"connect-src", "frame-src", "img-src", "script-src", "style-src"}
    assert stopped[1] is None


def test_a_hostile_text_is_shown_as_text(opened: Open, voiced_pair: Subject, folder: Path) -> None:
    path = folder / "hostile.html"
    path.write_text(hostile(voiced_pair), encoding="utf-8")
    page = opened(path, "", (320, 640))
    assert HOSTILE.split(">")[0] in page.page.evaluate("document.getElementById('title').textContent")
    assert page.page.evaluate("document.querySelectorAll('img').length") == 0
    assert page.page.evaluate("document.documentElement.scrollWidth") <= 320
    quiet(page, path)


@pytest.mark.parametrize(
    "fault",
    [
        "delete window.DecompressionStream",
        # as in browsers that know other forms only
        "window.DecompressionStream = class { constructor(form) { throw new TypeError(form); } }",
    ],
)
def test_a_browser_that_cannot_unpack_says_so(fault: str, opened: Open, nasal_page: Path) -> None:
    page = opened(nasal_page, ready="document.getElementById('cannot')?.textContent", before=fault)
    assert "demasiado antiguo" in page.page.locator("#cannot").inner_text()
    assert page.page.locator("#title").inner_text().startswith("bad")
    assert page.page.locator("#play").count() == 0
    quiet(page, nasal_page)


def test_a_damaged_page_says_so(opened: Open, nasal_page: Path, folder: Path) -> None:
    whole = nasal_page.read_text(encoding="utf-8")
    start = whole.index('"packed":"') + 5000
    path = folder / "damaged.html"
    path.write_text(whole[:start] + whole[start + 500 :], encoding="utf-8")
    page = opened(path, ready="document.getElementById('cannot')?.textContent")
    assert "da\u00f1ado" in page.page.locator("#cannot").inner_text()
    quiet(page, path)
