"""Every style reaches the contrast and difference it is required to."""

from __future__ import annotations

import dataclasses
import itertools

import pytest

from articulators.errors import BadInput
from articulators.records import text_of
from renders.paper import contrast, legibility, style
from renders.paper.style_table import STYLES_FILE, Ratio, read_style_table, style_table
from tests.planted import Planted, planted

STYLES = style.names()
NEEDS = style_table()
TEXT = text_of("renders.paper", STYLES_FILE)


def failing_pairs(look: style.Style, kind: str) -> list[str]:
    rule: Ratio = getattr(NEEDS.contrast, kind)
    failed = []
    for pair in rule.pairs:
        front, ground = pair.split(" on ")
        reached = float(contrast.ratio(look.rgba(front)[:3], look.rgba(ground)[:3]))
        if reached < rule.least:
            failed.append(f"{pair}: {reached:.2f}")
    return failed


def test_requirements_are_those_of_the_standard() -> None:
    """WCAG 2.2 SC 1.4.3 and 1.4.11."""
    assert NEEDS.contrast.text.least == 4.5
    assert NEEDS.contrast.graphics.least == 3.0


@pytest.mark.parametrize("name", STYLES)
@pytest.mark.parametrize("kind", ["text", "graphics"])
def test_contrast(name: str, kind: str) -> None:
    assert failing_pairs(style.load(name), kind) == []


def test_contrast_check_can_fail() -> None:
    look = style.load("light")
    pale = dataclasses.replace(look, colours={**look.colours, "ink2": "#9AA5AE"})
    assert "ink2 on paper" in " ".join(failing_pairs(pale, "text"))
    assert any(found.startswith("ink2 on paper reaches") for found in legibility.too_faint(pale.colours))


@pytest.mark.parametrize("name", STYLES)
def test_no_bundled_style_is_too_faint(name: str) -> None:
    assert legibility.too_faint(style.load(name).colours) == []


@pytest.mark.parametrize("name", STYLES)
def test_contact_mark_stands_out_by_fill_or_edge(name: str) -> None:
    look = style.load(name)
    for ground in NEEDS.contrast.contact_mark.grounds:
        both = [contrast.ratio(look.rgba(c)[:3], look.rgba(ground)[:3]) for c in ("contact", "contact_edge")]
        assert max(both) >= 3.0, ground


@pytest.mark.parametrize(
    ("name", "vision"),
    list(
        itertools.product([n for n in STYLES if n not in NEEDS.difference.exempt], contrast.vision_kinds())
    ),
)
def test_signals_stay_apart_in_every_kind_of_vision(name: str, vision: str) -> None:
    look = style.load(name)
    colours = [look.hex(role) for role in NEEDS.difference.roles]
    least, pair = contrast.smallest_difference(colours, vision)
    assert least >= NEEDS.difference.least, pair


def test_difference_check_can_fail() -> None:
    least, _ = contrast.smallest_difference(["#7A9A40", "#C08040", "#20262E"], "deutan")
    assert least < NEEDS.difference.least


@pytest.mark.parametrize("name", ["light", "dark"])
def test_signals_have_more_chroma_than_anatomy(name: str) -> None:
    look = style.load(name)

    def chroma(role: str) -> float:
        _, a, b = contrast.lab(look.rgba(role)[:3])
        return float((a**2 + b**2) ** 0.5)

    anatomy = max(chroma(role) for role in ("mover", "head", "bone", "cart", "tooth"))
    assert min(chroma(role) for role in ("air", "voice", "contact")) > anatomy


def test_roles_hex_sizes_and_lines() -> None:
    look = style.load("light")
    assert look.rgba("#000000", 0.5) == (0.0, 0.0, 0.0, 0.5)
    assert look.rgba("paper") == look.rgba(look.colours["paper"])
    assert look.line("profile", 8.0) == 2.0 * look.line("profile")
    assert look.size("sound") > look.size("small")
    with pytest.raises(TypeError):
        look.colours["ink"] = "#FFFFFF"  # type: ignore[index]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: style.load("lite"),
            r"style 'lite' is unknown; allowed: light, dark, print, line, contrast, safe \(nearest: line\)",
        ),
        (lambda: style.load().rgba("mouver"), r"colour role 'mouver' is unknown.*nearest: mover"),
        (lambda: style.load().rgba("#12"), r"not of the form #RRGGBB"),
        (lambda: style.load().size("sond"), r"nearest: sound"),
        (lambda: style.load().size("sound", "flm"), r"format 'flm' is unknown"),
        (lambda: style.load().line("tung"), r"line width 'tung' is unknown"),
    ],
)
def test_unknown_names_give_the_nearest(call, message) -> None:
    with pytest.raises(BadInput, match=message):
        call()


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('cart = "#BBD0C6"\n', "", "styles.light.colours: missing: cart"),
        ('cart = "#BBD0C6"', 'kart = "#BBD0C6"', "styles.light.colours: 'kart' is unknown; allowed: paper, panel, "),
        ('cart = "#BBD0C6"', 'cart = "mint"', "styles.light.colours.cart: colour 'mint' is not of the form #RRGGBB"),
        ("profile = 3.0", "profile = 0", "line.px.profile: expected `float` > 0.0, not 0"),
        ("profile = 3.0", 'profile = "3"', "line.px.profile: expected `float`, got `str`, not '3'"),
        ("shading = 0.5", "shading = 1.5", "styles.print.shading: expected `float` <= 1.0, not 1.5"),
        ("[styles.line.line]\nbone", "[styles.line.line]\nbones", "styles.line.line: 'bones' is unknown; allowed: "),
        ('lip = ["mover"', 'lip = ["moover"', "mixed.roles: 'moover' is unknown; allowed: paper, "),
        ('"ink on paper"', '"ink on papper"', "contrast: 'papper' is unknown; allowed: paper, "),
        ('exempt = ["print"', 'exempt = ["prnt"', "difference.exempt: 'prnt' is unknown; allowed: light, "),
        ("[line]", "[lines]", "key 'lines' is unknown; allowed: roles, mixed, styles, "),
        ("[line]", "[line", "not TOML: "),
    ],
)  # fmt: skip
def test_a_faulty_table_of_styles_is_refused(old: str, new: str, message: str) -> None:
    assert old in TEXT
    with pytest.raises(BadInput) as caught:
        read_style_table(TEXT.replace(old, new, 1))
    assert str(caught.value).startswith(f"styles.toml: {message}")


FREE = ("roles", "mixed.roles", "line.px", *(f"type.{kind}.px" for kind in NEEDS.type),
        *(f"styles.{name}.{part}" for name in STYLES for part in ("colours", "line")))  # fmt: skip


@pytest.mark.parametrize("fault", list(planted(TEXT, FREE)), ids=lambda fault: fault.fault)
def test_a_fault_planted_in_the_styles_is_refused(fault: Planted) -> None:
    with pytest.raises(BadInput) as caught:
        read_style_table(fault.text)
    assert str(caught.value).startswith("styles.toml: ") and fault.said in str(caught.value)
