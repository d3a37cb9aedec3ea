"""A picture that shows and saves itself."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from articulators.errors import BadInput
from renders.ink.diagram import Diagram
from renders.paper.picture import Fill, Layer, Picture
from renders.paper.picture import Path as Shape
from renders.paper.style import load

SQUARE = Picture(120, 80, "paper", (Layer("square", (Fill(Shape.rectangle(10, 10, 30, 30), "ink"),)),), "A square")


def test_what_is_shown_is_what_is_saved(tmp_path: Path) -> None:
    diagram = Diagram(SQUARE, load("dark"))
    assert diagram.size == (120, 80)
    diagram.save(tmp_path / "a.png")
    with Image.open(tmp_path / "a.png") as image:
        np.testing.assert_array_equal(np.asarray(image), diagram.pixels()[..., :3])
    other = Diagram(SQUARE, load("light"))
    assert np.any(other.pixels() != diagram.pixels())
    diagram.save(str(tmp_path / "a.svg"))
    svg = diagram._repr_svg_()
    assert (tmp_path / "a.svg").read_text(encoding="utf-8").endswith(svg)
    root = ET.fromstring(svg)
    assert (root.get("width"), root.get("height")) == ("120", "80")


def test_a_transparent_one_is_so_wherever_it_is_shown(tmp_path: Path) -> None:
    diagram = Diagram(SQUARE, load(), transparent=True)
    assert diagram.pixels()[2, 2, 3] == 0 and diagram.pixels()[20, 20, 3] == 255
    diagram.save(tmp_path / "a.png")
    with Image.open(tmp_path / "a.png") as image:
        np.testing.assert_array_equal(np.asarray(image), diagram.pixels())
    grounds = [Diagram(SQUARE, load(), see_through)._repr_svg_().count("<path") for see_through in (True, False)]
    assert grounds[0] == grounds[1] - 1


def test_another_ending_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"output ending of 'a.gif' is .gif; allowed: .png, .svg, .pdf"):
        Diagram(SQUARE, load()).save(tmp_path / "a.gif")
    assert list(tmp_path.iterdir()) == []
