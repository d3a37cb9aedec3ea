"""Two small pictures of the organs at rest are kept as files; a change of the drawing shows as a difference.

To renew one after a change that was wanted: look at the old and the new one side by side, then
`python -m tests.test_renders.test_anatomy.test_reference_pictures`.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from articulators.head import adult_male
from articulators.posture import posture_of
from articulators.section import section
from renders.anatomy import layers as anatomy
from renders.anatomy.pen import PlatePen
from renders.ink.raster import Raster
from renders.paper.canvas import Canvas
from renders.paper.picture import Picture
from renders.paper.style import Style, load
from renders.paper.view import View
from tests.reference.published import HERE
from vocaltract.airway.passage import airway

FOLDER = HERE / "pictures"
SIZE = (320, 300)
VIEW = View((0.0, 0.0, *map(float, SIZE)), 2.1, (28.0, -25.0))
STYLES = ("light", "line")
LEVELS, MOST_PX = 48, 20  # other builds of the libraries smooth edges a little differently
Pixels = NDArray[np.uint8]


def drawn(look: Style, **parts: float) -> Picture:
    now = section(adult_male(), posture_of(**parts))
    canvas = Canvas(VIEW, look)
    layers = (anatomy.fixed_layer(now.head, canvas), anatomy.moving_layer(now, airway(now), PlatePen(canvas)))
    return Picture(*SIZE, "paper", layers)


def pixels(of: Picture, look: Style) -> Pixels:
    return np.array(Raster(*SIZE, look).frame(of))[..., :3]


def differing(one: Pixels, other: Pixels) -> int:
    """How many pixels of either picture have a value that the other has nowhere within a pixel of the place."""
    count = 0
    for a, b in ((one, other), (other, one)):
        low, high = ndimage.minimum_filter(b, (3, 3, 1)).astype(int), ndimage.maximum_filter(b, (3, 3, 1)).astype(int)
        count += int(((a < low - LEVELS) | (a > high + LEVELS)).any(axis=-1).sum())
    return count


def kept(name: str) -> Pixels:
    with Image.open(FOLDER / f"rest-{name}.png") as image:
        return np.asarray(image.convert("RGB"))


@pytest.mark.parametrize("name", STYLES)
def test_the_organs_look_as_they_did(name: str) -> None:
    look = load(name)
    assert differing(pixels(drawn(look), look), kept(name)) <= MOST_PX


@pytest.mark.parametrize("name", STYLES)
def test_the_comparer_sees_a_jaw_that_is_lower(name: str) -> None:
    look = load(name)
    assert differing(pixels(drawn(look, jaw_mm=4.0), look), kept(name)) > MOST_PX


def test_the_comparer_sees_an_organ_that_is_missing_and_a_colour_that_changed() -> None:
    look = load("light")
    whole = drawn(look)
    assert differing(pixels(dataclasses.replace(whole, layers=whole.layers[:1]), look), kept("light")) > MOST_PX
    other = dataclasses.replace(look, colours={**look.colours, "mover": "#86BCA0"})
    assert differing(pixels(whole, other), kept("light")) > MOST_PX


if __name__ == "__main__":
    for style_name in STYLES:
        style = load(style_name)
        small = Image.fromarray(pixels(drawn(style), style)).quantize(128)
        small.save(FOLDER / f"rest-{style_name}.png", optimize=True)
