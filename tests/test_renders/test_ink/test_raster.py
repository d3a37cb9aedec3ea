"""The raster draws what any renderer draws, and keeps what stands still."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from renders.ink import painter
from renders.ink import raster as raster_module
from renders.paper.picture import Dots, Fill, Group, Layer, Path, Picture, Stroke, Text
from tests.test_renders.test_ink.sheets import BLUE, LIGHT, PURE_RED, RED, box, pixels, rgb, sheet


def test_only_what_changes_is_drawn_again_and_the_pixels_are_those_of_everything() -> None:
    """Frames in which layers move, come, go, lie over each other and change their order, against fresh rasters."""
    random = np.random.default_rng(5)
    still = Layer("still", [Fill(box(0, 0, 50), BLUE)], moves=False)
    pool = [
        Layer(
            f"part {number}",
            [
                Group([Fill(Path.ellipse(20, 20, 14), "#119955", 0.7)], clip=Path.rectangle(8, 9.3, 21.7, 14, 5)),
                Stroke(Path.line([(5, 5), (30, 9), (6, 11)]), RED, 2.5, join="miter", casing=(BLUE, 5.0)),
                Text("nŋ", 4, 30, 11, "ink", rotation=20 * number),
                Dots(np.array([(3.0, 20.0), (5.5, 22.0)]), 1.5, "air"),
            ],
        )
        for number in range(5)
    ]
    shifts = [np.array([[1.0, 0.0, x], [0.0, 1.0, y]]) for x, y in [(0, 0), (33.3, 4), (60, 20.5), (-9, 30)]]
    raster = painter.Raster(100, 60, LIGHT)
    layers = [Layer("a", [Group(part.ops, transform=shifts[n % 4])]) for n, part in enumerate(pool)]
    seen = set()
    for _ in range(25):
        n = int(random.integers(5))
        layers[n] = Layer("b", [Group(pool[n].ops, transform=shifts[int(random.integers(4))])])
        if random.random() < 0.2:
            layers.reverse()
        shown = layers if random.random() < 0.7 else layers[:3]
        picture = Picture(100, 60, "#FFFFFF", [still, *shown])
        kept = raster.frame(picture)
        np.testing.assert_array_equal(kept, painter.Raster(100, 60, LIGHT).frame(picture))
        seen.add(kept.tobytes())
    assert len(seen) > 10


def test_raster_draws_what_any_matplotlib_renderer_draws() -> None:
    from matplotlib.backends.backend_agg import RendererAgg

    picture = sheet(
        Group([Fill(Path.ellipse(20, 20, 14), "#119955", 0.7)], clip=Path.rectangle(8, 9.3, 21.7, 14, 5)),
        Stroke(Path.line([(5, 5), (30, 9), (6, 11)]), RED, 2.5, dash=(3, 2), cap="butt", casing=(BLUE, 5.0)),
        Text("nŋ", 40, 30, 11, "ink", rotation=20, casing=("paper", 2)),
    )
    renderer = RendererAgg(200, 120, 72)
    kept = painter.paint(renderer, picture, LIGHT, 2.0)
    assert kept
    np.testing.assert_array_equal(pixels(picture, 2), np.asarray(renderer.buffer_rgba()))


def test_static_layers_are_drawn_once_and_the_frame_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    still = Layer("still", [Fill(box(0, 0, 50), BLUE), Text("hold", 60, 30, 12, "ink")], moves=False)
    base = Picture(100, 60, "#FFFFFF", [still])
    drawn: list[str] = []
    real = raster_module.Raster._lay_ground

    def counting(self, picture, layers, matrix) -> None:
        drawn.extend(layer.name for layer in layers)
        real(self, picture, layers, matrix)

    monkeypatch.setattr(raster_module.Raster, "_lay_ground", counting)
    raster = painter.Raster(100, 60, LIGHT)
    for x in (10, 20, 30):
        moving = Layer("moving", [Fill(box(x, 20, 15), RED)])
        kept = raster.frame(base.frame([still, moving]))
        afresh = pixels(base.frame([replace(still, moves=True), moving]))
        np.testing.assert_array_equal(kept, afresh)
    assert drawn == ["still"]
    another = replace(still, ops=(Fill(box(0, 0, 50), RED),))
    assert rgb(raster.frame(base.frame([another])), 25, 25) == PURE_RED


def test_frames_are_independent_arrays() -> None:
    raster = painter.Raster(100, 60, LIGHT)
    first = raster.frame(sheet(Fill(box(0, 0, 50), RED)))
    copy = first.copy()
    raster.frame(sheet(Fill(box(0, 0, 50), BLUE)))
    np.testing.assert_array_equal(first, copy)


def test_a_raster_refuses_another_shape() -> None:
    with pytest.raises(ValueError, match="does not fit 100 x 100"):
        painter.Raster(100, 100, LIGHT).frame(sheet())
