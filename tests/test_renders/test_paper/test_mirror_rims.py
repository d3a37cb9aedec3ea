"""Pictures turned left to right, and rims of paper: seen on the pixels that are drawn."""

from __future__ import annotations

import numpy as np
import pytest

from renders.ink.raster import Raster
from renders.paper import mirror
from renders.paper.picture import Dots, Fill, Group, Layer, Op, Path, Picture, Stroke, Text
from renders.paper.rims import rims
from renders.paper.style import load

LIGHT = load("light")
TURNED = np.array([[0.0, -1.0, 70.0], [1.0, 0.0, 5.0]])  # a quarter turn and a way
SHAPES: dict[str, Op] = {
    "fill": Fill(Path.polygon([(10, 10), (40, 12), (22, 50)]), "#000000"),
    "stroke": Stroke(Path.line([(10, 10), (40, 12), (22, 50)]), "#000000", 4.0),
    "dots": Dots(np.array([(12.0, 20.0), (50.0, 40.0)]), np.array([4.0, 7.0]), "#000000"),
    "clip": Group((Fill(Path.rectangle(5, 5, 60, 40), "#000000"),), clip=Path.ellipse(30, 25, 18, 9)),
    "moved": Group((Fill(Path.polygon([(10, 10), (40, 12), (22, 50)]), "#000000"),), transform=TURNED),
    "dots moved": Group((Dots(np.array([(12.0, 20.0), (50.0, 40.0)]), 6.0, "#000000"),), transform=TURNED),
    "clip moved": Group((Fill(Path.rectangle(5, 5, 50, 40), "#000000"),), Path.ellipse(30, 25, 18, 9), TURNED),
}


def pixels(*ops: Op, background: str | None = "#FFFFFF") -> np.ndarray:
    return Raster(100, 80, LIGHT).frame(Picture(100.0, 80.0, background, (Layer("", ops),)))


@pytest.mark.parametrize("kind", SHAPES)
def test_a_mirrored_shape_is_the_mirrored_picture(kind: str) -> None:
    shape = SHAPES[kind]
    plain, turned = pixels(shape).astype(int), pixels(*mirror.ops([shape], 100.0)).astype(int)
    assert (plain[..., 0] < 128).sum() > 50
    # edges are smoothed the other way round
    assert (np.abs(plain[:, ::-1] - turned) > 64).sum() == 0
    assert (np.abs(plain - turned) > 64).any()


def test_a_mirrored_text_moves_and_is_still_to_be_read() -> None:
    text = Text("key", 20.0, 30.0, 12.0, "#000000", anchor="start", rotation=10.0)
    (found,) = mirror.layer(Layer("", (text,)), 100.0).ops
    assert isinstance(found, Text)
    assert (found.string, found.x, found.anchor, found.rotation) == ("key", 80.0, "end", -10.0)


@pytest.mark.parametrize("kind", ["fill", "stroke", "dots", "dots moved"])
def test_a_rim_lies_around_its_shape_and_covers_it(kind: str) -> None:
    shape = SHAPES[kind]
    alone = pixels(shape, background=None)[..., 3] > 128
    beneath = pixels(*rims([shape], 3.0), background=None)
    covered = beneath[..., 3] > 128
    if kind != "fill":  # a fill lies on its rim: only its edge needs one
        assert covered[alone].all()
    assert covered.sum() > alone.sum() or kind == "fill"
    assert (covered & ~alone).sum() > 40
    paper = np.round(255 * np.array(LIGHT.rgba("paper")[:3]))
    assert np.abs(beneath[covered][:, :3].astype(int) - paper).max() <= 128


def test_texts_get_no_rim() -> None:
    assert rims([Text("key", 20.0, 30.0, 12.0, "ink")], 3.0) == []
