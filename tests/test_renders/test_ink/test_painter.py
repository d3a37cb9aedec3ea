"""The painter: recorded calls, pixels, vector files, and comparers that can fail."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path as FilePath

import numpy as np
import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.ink import painter, recording
from renders.paper.picture import Dots, Fill, Group, Path, Picture, Stroke, Text
from tests.test_renders.test_ink.sheets import BLUE, LIGHT, PURE_BLUE, PURE_RED, RED, WHITE, box, pixels, rgb, sheet


def test_origin_is_top_left_and_y_goes_down() -> None:
    frame = pixels(sheet(Fill(box(10, 5, 20), RED)))
    inside = (frame[..., 1] == 0).nonzero()
    assert (inside[1].min(), inside[1].max(), inside[0].min(), inside[0].max()) == (10, 29, 5, 24)


def test_holes_stay_empty_and_opacity_mixes() -> None:
    ring = Path.polygons([box(10, 10, 40).vertices, box(20, 20, 20).vertices])
    frame = pixels(sheet(Fill(ring, RED, 0.5)))
    assert rgb(frame, 30, 30) == WHITE
    assert rgb(frame, 12, 12) == pytest.approx((255, 127.5, 127.5), abs=1.0)


def test_a_stroke_is_as_wide_as_it_says_with_its_casing_around() -> None:
    frame = pixels(sheet(Stroke(Path.line([(10, 30), (90, 30)]), RED, 6.0, casing=(BLUE, 12.0), cap="butt")))
    column = [rgb(frame, 50, y) for y in range(60)]
    assert column.count(PURE_RED) == 6
    assert column.count(PURE_BLUE) == 6
    assert rgb(frame, 5, 30) == WHITE


def test_dashes_leave_gaps() -> None:
    frame = pixels(sheet(Stroke(Path.line([(0, 30), (100, 30)]), RED, 4.0, dash=(10.0, 10.0), cap="butt")))
    row = [rgb(frame, x, 30) for x in range(100)]
    assert row.count(PURE_RED) == 50
    assert row.count(WHITE) == 50


def test_clips_cut_and_the_second_frame_uses_its_own_clip() -> None:
    """A raster renderer tells clip shapes apart by address; a stale one would show the old cut."""
    raster = painter.Raster(100, 60, LIGHT)
    everything = Fill(Path.rectangle(0, 0, 100, 60), RED)
    for x in (10, 40, 70) * 5:
        frame = raster.frame(sheet(Group([everything], clip=Path.ellipse(x, 30, 9))))
        assert rgb(frame, x, 30) == PURE_RED
        assert rgb(frame, (x + 30) % 100, 30) == WHITE


def test_rectangular_clips_nest_and_meet_a_shape() -> None:
    everything = Fill(Path.rectangle(0, 0, 100, 60), RED)
    inner = Group([everything], clip=Path.ellipse(50, 30, 25))
    frame = pixels(
        sheet(Group([Group([inner], clip=Path.rectangle(0, 0, 50, 60))], clip=Path.rectangle(40, 0, 60, 60)))
    )
    assert rgb(frame, 45, 30) == PURE_RED
    assert rgb(frame, 55, 30) == WHITE
    assert rgb(frame, 35, 30) == WHITE
    with pytest.raises(ValueError, match="cannot be nested"):
        pixels(sheet(Group([inner], clip=Path.ellipse(50, 30, 10))))


def test_transforms_move_shapes_and_widen_lines() -> None:
    matrix = np.array([[2.0, 0.0, 10.0], [0.0, 2.0, 20.0]])
    calls = recording.recorded_calls(
        sheet(Group([Stroke(Path.line([(1, 2), (3, 4)]), RED, 1.5)], transform=matrix)), LIGHT
    )
    np.testing.assert_allclose(calls[-1].vertices, [(12, 24), (16, 28)])
    assert calls[-1].width == pytest.approx(3.0)


def test_recorded_calls_name_colours_groups_and_text() -> None:
    ops = (
        Fill(box(0, 0, 5), "mover", 0.5, name="tongue body"),
        Text("desk", 50, 30, 10, "ink", casing=("paper", 1.0)),
        Dots(np.array([(5.0, 5.0), (9.0, 9.0)]), 1.0, "air"),
    )
    calls = recording.recorded_calls(sheet(*ops), LIGHT)
    assert [call.groups for call in calls[:2]] == [("background",), ("layer", "tongue-body")]
    assert calls[1].face == LIGHT.rgba("mover", 0.5)
    assert [call.string for call in calls] == ["", "", "desk", "desk", ""]
    assert calls[2].width == pytest.approx(2.0)
    assert calls[2].face is None
    assert calls[3].edge is None


def same_calls(first: Picture, second: Picture) -> bool:
    one, two = recording.recorded_calls(first, LIGHT), recording.recorded_calls(second, LIGHT)
    return len(one) == len(two) and all(
        a.groups == b.groups
        and a.face == b.face
        and a.width == b.width
        and np.array_equal(a.vertices, b.vertices)
        for a, b in zip(one, two, strict=True)
    )


def test_call_comparer_can_fail() -> None:
    base = sheet(Fill(box(0, 0, 5), "mover"))
    assert same_calls(base, sheet(Fill(box(0, 0, 5), "mover")))
    for other in (
        Fill(box(0, 0, 5.001), "mover"),
        Fill(box(0, 0, 5), "head"),
        Fill(box(0, 0, 5), "mover", 0.9),
    ):
        assert not same_calls(base, sheet(other))


@pytest.mark.parametrize(
    "op",
    [
        Fill(Path.polygons([]), RED),
        Stroke(Path.line(np.empty((0, 2))), RED, 2.0),
        Stroke(Path.line([(1.0, 1.0)]), RED, 2.0),
        Stroke(Path.line([(1, 1), (9, 9)]), RED, 0.0),
        Fill(box(0, 0, 50), RED, 0.0),
        Dots(np.empty((0, 2)), 2.0, RED),
        Text("", 5, 5, 10, RED),
        Text("  ", 5, 5, 10, RED),
        Group((), clip=Path.ellipse(5, 5, 5)),
    ],
)
def test_degenerate_ops_draw_nothing(op) -> None:
    assert (pixels(sheet(op)) == 255).all()
    assert painter.svg_bytes(sheet(op), LIGHT)
    assert painter.pdf_bytes(sheet(op), LIGHT)


def test_scaled_picture_equals_scaled_raster() -> None:
    picture = sheet(
        Fill(Path.ellipse(50, 30, 20), RED),
        Stroke(Path.line([(0, 0), (100, 60)]), BLUE, 3.0),
        Text("t", 5, 50, 20, "ink"),
    )
    np.testing.assert_array_equal(
        painter.Raster(200, 120, LIGHT).frame(picture.scaled(2.0)),
        painter.Raster(200, 120, LIGHT).frame(picture),
    )


def test_svg_is_repeatable_accessible_and_free_of_dates() -> None:
    picture = sheet(Fill(box(10, 5, 20), "mover", name="tongue"), Text("ʃ", 50, 30, 20, "ink"))
    data = painter.svg_bytes(picture, LIGHT)
    assert data == painter.svg_bytes(picture, LIGHT)
    root = ET.fromstring(data)
    ns = {"s": "http://www.w3.org/2000/svg"}
    assert root.get("viewBox") == "0 0 100 60"
    assert (root.get("width"), root.get("height")) == ("100", "60")
    titles, descriptions = root.findall("s:title", ns), root.findall("s:desc", ns)
    assert [t.text for t in titles] == ["A title"]
    assert [d.text for d in descriptions] == ["What <it> shows & says"]
    labelled = (root.get("aria-labelledby") or "").split()
    assert labelled == [titles[0].get("id"), descriptions[0].get("id")]
    assert root.findall(".//s:text", ns) == []
    assert not re.search(rb"dc:date|20[0-9]{2}-[0-9]{2}", data)
    assert root.find(".//s:g[@id='tongue_1']", ns) is not None


def test_svg_shows_the_same_shape_as_the_recorded_call() -> None:
    picture = sheet(Fill(Path.polygon([(10, 5), (40, 8), (25, 50)]), RED, name="tongue"))
    root = ET.fromstring(painter.svg_bytes(picture, LIGHT))
    path = root.find(".//{*}g[@id='tongue_1']/{*}path")
    assert path is not None
    numbers = np.array([float(v) for v in re.findall(r"-?[0-9.]+", path.get("d") or "")]).reshape(-1, 2)
    expected = recording.recorded_calls(picture, LIGHT)[-1].vertices[:3]
    np.testing.assert_allclose(numbers[:3], expected, atol=1e-5)


def test_pdf_is_repeatable_and_free_of_dates() -> None:
    picture = sheet(Fill(box(10, 5, 20), "mover"), Text("ʃ", 50, 30, 20, "ink"))
    data = painter.pdf_bytes(picture, LIGHT)
    assert data == painter.pdf_bytes(picture, LIGHT)
    assert data.startswith(b"%PDF-")
    assert b"CreationDate" not in data
    assert b"A title" in data
    box_pt = re.search(rb"/MediaBox \[ 0 0 ([0-9.]+) ([0-9.]+) \]", data)
    assert box_pt is not None
    assert [float(v) for v in box_pt.groups()] == pytest.approx([75.0, 45.0])


def test_png_holds_the_raster_and_its_texts(tmp_path: FilePath) -> None:
    from PIL import Image

    picture = sheet(Fill(box(10, 5, 20), RED))
    painter.save(picture, tmp_path / "a.png", LIGHT)
    with Image.open(tmp_path / "a.png") as image:
        assert image.size == (100, 60)
        assert image.mode == "RGB"
        assert image.text["Title"] == "A title"
        np.testing.assert_array_equal(np.asarray(image), pixels(picture)[..., :3])
    painter.save(picture, tmp_path / "b.png", LIGHT, transparent=True)
    with Image.open(tmp_path / "b.png") as image:
        assert image.mode == "RGBA"
        assert image.getpixel((90, 50))[3] == 0
        assert image.getpixel((15, 10)) == (255, 0, 0, 255)


def test_save_refuses_other_endings_and_leaves_nothing_behind(tmp_path: FilePath) -> None:
    with pytest.raises(BadInput, match=r"ending of .a\.gif. is \.gif; allowed: \.png, \.svg, \.pdf"):
        painter.save(sheet(), tmp_path / "a.gif", LIGHT)
    with pytest.raises(SurroundingsError, match="cannot write"):
        painter.save(sheet(), tmp_path / "absent" / "a.svg", LIGHT)
    with pytest.raises(BadInput, match="typeface cannot draw"):
        painter.save(sheet(Text("☃", 0, 0, 10, "ink")), tmp_path / "a.svg", LIGHT)
    assert list(tmp_path.iterdir()) == []
