"""Stills: labels keep clear of the insets, parts and ground are as asked for. Common practice, no source."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
import shapely

from renders.anatomy import layers
from renders.ink.raster import Raster
from renders.paper.picture import Group, Layer, Op, Picture, Stroke, Text
from renders.paper.style import load
from renders.stills import still
from renders.stills.layout import still_layout
from renders.stills.look import StillLook
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone


def picture(symbol: str, labels: str = "plain") -> Picture:
    entry = sound(symbol)
    return still.still_picture(entry, say_alone(entry), StillLook(load(), labels))


def layer(drawn: Picture, name: str) -> Layer:
    return next(found for found in drawn.layers if found.name == name)


@pytest.mark.parametrize("symbol", ["n", "ɑ", "[i]", "l", "ʔ", "ŋ"])
def test_no_leader_strikes_an_inset(symbol: str) -> None:
    drawn = picture(symbol, "technical")
    boxes = [op.path.vertices for op in layer(drawn, "insets").ops if isinstance(op, Stroke)]
    leaders = [op.path.vertices for op in layer(drawn, "labels").ops if isinstance(op, Stroke)]
    views = {"ɑ": 2, "ʔ": 2}.get(symbol, 3)  # the tongue touches the palate in n, i, l, ŋ
    assert len(boxes) == views and len(leaders) > 15
    for box in boxes:
        shape = shapely.box(*box.min(axis=0), *box.max(axis=0))
        assert not any(shapely.LineString(leader).intersects(shape) for leader in leaders)


def flat(ops: tuple[Op, ...]) -> list[Op]:
    return [one for op in ops for one in (flat(op.ops) if isinstance(op, Group) else [op])]


def texts(drawn: Picture) -> list[Text]:
    return [op for found in drawn.layers for op in flat(found.ops) if isinstance(op, Text)]


def test_facing_right_turns_shapes_and_leaves_texts_to_be_read() -> None:
    entry = sound("l")
    shown = say_alone(entry)
    left, right = (still.still_picture(entry, shown, StillLook(load(), mirrored=turned)) for turned in (False, True))
    assert sorted(text.string for text in texts(left)) == sorted(text.string for text in texts(right))
    leaders = [np.concatenate([op.path.vertices for op in layer(drawn, "labels").ops if isinstance(op, Stroke)])
               for drawn in (left, right)]  # fmt: skip
    assert np.allclose(leaders[0][:, 0], still_layout().still.width_px - leaders[1][:, 0])
    pixels = [np.array(Raster(1600, 1200, load()).frame(drawn))[200:900, 345:1255, :3] for drawn in (left, right)]
    assert np.abs(pixels[0].astype(int) - pixels[1][:, ::-1]).max(axis=-1).mean() < 3.0


def test_parts_left_out_are_not_drawn_and_not_named() -> None:
    entry = sound("t")
    shown = say_alone(entry)
    look = StillLook(load(), "technical", layers.parts_to_draw(["tongue", "palate"]))
    drawn = still.still_picture(entry, shown, look)
    said = {text.string for text in texts(drawn)}
    assert "hard palate" in said and not {"mandible", "epiglottis", "uvula", "trachea"} & said
    assert {"air", "contact", "voice"}.isdisjoint(found.name for found in drawn.layers)


def test_a_transparent_still_is_clear_beside_the_head_and_its_texts_have_a_halo() -> None:
    entry = sound("s")
    drawn = still.still_picture(entry, say_alone(entry), StillLook(load("dark"), transparent=True))
    outside = [t for name in ("labels", "title", "state") for t in layer(drawn, name).ops if isinstance(t, Text)]
    assert outside and all(text.casing is not None for text in outside)
    clear = dataclasses.replace(drawn, background=None)
    pixels = np.array(Raster(1600, 1200, load("dark")).frame(clear))
    assert pixels[300, 450, 3] == 0  # before the face
    assert pixels[700, 900, 3] == 255  # in the tongue


def test_on_a_transparent_still_a_rim_of_paper_parts_marks_from_what_lies_beneath() -> None:
    """The jet of an s leaves the face: all around its lines there is paper, which there is not without the rim."""
    entry = sound("s")
    shown = say_alone(entry)
    drawn = still.still_picture(entry, shown, StillLook(load("dark"), "none", transparent=True))
    clear = dataclasses.replace(drawn, background=None)
    bare = dataclasses.replace(clear, layers=tuple(found for found in clear.layers if found.name != "rim"))
    marks = flat(layer(drawn, "air").ops)
    hiss = np.concatenate([op.path.vertices for op in marks if isinstance(op, Stroke) and op.name == "hiss"])
    x0, y0 = hiss.min(axis=0).astype(int)
    paper = [int(load("dark").hex("paper")[k : k + 2], 16) for k in (1, 3, 5)]

    def share(picture: Picture) -> float:
        pixels = np.array(Raster(1600, 1200, load("dark")).frame(picture))[y0 - 4 : y0 + 60, x0 - 4 : x0 + 30]
        return float((np.abs(pixels[..., :3].astype(int) - paper).max(axis=-1) < 3)[pixels[..., 3] > 200].mean())

    assert share(clear) > 0.25 and share(bare) < 0.05
