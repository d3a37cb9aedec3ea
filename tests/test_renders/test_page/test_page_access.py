"""The page in a real browser for everyone: keyboard, reader, little motion, dark, small screens, languages."""

from __future__ import annotations

from importlib.metadata import files
from pathlib import Path

import pytest

from tests.test_renders.test_page.conftest import Open, quiet

PHONE = {"has_touch": True, "is_mobile": True, "device_scale_factor": 2}


def test_the_keyboard_alone_does_everything(opened: Open, voiced_page: Path) -> None:
    page = opened(voiced_page)
    keys, first = page.page.keyboard, page.frame()
    keys.press("ArrowRight")
    assert page.frame() == first + 1
    keys.press("ArrowLeft")
    assert page.frame() == first
    keys.press("3")
    assert page.page.locator("#half-0 .phase").inner_text() == "opening"
    keys.press("Space")
    assert page.state()["playing"] is True
    keys.press("k")
    assert page.state()["playing"] is False
    keys.press("s")
    assert page.state()["speed"] == 0.75
    keys.press("v")
    assert page.state()["view"] == "over"
    keys.press("f")
    assert (page.state()["view"], page.state()["one"]) == ("one", 1)
    keys.press("Home")
    assert page.frame() == page.state()["first"]
    keys.press("]")
    assert page.state()["sound"] == [1, 1]
    # single letters can be turned off; source: WCAG 2.2, 2.1.4
    page.page.click("#keys summary")
    page.page.uncheck("#keys-on")
    page.page.evaluate("document.activeElement.blur()")
    before = page.frame()
    keys.press("ArrowRight")
    assert page.frame() == before
    quiet(page, voiced_page)


def test_every_control_is_reached_by_tab_and_seen(opened: Open, voiced_page: Path) -> None:
    page = opened(voiced_page)
    reached = []
    for _ in range(60):
        page.page.keyboard.press("Tab")
        found = page.page.evaluate(
            """() => { const e = document.activeElement, s = getComputedStyle(e);
            return [e.id || e.tagName, s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2]; }"""
        )
        if found[0] == "BODY":
            break
        reached.append(found)
    names = {name for name, _ in reached}
    wanted = {
        *("skip", "play", "back", "forth", "slider", "loop", "phase-hold", "view-over", "speed-1", "align-closure"),
        *("quiz-ask", "sound-0-0", "language", "theme-dark"),
    }
    assert wanted <= names
    assert [name for name, seen in reached if not seen] == []  # source: WCAG 2.2, 2.4.7 focus visible


@pytest.mark.parametrize("width", [320, 390])
def test_a_phone_has_everything_in_reach_of_a_thumb(width: int, opened: Open, nasal_page: Path) -> None:
    page = opened(nasal_page, "", (width, 640), **PHONE)
    # source: WCAG 2.2, 1.4.10 reflow at 320 CSS px, 2.5.8 target size 24 CSS px
    assert page.page.evaluate("document.documentElement.scrollWidth") <= width
    before = page.frame()
    page.page.tap("#forth")
    assert page.frame() == before + 1
    page.page.tap("#swap")
    assert page.state()["one"] == 1
    for place in (0, 400, 1200):
        page.page.evaluate(f"scrollTo(0, {place})")
        bar = page.page.locator("#controls").bounding_box()
        if place < 300:
            assert bar["y"] + bar["height"] <= 641
            assert bar["height"] <= 200
    small = page.page.evaluate(
        """() => [...document.querySelectorAll("button, select, summary, input")].filter((e) => e.offsetParent)
        .map((e) => [e.id, e.getBoundingClientRect()]).filter(([, r]) => r.width < 24 || r.height < 24)
        .map(([id]) => id).filter((id) => id !== "keys-on")"""
    )
    assert small == []
    quiet(page, nasal_page)


def test_where_little_motion_is_wanted_nothing_moves(opened: Open, voiced_page: Path) -> None:
    page = opened(voiced_page, "", reduced_motion="reduce")
    assert page.page.locator("#calm").is_visible()
    assert page.page.locator("#moments canvas").count() >= 6
    frames = []
    page.page.click("#start")
    for _ in range(3):
        page.page.click("#play")
        assert page.state()["playing"] is False
        first = page.frame()
        page.page.wait_for_timeout(120)
        assert page.frame() == first
        frames.append(first)
    assert frames == sorted(set(frames))
    page.page.click("#quiz-ask")
    page.page.wait_for_timeout(60)
    before = page.page.evaluate("document.getElementById('quiz').toDataURL()")
    page.page.wait_for_timeout(150)
    assert page.page.evaluate("document.getElementById('quiz').toDataURL()") == before
    quiet(page, voiced_page)


def test_dark_follows_the_device_and_the_switch(opened: Open, voiced_page: Path) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    light = opened(voiced_page).page.evaluate(ground)
    page = opened(voiced_page, "", color_scheme="dark")
    dark = page.page.evaluate(ground)
    assert light != dark
    page.page.click("#theme-light")
    assert page.page.evaluate(ground) == light
    page.page.click("#theme-dark")
    assert page.page.evaluate(ground) == dark
    quiet(page, voiced_page)


@pytest.mark.parametrize("language", ["en", "es", "zh"])
def test_labels_change_with_the_language(language: str, opened: Open, nasal_page: Path) -> None:
    page = opened(nasal_page)
    page.page.select_option("#language", language)
    said = {"en": "Play", "es": "Reproducir", "zh": "播放"}[language]
    assert page.page.locator("#play").inner_text() == said
    assert page.page.evaluate("document.documentElement.lang") == {"en": "en", "es": "es", "zh": "zh-Hans"}[language]
    empty = page.page.evaluate(
        "[...document.querySelectorAll('[data-t]')].filter(e => !e.textContent).map(e => e.dataset.t)"
    )
    assert empty == []
    quiet(page, nasal_page)


def test_who_listens_is_told_the_state_but_not_every_frame(opened: Open, voiced_page: Path) -> None:
    page = opened(voiced_page)
    page.page.click("#phase-hold")
    said = page.page.locator("#said").inner_text()
    for words in ("two", "do", "shut", "Tongue tip", "Air held", "Voice off"):
        assert words in said
    assert "Tongue tip" in page.page.get_attribute("#side-0", "aria-label")
    page.page.evaluate(
        """() => { window.told = 0; new MutationObserver((m) => { window.told += m.length; })
        .observe(document.getElementById("said"), { childList: true, characterData: true, subtree: true }); }"""
    )
    page.page.evaluate("vocaltract.seek(-1)")
    page.page.click("#play")
    page.page.wait_for_timeout(1500)
    assert page.page.evaluate("window.told") <= 4
    quiet(page, voiced_page)


def _axe() -> str:
    """axe-core (MPL-2.0), from the package that carries it; only tests use it."""
    found = [f for f in files("axe-playwright-python") or () if f.name == "axe.min.js"]
    assert found, "the package axe-playwright-python holds no axe.min.js"
    return Path(str(found[0].locate())).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("after", "size"),
    [("#view=side", (1280, 720)), ("#view=over&theme=dark", (1280, 720)), ("#view=first&lang=zh", (390, 844))],
)
def test_axe_finds_no_fault(after: str, size: tuple[int, int], opened: Open, nasal_page: Path) -> None:
    page = opened(nasal_page, after, size)
    for name in ("moments", "keys"):
        page.page.evaluate(f"document.getElementById('{name}').open = true")
    page.page.click("#quiz-ask")
    page.page.click("#quiz-0")
    page.page.evaluate(_axe())
    found = page.page.evaluate(
        "axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })"
    )
    assert [(v["id"], v["impact"], [n["html"][:90] for n in v["nodes"][:3]]) for v in found["violations"]] == []
    assert len(found["passes"]) > 20


def test_axe_finds_a_planted_fault(opened: Open, voiced_page: Path) -> None:
    page = opened(voiced_page)
    page.page.evaluate("document.getElementById('back').removeAttribute('aria-label')")
    page.page.evaluate(_axe())
    found = page.page.evaluate("axe.run(document, { runOnly: ['wcag2a'] })")
    assert "button-name" in {violation["id"] for violation in found["violations"]}
