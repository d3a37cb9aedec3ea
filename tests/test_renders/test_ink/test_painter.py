"""The painter: recorded calls, pixels, vector files, caching, and comparers that can fail."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path as FilePath

import numpy as np
import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.ink import painter, recording
from renders.ink import raster as raster_module
from renders.paper import style, typeface
from renders.paper.picture import Dots, Fill, Group, Layer, Path, Picture, Stroke, Text

LIGHT = style.load("light")
RED, BLUE = "#FF0000", "#0000FF"


def box(x: float, y: float, side: float) -> Path:
    return Path.rectangle(x, y, side, side)


def sheet(*ops, moves: bool = True, background: str | None = "#FFFFFF") -> Picture:
    return Picture(100, 60, background, [Layer("layer", ops, moves)], "A title", "What <it> shows & says")


def pixels(picture: Picture, scale: int = 1) -> np.ndarray:
    return painter.Raster(100 * scale, 60 * scale, LIGHT).frame(picture)


def rgb(frame: np.ndarray, x: int, y: int) -> tuple[int, ...]:
    return tuple(int(v) for v in frame[y, x, :3])


WHITE, PURE_RED, PURE_BLUE = (255, 255, 255), (255, 0, 0), (0, 0, 255)


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
    calls = recording.record(
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
    calls = recording.record(sheet(*ops), LIGHT)
    assert [call.groups for call in calls[:2]] == [("background",), ("layer", "tongue-body")]
    assert calls[1].face == LIGHT.rgba("mover", 0.5)
    assert [call.string for call in calls] == ["", "", "desk", "desk", ""]
    assert calls[2].width == pytest.approx(2.0)
    assert calls[2].face is None
    assert calls[3].edge is None


def same_calls(first: Picture, second: Picture) -> bool:
    one, two = recording.record(first, LIGHT), recording.record(second, LIGHT)
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
    expected = recording.record(picture, LIGHT)[-1].vertices[:3]
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
        painter.save(sheet(Text("ক", 0, 0, 10, "ink")), tmp_path / "a.svg", LIGHT)
    assert list(tmp_path.iterdir()) == []


INVENTORY = (
    "p b t d k ɡ tʃ dʒ f v θ ð s z ʃ ʒ h m n ŋ l ɹ w j ɾ ɫ ʔ ɦ i ɪ eɪ ɛ æ ɑ ɔ oʊ ʊ u ʌ ə ɝ ɚ aɪ aʊ ɔɪ".split()
)
MARKS = [chr(c) for c in (0x2B0, 0x31A, 0x329, 0x303, 0x325, 0x32A, 0x320, 0x31F, 0x2C8, 0x2CC, 0x2D0)]


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_typeface_has_every_symbol_and_no_two_look_alike(weight: str) -> None:
    assert typeface.missing("".join(INVENTORY + MARKS), weight) == ""
    shapes = {
        symbol: typeface.outline(symbol, weight).vertices.tobytes() for symbol in [*INVENTORY, "a", "ɡ"]
    }
    assert len(set(shapes.values())) == len(shapes)


def test_a_and_script_a_differ_by_more_than_a_nuance() -> None:
    """The font's default a has one storey like ɑ: the painter must ask for the other."""

    def drawn(symbol: str) -> np.ndarray:
        return pixels(sheet(Text(symbol, 20, 50, 60, "#000000")))[..., 0] < 128

    a, script_a = drawn("a"), drawn("ɑ")
    assert (a ^ script_a).sum() > 0.3 * (a | script_a).sum()


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_marks_sit_above_or_below_their_letter(weight: str) -> None:
    """Nasal above; syllabic, voiceless, dental and retracted below; unreleased beside."""
    for mark, above in [(0x303, True), (0x329, False), (0x325, False), (0x32A, False), (0x320, False)]:
        plain = typeface.outline("n", weight).get_extents()
        marked = typeface.outline("n" + chr(mark), weight).get_extents()
        assert (marked.y1 > plain.y1 + 0.05) == above
        assert (marked.y0 < plain.y0 - 0.05) == (not above)
        assert abs((marked.x0 + marked.x1) - (plain.x0 + plain.x1)) < 0.2
    assert (
        typeface.outline("k\u031a", weight).get_extents().x1 > typeface.outline("k", weight).get_extents().x1
    )


@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_widths_are_those_of_the_font_file(weight: str) -> None:
    """Advance widths read by another library (fontTools)."""
    from fontTools.ttLib import TTFont

    with TTFont(typeface.font_file(weight)) as font:
        units, widths = font["head"].unitsPerEm, font["hmtx"]
        names = font.getBestCmap()
        for string in ("room key", "front desk", "60 ms"):
            expected = sum(widths[names[ord(c)]][0] for c in string) / units * 40.0
            assert typeface.width(string, 40.0, weight) == pytest.approx(expected, rel=2e-3)


def test_clock_digits_keep_still() -> None:
    widths = {typeface.width(text, 38, "bold", "figures") for text in ("111 ms", "888 ms", "407 ms")}
    assert len(widths) == 1
    end = [typeface.outline(text, "bold", "figures").get_extents().x1 for text in ("111 ms", "888 ms")]
    assert end[0] == pytest.approx(end[1], abs=1e-6)


def test_text_anchors_rotation_and_baseline() -> None:
    def extent(**more) -> np.ndarray:
        call = recording.record(sheet(Text("HH", 50, 30, 20, "ink", **more)), LIGHT)[-1]
        return np.array([call.vertices.min(axis=0), call.vertices.max(axis=0)])

    start, middle, end = (extent(anchor=a) for a in ("start", "middle", "end"))
    wide = typeface.width("HH", 20)
    np.testing.assert_allclose(start - middle, [[wide / 2, 0]] * 2, atol=1e-6)
    np.testing.assert_allclose(start - end, [[wide, 0]] * 2, atol=1e-6)
    assert start[1, 1] == pytest.approx(30.0, abs=0.05)
    assert extent(baseline="middle")[:, 1].mean() == pytest.approx(30.0, abs=0.05)
    turned = extent(rotation=90.0)
    assert turned[0, 1] > 29.9
    assert turned[1, 0] > turned[0, 0]
    assert turned[1, 1] - turned[0, 1] == pytest.approx(start[1, 0] - start[0, 0], abs=1e-6)


def test_the_bundled_font_carries_its_licence() -> None:
    folder = FilePath(typeface.font_file()).parent
    text = (folder / "OFL.txt").read_text(encoding="utf-8")
    assert (
        "Copyright (c) 2004-2022 SIL International (http://www.sil.org/) with "
        'Reserved\nFont Names "Andika" and "SIL".' in text
    )
    assert "SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007" in text
    assert "PERMISSION & CONDITIONS" in text
    from fontTools.ttLib import TTFont

    for weight in ("regular", "bold"):
        with TTFont(io.BytesIO(FilePath(typeface.font_file(weight)).read_bytes())) as font:
            assert font["name"].getDebugName(1) == "Andika"
