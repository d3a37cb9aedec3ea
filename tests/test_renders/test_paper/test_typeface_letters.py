"""The typeface has every symbol, at the widths of its font file, with digits that keep still."""

from __future__ import annotations

import io
from pathlib import Path as FilePath

import numpy as np
import pytest

from renders.ink import recording
from renders.paper import typeface
from renders.paper.picture import Text
from tests.test_renders.test_ink.sheets import LIGHT, pixels, sheet

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
        call = recording.recorded_calls(sheet(Text("HH", 50, 30, 20, "ink", **more)), LIGHT)[-1]
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
