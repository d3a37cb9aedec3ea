"""Contrast and simulated colour vision, measured on the pixels of finished pictures, for every style.

WCAG 2.2: success criteria 1.4.3 (text 4.5:1), 1.4.11 (graphics 3:1). Colour vision:
Machado, Oliveira & Fernandes 2009; yardstick: the smallest CIEDE2000 distance of two colours of the Okabe-Ito palette
(tests/reference/accessibility.csv) for the same kind of vision.
"""

from __future__ import annotations

import csv
import dataclasses
import functools

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from renders.ink.raster import Raster
from renders.ink.recording import recorded_calls
from renders.paper import contrast
from renders.paper.picture import Picture
from renders.paper.style import Style, load, names
from renders.stills import still
from renders.stills.look import StillLook
from tests.picture_text import text_boxes
from tests.reference.published import HERE
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone

REFERENCE = HERE / "accessibility.csv"
TEXT, GRAPHICS = 4.5, 3.0
Pixels = NDArray[np.uint8]


@functools.cache
def picture(symbol: str, style: str, labels: str = "plain") -> Picture:
    entry = sound(symbol)
    return still.still_picture(entry, say_alone(entry), StillLook(load(style), labels))


def drawn(of: Picture, look: Style) -> Pixels:
    return np.array(Raster(round(of.width), round(of.height), look).frame(of))[..., :3]


def without(of: Picture, layer: str) -> Picture:
    assert layer in [found.name for found in of.layers]
    return dataclasses.replace(of, layers=tuple(found for found in of.layers if found.name != layer))


def faint_texts(of: Picture, look: Style) -> list[str]:
    """Texts whose darkest (or lightest) part stands out less than 4.5:1 from what is most common around them."""
    pixels = drawn(of, look)
    found = []
    for box in text_boxes(recorded_calls(of, look)):
        x0, y0, x1, y1 = (round(v) for v in (box.left, box.top, box.right, box.bottom))
        part = pixels[max(y0 - 2, 0) : y1 + 2, max(x0 - 2, 0) : x1 + 2].reshape(-1, 3)
        colours, count = np.unique(part, axis=0, return_counts=True)
        ground = colours[np.argmax(count)] / 255.0
        # the middle of a stroke is drawn in its full colour: a tenth of the text's own pixels at least
        ratios = np.sort(contrast.ratio(part / 255.0, ground))[::-1]
        if ratios[max(4, len(ratios) // 100)] < TEXT:
            found.append(f"{box.string}: {ratios[0]:.2f}")
    return found


@pytest.mark.parametrize("style", names())
@pytest.mark.parametrize(("symbol", "labels"), [("t", "technical"), ("ʒ", "plain")])
def test_every_text_of_a_picture_can_be_read(symbol: str, labels: str, style: str) -> None:
    assert faint_texts(picture(symbol, style, labels), load(style)) == []


def test_the_text_check_sees_pale_text() -> None:
    look = load("light")
    pale = dataclasses.replace(look, colours={**look.colours, "ink2": "#9AA5AE"})
    assert any(text.startswith("Typical shape") for text in faint_texts(picture("t", "light"), pale))


def share_that_stands_out(of: Picture, layer: str, look: Style) -> float:
    """Share of a layer's pixels with something 3:1 lighter or darker within 6 px: its ground, edge or casing.

    Pixels of a mark's own colour, those left out that only smooth its edge.
    """
    whole, bare = drawn(of, look), drawn(without(of, layer), look)
    rows, columns = np.nonzero(np.any(whole != bare, axis=-1))
    near = np.s_[max(rows.min() - 6, 0) : rows.max() + 7, max(columns.min() - 6, 0) : columns.max() + 7]
    whole, bare = whole[near], bare[near]
    light = contrast.luminance(whole / 255.0)
    low, high = ndimage.minimum_filter(light, 13), ndimage.maximum_filter(light, 13)
    best = np.maximum((light + 0.05) / (low + 0.05), (high + 0.05) / (light + 0.05))
    roles = ("contact", "contact_edge") if layer == "contact" else (layer,)
    own = [np.abs(whole - 255.0 * np.array(look.rgba(role)[:3])).max(axis=-1) < 24 for role in roles]
    mark = (np.abs(whole.astype(int) - bare).max(axis=-1) > 40) & np.any(own, axis=0)
    assert mark.sum() > 200
    return float((best[mark] >= GRAPHICS).mean())


@pytest.mark.parametrize("style", names())
@pytest.mark.parametrize(("symbol", "layer"), [("ʒ", "voice"), ("ʒ", "air"), ("d", "contact"), ("ŋ", "air")])
def test_marks_stand_out_from_what_is_around_them(symbol: str, layer: str, style: str) -> None:
    assert share_that_stands_out(picture(symbol, style), layer, load(style)) > 0.97


def test_the_mark_check_sees_faint_marks() -> None:
    look = load("light")
    faint = dataclasses.replace(look, colours={**look.colours, "voice": "#E8A070"})
    assert share_that_stands_out(picture("ʒ", "light"), "voice", faint) < 0.97


@functools.cache
def palette() -> tuple[str, ...]:
    with open(REFERENCE, encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    found = tuple(row["value"] for row in rows if row["id"].startswith("oi_") and row["value"].startswith("#"))
    assert len(found) == 8
    return found


def how_far_apart(one: Pixels, other: Pixels, mark: NDArray[np.bool_], vision: str) -> float:
    """Mean CIEDE2000 difference of two pictures where a mark is, to a kind of vision."""
    first, second = (contrast.lab(contrast.simulate(p[mark] / 255.0, vision)) for p in (one, other))
    return float(contrast.colour_difference(first, second).mean())


# the same mouth, with and without: voice (v f, z s), and contact (d z: shut and open at the same place)
STATES = {"voiced or voiceless": ("z", "s", "voice"), "closed or open": ("d", "z", "contact")}


@pytest.mark.parametrize("style", names())
@pytest.mark.parametrize("states", STATES)
def test_states_stay_apart_in_every_kind_of_vision(states: str, style: str) -> None:
    with_it, without_it, layer = STATES[states]
    look = load(style)
    one, other = drawn(picture(with_it, style), look), drawn(picture(without_it, style), look)
    bare = drawn(without(picture(with_it, style), layer), look)
    mark = np.abs(one.astype(int) - bare).max(axis=-1) > 40
    assert mark.sum() > 150
    for vision in contrast.vision_kinds():
        least, _ = contrast.smallest_difference(palette(), vision)
        assert how_far_apart(one, other, mark, vision) > least, vision


def test_the_vision_check_sees_colours_that_fall_together() -> None:
    """Red on a green of the same lightness is clear to most and lost to some (deutan)."""
    one, other = np.full((9, 9, 3), (160, 110, 40), np.uint8), np.full((9, 9, 3), (120, 125, 40), np.uint8)
    mark = np.ones((9, 9), dtype=bool)
    assert how_far_apart(one, other, mark, "deutan") < contrast.smallest_difference(palette(), "deutan")[0]
    assert how_far_apart(one, other, mark, "normal") > contrast.smallest_difference(palette(), "deutan")[0]
