"""Bars of contact are drawn while a closure holds. Outside: times of closures, measured on gaps, not on lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from renders.marks.contact import contact_layer
from renders.marks.contact_lines import contact_line
from renders.marks.moment import Moment
from renders.marks.moments import moment
from renders.paper.canvas import Canvas
from renders.paper.picture import Stroke
from renders.paper.style import load
from renders.paper.view import View
from tests.key_moments import key_moment
from vocaltract.speech import say

CANVAS = Canvas(View((0, 0, 800, 560), 4.0, (17.5, -16.5)), load())


def names(now: Moment) -> list[str]:
    return [op.name for op in contact_layer(now, CANVAS).ops if isinstance(op, Stroke)]


@pytest.mark.parametrize("text", ["towel", "doctor", "backpack"])
def test_contact_is_drawn_from_the_moment_it_is_made_until_it_is_let_go(text: str) -> None:
    shown = say(text)
    for closure in shown.closures:
        for time_s, there in ((closure.start_s, True), (closure.end_s, False)):
            assert (f"contact {closure.organ}" in names(moment(shown, time_s))) == there


@pytest.mark.parametrize(("symbol", "organ"), [("p", "lips"), ("t", "coronal"), ("k", "dorsal"), ("l", "coronal")])
def test_a_line_of_contact_lies_on_the_organ_and_only_its_own_organ_touches(symbol: str, organ: str) -> None:
    # p is bilabial, t and l alveolar, k velar: the International Phonetic Alphabet
    now = key_moment(symbol)
    assert list(now.contacts) == [organ]
    line = now.contacts[organ]
    outline = shapely.linestrings(now.section["upper_lip" if organ == "lips" else "tongue"])
    assert np.all(shapely.distance(shapely.points(line), outline) < 1e-6)
    assert contact_line(key_moment("ɑ").section, organ) is None


def test_vibration_is_marked_at_a_voiced_contact_and_at_no_other() -> None:
    voiced = key_moment("b")
    assert "felt here" in names(voiced)
    assert "felt here" not in names(key_moment("p"))
    assert "felt here" not in names(replace(voiced, instant=replace(voiced.instant, voice=0.4)))


def test_without_a_colour_of_its_own_a_bar_is_broken() -> None:
    canvas = Canvas(CANVAS.view, load("print"))
    bars = [op for op in contact_layer(key_moment("t"), canvas).ops if isinstance(op, Stroke) and op.name]
    coloured = canvas.style.hex("contact") != canvas.style.hex("airway")
    assert bars and all((bar.dash is None) == coloured for bar in bars)
